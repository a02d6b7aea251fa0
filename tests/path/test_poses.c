/* Many poses at once: the same bits as one by one. */
#include "support/close.h"

#include <string.h>

#include "borelay/digits.h"
#include "support/random_piece.h"

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

/* A piece as runs have them most: speed and turning even, or the depth, too; a block of it turns
 * little.  The first x lies within a last place or two of a half of a millionth. */
static struct piece even_piece(struct random *random, double at, double *t) {
  struct piece piece = random_piece(random);
  struct curve *curve = &piece.curve;
  piece.q.c2 = piece.q.c3 = 0;
  curve->is_line = false;
  curve->head = (struct cubic){random_between(random, -700, 700), 0.02, 0, 0};
  if (random_whole(random, 0, 1)) {
    curve->turn = curve->head;
    curve->rho = 0;
  } else {
    curve->turn.c0 = random_between(random, -3, 3);
    curve->turn.c1 = random_between(random, -0.02, 0.02);
  }
  if (random_whole(random, 0, 1))
    curve->z = (struct cubic){curve->z.c0, random_whole(random, 0, 1) ? 0.3 : 0, 0, 0};
  *t = piece.t0 + at * (piece.t1 - piece.t0);
  double x = piece_at(&piece, *t).x;
  curve->centre.x += (floor(x * 1e6) + 0.5) / 1e6 - x;
  return piece;
}

/* What rows show of them is the same. */
static void same_rows_as_alone(void **state) {
  (void)state;
  uint64_t seed = 20261128;
  print_message("seed %llu\n", (unsigned long long)seed);
  struct random random = {seed};
  int near = 0;
  for (int i = 0; i < 20000; i++) {
    double t[POSES_MOST];
    size_t count = (size_t)random_whole(&random, 1, POSES_MOST);
    struct piece piece =
        i % 4 ? even_piece(&random, random_between(&random, 0, 1), t) : random_piece(&random);
    struct poses poses;
    for (size_t k = i % 4 ? 1 : 0; k < count; k++)
      t[k] = random_between(&random, piece.t0, piece.t1);
    if (i % 8 < 4 && i % 4) /* without a half among them */
      t[0] = piece.t0;
    size_t at = (size_t)random_whole(&random, 0, POSES_MOST - (int)count);
    piece_poses_for_rows(&piece, t, count, &poses, at);
    bool differs = false;
    for (size_t k = 0; k < count; k++) {
      struct pose alone = piece_at(&piece, t[k]);
      assert_memory_equal(&poses.z[at + k], &alone.z, sizeof alone.z);
      assert_memory_equal(&poses.head[at + k], &alone.head, sizeof alone.head);
      assert_int_equal(digits_scale(poses.x[at + k], 6), digits_scale(alone.x, 6));
      assert_int_equal(digits_scale(poses.y[at + k], 6), digits_scale(alone.y, 6));
      differs = differs || poses.x[at + k] != alone.x || poses.y[at + k] != alone.y;
    }
    near += differs;
  }
  print_message("%d of 20000 the faster way\n", near);
  assert_in_range(near, 5000, 19000);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(same_bits_as_alone),
                                     cmocka_unit_test(same_rows_as_alone)};
  return cmocka_run_group_tests_name("path poses", tests, NULL, NULL);
}
