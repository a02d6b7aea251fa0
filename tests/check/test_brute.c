/* Clearances of random jobs against a judge from outside (brute.h), which shares no code with the
 * compiler's.  The compiler's figure must never lie above the samples, and no more than 0.01 mm
 * below them, what the samples may miss and what the rows' chords may cost aside.
 *
 * BORELAY_BRUTE_JOBS, BORELAY_BRUTE_SEED, BORELAY_BRUTE_SPACING and BORELAY_BRUTE_FINE (mm) in the
 * environment ask for more jobs that can be planned, another seed, denser clouds, looks nearer to
 * each other. */
#include <stdio.h>
#include <string.h>

#include "check/brute.h"
#include "check/collide.h"
#include "support/job_text.h"
#include "support/random_job.h"

struct figures {
  int jobs, refused, judged[BRUTE_GROUPS], clear[BRUTE_GROUPS];
  double above, below, loosest; /* above: compiler less samples; below: beyond what is allowed */
  long looks;
};

static double from_environment(const char *name, double usual) {
  const char *text = getenv(name);
  return text ? strtod(text, NULL) : usual;
}

/* each: every group by itself and every piece by itself, nothing known ahead; else as the checks do
 * it. */
static void collide(const struct motion *motion, struct arena *arena, bool each,
                    struct near_miss misses[3]) {
  struct scene scene = {arena, motion, false};
  struct collide_judge judge = collide_begin(&scene);
  judge.wants_each = each;
  if (!each)
    collide_look_ahead(&judge);
  for (size_t i = 0; i < motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    struct swings swings;
    collide_phase_begin(&judge, &motion->phases[i]);
    if (each)
      piece_iter_begin(&iter, motion, &motion->phases[i]);
    else
      piece_iter_begin_joined(&iter, motion, &motion->phases[i]);
    while (piece_iter_next(&iter, &piece))
      if (piece_iter_swings(&iter, &piece, &swings))
        collide_swings(&judge, &motion->phases[i], &swings);
      else
        collide_piece(&judge, &motion->phases[i], &piece);
    piece_iter_release(&iter);
    collide_phase_end(&judge, &motion->phases[i]);
  }
  collide_release(&judge);
  misses[BRUTE_BODIES] = judge.body;
  misses[BRUTE_TORCH] = judge.torch;
  misses[BRUTE_ELECTRODE] = judge.tip;
}

static double room_of(const struct near_miss *miss) {
  return miss->least.distance - miss->limit;
}

/* Both are no more than 0.01 below the truth; what is known ahead is not told, but found again. */
static bool as_the_checks_do_it(const struct motion *motion, struct arena *arena,
                                const struct near_miss each[3]) {
  struct near_miss shared[BRUTE_GROUPS];
  collide(motion, arena, false, shared);
  double body = room_of(&each[BRUTE_BODIES]) - room_of(&shared[BRUTE_BODIES]);
  double torch = fmin(room_of(&each[BRUTE_TORCH]), room_of(&each[BRUTE_ELECTRODE])) -
                 fmin(room_of(&shared[BRUTE_TORCH]), room_of(&shared[BRUTE_ELECTRODE]));
  bool electrode_nearer = room_of(&shared[BRUTE_ELECTRODE]) < room_of(&shared[BRUTE_TORCH]);
  const struct near_miss *told = &shared[electrode_nearer ? BRUTE_ELECTRODE : BRUTE_TORCH];
  bool found = (shared[BRUTE_BODIES].phase != NULL) == (each[BRUTE_BODIES].phase != NULL) &&
               (told->phase != NULL) == (each[BRUTE_TORCH].phase || each[BRUTE_ELECTRODE].phase);
  if (fabs(body) <= 0.01 && fabs(torch) <= 0.01 && found)
    return true;
  print_error("bodies %.6f, torch and electrode %.6f apart, %s\n", body, torch,
              found ? "found" : "not found");
  return false;
}

/* The most that a T^2/8 may take off, by the limits of the axes alone. */
static double chords(const struct cell *cell, const struct brute_solid *solids, size_t count) {
  double lever = 0, tick = cell->tick;
  for (size_t i = 0; i < count; i++)
    lever = fmax(lever, solids[i].lever);
  const struct axis_limits *axis = cell->axis;
  double accel = hypot(hypot(axis[0].accel, axis[1].accel), axis[2].accel);
  double turning = hypot(axis[AXIS_HEAD].accel, axis[AXIS_HEAD].speed * axis[AXIS_HEAD].speed);
  return (accel + lever * turning) * tick * tick / 8;
}

static bool group_holds(struct figures *figures, const struct brute *brute,
                        const struct near_miss *miss, int group) {
  const struct brute_least *least = &brute->least[group];
  const struct cell *cell = brute->motion->plan->job->cell;
  double cost = chords(cell, brute->solids[group], brute->solid_count[group]);
  double got = miss->least.distance - miss->limit, floor = -least->limit;
  if (!least->judged)
    return isinf(got);
  figures->judged[group]++;
  double samples = fmin(least->motion, least->rows);
  if (got <= floor) /* they meet, or as good as */
    return least->motion <= floor + 0.01 + least->bound + cost;
  figures->clear[group]++;
  double below = least->motion - got - 0.01 - least->bound - cost;
  figures->above = fmax(figures->above, got - samples);
  figures->below = fmax(figures->below, below);
  figures->loosest = fmax(figures->loosest, least->bound);
  return got <= samples && below <= 0;
}

