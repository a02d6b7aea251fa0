/* Threads that take numbered work until there is none left.
 *
 * The caller works too, so a thread that cannot be started costs speed and nothing else. */
#include "borelay/crew.h"

#include <pthread.h>
#include <sched.h>
#include <stdatomic.h>
#include <stdbool.h>

enum { HANDS_MOST = 256 };

struct crew {
  atomic_size_t next;
  size_t count;
  crew_work *work;
  void *context;
  bool has_processors;
  cpu_set_t processors; /* that the caller may run on */
};

static void take_work(struct crew *crew) {
  for (size_t i; (i = atomic_fetch_add(&crew->next, 1)) < crew->count;)
    crew->work(crew->context, i);
}

/* -- helpers ---------------------------------------------------------------------------------- */

/* Begun where it was put, a helper may go on wherever the system wants it. */
static void *help(void *of) {
  struct crew *crew = of;
  if (crew->has_processors)
    pthread_setaffinity_np(pthread_self(), sizeof crew->processors, &crew->processors);
  take_work(crew);
  return NULL;
}

/* The next one behind `last`, round about. */
static size_t next_processor(const cpu_set_t *processors, size_t last) {
  for (size_t k = 1; k <= CPU_SETSIZE; k++)
    if (CPU_ISSET((last + k) % CPU_SETSIZE, processors))
      return (last + k) % CPU_SETSIZE;
  return last;
}

/* Left to the system, a thread often begins on its maker's processor, where it waits for some
 * milliseconds until that is taken from its maker, although another one has nothing to do. */
static bool helper_start(pthread_t *helper, struct crew *crew, size_t processor) {
  pthread_attr_t attributes;
  if (pthread_attr_init(&attributes) != 0)
    return false;
  if (crew->has_processors) {
    cpu_set_t only;
    CPU_ZERO(&only);
    CPU_SET(processor, &only);
    pthread_attr_setaffinity_np(&attributes, sizeof only, &only);
  }
  bool is_started = pthread_create(helper, &attributes, help, crew) == 0;
  pthread_attr_destroy(&attributes);
  return is_started;
}

void crew_run(size_t hands, size_t count, crew_work *work, void *context) {
  struct crew crew = {.count = count, .work = work, .context = context};
  pthread_t helpers[HANDS_MOST];
  size_t started = 0, wanted = hands < count ? hands : count;
  int here = sched_getcpu();
  size_t processor = here < 0 ? 0 : (size_t)here;
  crew.has_processors = wanted > 1 && here >= 0 &&
                        sched_getaffinity(0, sizeof crew.processors, &crew.processors) == 0;
  for (size_t i = 1; i < wanted && started < HANDS_MOST; i++) {
    if (crew.has_processors)
      processor = next_processor(&crew.processors, processor);
    if (helper_start(&helpers[started], &crew, processor))
      started++;
  }
  take_work(&crew);
  for (size_t i = 0; i < started; i++)
    pthread_join(helpers[i], NULL);
}

size_t crew_hands(void) {
  cpu_set_t set;
  int count = sched_getaffinity(0, sizeof set, &set) == 0 ? CPU_COUNT(&set) : 1;
  return count > 1 ? (size_t)count : 1;
}
