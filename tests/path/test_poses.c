/* Many poses at once: what rows show of them is the same as one by one. */
#include "support/close.h"

#include <stdlib.h>
#include <string.h>

#include "borelay/digits.h"
#include "support/lanes_each.h"
#include "support/random_piece.h"

/* A piece as runs have them most: speed and turning even, or the depth, too; a block of it turns
 * little.  The first x lies within a last place or two of a half of a millionth. */
static struct piece even_piece(struct random *random, double at, double *t) {
  struct piece piece = random_piece(random);
  struct curve *curve = &piece.curve;
  piece.q.c2 = piece.q.c3 = 0;
  curve->is_line = false;
  double turning = random_whole(random, 0, 1) ? 0.02 : random_between(random, 0, 0.2);
  curve->head = (struct cubic){random_between(random, -700, 700), turning, 0, 0};
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

static bool is_far_from_middle(const double *angles, size_t count) {
  for (size_t k = 0; k < count; k++)
    if (!(fabs(angles[k] - angles[count / 2]) <= 1.0 / 16))
      return true;
  return false;
}

/* Each of up to eight parts, as many as the first and the last angle ask for. */
static bool is_far(const double *angles, size_t count) {
  double parts = 1 + fabs(angles[count - 1] - angles[0]) * 9;
  if (!(parts < 9))
    return true;
  size_t most = (count - 1) / (size_t)parts + 1;
  for (size_t from = 0; from < count; from += most)
    if (!is_far_from_middle(angles + from, count - from < most ? count - from : most))
      return false;
  return true;
}

static int earlier(const void *a, const void *b) {
  double s = *(const double *)a, t = *(const double *)b;
  return (s > t) - (s < t);
}

/* Worked out in full whatever the numbers come to. */
static bool has_same_bits(const struct curve *curve, const struct poses *poses, size_t at,
                          size_t count) {
  return (curve->is_line || is_far(poses->turn + at, count)) &&
         (curve->rho == 0 || is_far(poses->head + at, count));
}

static void same_rows_as_alone(void **state) {
  (void)state;
  uint64_t seed = 20261128;
  print_message("seed %llu\n", (unsigned long long)seed);
  struct random random = {seed};
  int near = 0, full = 0, in_parts = 0;
  for (int i = 0; i < 20000; i++) {
    double t[POSES_MOST];
    size_t count = (size_t)random_whole(&random, 1, POSES_MOST);
    bool is_even = i % 4 > 0;
    struct piece piece =
        is_even ? even_piece(&random, random_between(&random, 0, 1), t) : random_piece(&random);
    struct poses poses;
    for (size_t k = is_even ? 1 : 0; k < count; k++)
      t[k] = random_between(&random, piece.t0, piece.t1);
    if (is_even && i % 8 < 4) /* without the half */
      t[0] = piece.t0;
    if (i % 3 == 0) /* as rows come */
      qsort(t, count, sizeof t[0], earlier);
    size_t at = (size_t)random_whole(&random, 0, POSES_MOST - (int)count);
    piece_turns(&piece, t, count, &poses, at);
    double margin = poses_place_nearly(&piece.curve, &poses, at, count) * 1e-6;
    for (size_t k = 0; k < count; k++) {
      struct pose alone = piece_at(&piece, t[k]);
      assert_true(fabs(poses.x[at + k] - alone.x) <= margin);
      assert_true(fabs(poses.y[at + k] - alone.y) <= margin);
    }
    poses_place(&piece.curve, &poses, at, count);
    bool differs = false, same_bits = has_same_bits(&piece.curve, &poses, at, count);
    for (size_t k = 0; k < count; k++) {
      struct pose alone = piece_at(&piece, t[k]);
      struct pose one = {poses.x[at + k], poses.y[at + k], poses.z[at + k], poses.head[at + k]};
      assert_memory_equal(&one.z, &alone.z, sizeof alone.z);
      assert_memory_equal(&one.head, &alone.head, sizeof alone.head);
      assert_int_equal(digits_scale(one.x, 6), digits_scale(alone.x, 6));
      assert_int_equal(digits_scale(one.y, 6), digits_scale(alone.y, 6));
      if (same_bits)
        assert_memory_equal(&one, &alone, sizeof one);
      differs = differs || memcmp(&one, &alone, sizeof one) != 0;
    }
    near += differs;
    full += same_bits;
    in_parts +=
        differs && piece.curve.rho == 0 && fabs(poses.turn[at + count - 1] - poses.turn[at]) > 0.3;
  }
  print_message("%d of 20000 the faster way, %d in parts, %d in full\n", near, in_parts, full);
  assert_in_range(near, 5000, 19000);
  assert_in_range(in_parts, 50, 5000);
  assert_in_range(full, 2000, 15000);
}

static int run(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(same_rows_as_alone)};
  return cmocka_run_group_tests_name("path poses", tests, NULL, NULL);
}

/* The loops over many numbers at each width, against the same one by one. */
int main(void) {
  return lanes_each(run);
}