static void show(const struct brute *brute, const struct near_miss *miss, int group) {
  const struct brute_least *least = &brute->least[group];
  print_error("group %d: compiler %.6f (part %d %zu) at %.6f s; samples %.6f, rows %.6f, bound "
              "%.6f (solid %zu) at %.6f s; limit %.3f %.3f\n",
              group, miss->least.distance - miss->limit, (int)miss->least.part,
              miss->least.part_index, miss->least.t, least->motion, least->rows, least->bound,
              least->solid, least->t, miss->limit, least->limit);
}

static bool job_holds(struct figures *figures, const char *text, double spacing, double fine) {
  struct job_motion made = job_motion_make(text);
  bool holds = true;
  if (made.motion) {
    struct near_miss misses[BRUTE_GROUPS];
    struct brute *brute = calloc(1, sizeof *brute);
    assert_non_null(brute);
    collide(made.motion, made.arena, true, misses);
    holds = as_the_checks_do_it(made.motion, made.arena, misses);
    brute_begin(brute, made.motion, spacing, fine);
    brute_run(brute);
    for (int group = 0; group < BRUTE_GROUPS; group++)
      if (!group_holds(figures, brute, &misses[group], group)) {
        show(brute, &misses[group], group);
        holds = false;
      }
    figures->looks += brute->looks;
    brute_end(brute);
    free(brute);
  } else {
    figures->refused++;
    if (getenv("BORELAY_BRUTE_TOLD"))
      print_message("%s", made.told);
  }
  job_motion_end(&made);
  return holds;
}

/* -- sways and sectors, which random_job.h does not write ------------------------------------- */

static void insert(struct job_writer *w, size_t at, const char *text) {
  size_t length = strlen(text);
  assert_true(w->length + length < sizeof w->text);
  memmove(w->text + at + length, w->text + at, w->length - at + 1);
  memcpy(w->text + at, text, length);
  w->length += length;
}

/* Before each place where the word stands, one time in `n`. */
static void insert_some(struct job_writer *w, const char *word, int n,
                        void (*text_of)(struct job_writer *, char *, size_t)) {
  for (char *at = w->text; (at = strstr(at, word)) != NULL;) {
    char text[200] = "";
    size_t place = (size_t)(at - w->text);
    if (one_in(w, n))
      text_of(w, text, sizeof text);
    insert(w, place, text);
    at = w->text + place + strlen(text) + strlen(word);
  }
}

static void sway_text(struct job_writer *w, char *text, size_t room) {
  snprintf(text, room, "oscillation { width %.2f mm; frequency %.2f Hz; dwell %d ms } ",
           some(w, 1, 4), some(w, 0.2, 0.6), one_in(w, 2) ? 0 : random_whole(w->random, 20, 150));
}

static void sector_text(struct job_writer *w, char *text, size_t room) {
  double from = some(w, 0, 240);
  snprintf(text, room, "sector s { angles %.1f .. %.1f deg; travel_speed %.1f mm/min } ", from,
           from + some(w, 40, 100), w->speed * some(w, 0.75, 1));
}

/* Of what a seed of its own tells, so that the rest of the job stays what it is. */
static void put_more(struct job_writer *w, uint64_t seed) {
  struct random random = {seed ^ 0x5157u};
  w->random = &random;
  insert_some(w, "tie_in", 5, sway_text);
  insert_some(w, "start_angle", 5, sector_text);
}

static void test_random_jobs(void **state) {
  (void)state;
  struct figures figures = {.above = -HUGE_VAL, .below = -HUGE_VAL};
  int jobs = (int)from_environment("BORELAY_BRUTE_JOBS", 20), wrong = 0;
  uint64_t seed = (uint64_t)from_environment("BORELAY_BRUTE_SEED", 20110);
  double spacing = from_environment("BORELAY_BRUTE_SPACING", 0.3);
  double fine = from_environment("BORELAY_BRUTE_FINE", 0.3);
  /* About one job in four is refused, in the motion as a rule: others stand in for them. */
  for (; figures.jobs - figures.refused < jobs && figures.refused <= jobs; figures.jobs++) {
    struct random random = {seed + (uint64_t)figures.jobs};
    struct job_writer *writer = calloc(1, sizeof *writer);
    assert_non_null(writer);
    random_job_write(writer, &random);
    put_more(writer, seed + (uint64_t)figures.jobs);
    if (!job_holds(&figures, writer->text, spacing, fine)) {
      print_error("seed %llu\n", (unsigned long long)(seed + (uint64_t)figures.jobs));
      fputs(writer->text, stderr); /* cmocka cuts long texts */
      wrong++;
    }
    free(writer);
  }
  print_message(
      "seed %llu: %d jobs, %d refused; bodies, torch, electrode judged %d %d %d, clear of "
      "metal %d %d %d; %ld looks\n",
      (unsigned long long)seed, figures.jobs, figures.refused, figures.judged[0], figures.judged[1],
      figures.judged[2], figures.clear[0], figures.clear[1], figures.clear[2], figures.looks);
  print_message(
      "compiler less samples at most %.6f mm, beyond what is allowed %.6f mm, largest bound "
      "%.6f mm\n",
      figures.above, figures.below, figures.loosest);
  assert_int_equal(wrong, 0);
  assert_true(figures.refused <= jobs && 2 * figures.clear[0] > jobs);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_random_jobs)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
