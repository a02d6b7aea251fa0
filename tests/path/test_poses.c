/* Many poses at once: the same bits as one by one. */
#include "support/close.h"

#include <string.h>

#include "path/random_piece.h"

static void same_bits_as_alone(void **state) {
  (void)state;
  uint64_t seed = 20250117;
  print_message("seed %llu\n", (unsigned long long)seed);
  struct random random = {seed};
  for (int i = 0; i < 3000; i++) {
    struct piece piece = random_piece(&random);
    size_t count = (size_t)random_whole(&random, 1, POSES_MOST);
    double t[POSES_MOST];
    struct poses poses;
    for (size_t k = 0; k < count; k++)
      t[k] = random_between(&random, piece.t0, piece.t1);
    size_t at = (size_t)random_whole(&random, 0, POSES_MOST - (int)count);
    piece_poses(&piece, t, count, &poses, at);
    for (size_t k = 0; k < count; k++) {
      struct pose alone = piece_at(&piece, t[k]);
      struct pose one = {poses.x[at + k], poses.y[at + k], poses.z[at + k], poses.head[at + k]};
      assert_memory_equal(&one, &alone, sizeof one);
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(same_bits_as_alone)};
  return cmocka_run_group_tests_name("path poses", tests, NULL, NULL);
}
