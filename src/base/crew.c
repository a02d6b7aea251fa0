/* Threads that take numbered work until there is none left.
 *
 * The caller works too, so a thread that cannot be started costs speed and nothing else. */
#include "borelay/crew.h"

#include <pthread.h>
#include <sched.h>
#include <stdatomic.h>

enum { HANDS_MOST = 256 };

struct crew {
  atomic_size_t next;
  size_t count;
  crew_work *work;
  void *context;
};

static void *take_work(void *of) {
  struct crew *crew = of;
  for (size_t i; (i = atomic_fetch_add(&crew->next, 1)) < crew->count;)
    crew->work(crew->context, i);
  return NULL;
}

void crew_run(size_t hands, size_t count, crew_work *work, void *context) {
  struct crew crew = {.count = count, .work = work, .context = context};
  pthread_t helpers[HANDS_MOST];
  size_t started = 0, wanted = hands < count ? hands : count;
  for (size_t i = 1; i < wanted && started < HANDS_MOST; i++)
    if (pthread_create(&helpers[started], NULL, take_work, &crew) == 0)
      started++;
  take_work(&crew);
  for (size_t i = 0; i < started; i++)
    pthread_join(helpers[i], NULL);
}

size_t crew_hands(void) {
  cpu_set_t set;
  int count = sched_getaffinity(0, sizeof set, &set) == 0 ? CPU_COUNT(&set) : 1;
  return count > 1 ? (size_t)count : 1;
}
