/* Whole jobs with zones: every check holds in every pattern; what stays bare is what a plain count
 * over ticks finds; faults that are planted behind the plan's back are told. */
#include "check/allowance.h"
#include "check/judged_job.h"
#include "support/random.h"

static const double BEAD = 8, BIN = 0.1; /* mm */

/* SHAPE and HOW stand for what a row changes.  One layer on the wall itself: contour and pool's
 * path are as long as each other. */
static const char *const JOB =
    "cell c {\n"
    "  tick 8 ms; park (20, -60, 900) mm\n"
    "  axis x { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis y { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis z { travel 0 .. 1400 mm; speed 180 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis head { travel endless; speed 72 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n"
    "  torch { reach 46 mm; drop 340 mm; electrode_extension 8 mm; radius 8 mm }\n"
    "  body lower { radius 20 mm; heights -350 .. 0 mm }\n"
    "}\n"
    "procedure first {\n"
    "  process gtaw; current 205 A; voltage 11.5 V; travel_speed 170 mm/min\n"
    "  wire_diameter 1.2 mm; wire_feed_speed 1.6 m/min; wire_density 8.44 g/cm3\n"
    "  bead_width 8 mm; arc_length 3 mm\n"
    "  preflow 1 s; upslope 1 s; downslope 3 s; postflow 2 s; tie_in 8 mm; gas_flow 14 L/min\n"
    "  travel_start_delay 0.7 s; wire_start_delay 0.4 s; wire_retract 5 mm\n"
    "}\n"
    "shape seal SHAPE\n"
    "shape pocket rectangle { length 60 mm; width 40 mm; corner 5 mm; centre (0, -75) mm }\n"
    "envelope block { free seal { depths 0 .. 210 mm } }\n"
    "overlay seal_wall {\n"
    "  wall seal; depths 20 .. 42 mm; procedure first; overlap 45 %\n"
    "  HOW\n"
    "}\n"
    "job \"bench\" { cell c; envelope block; safe_height 60 mm; turned 4 deg }\n";

static const char *const ROUND = "round { diameter 178 mm; centre (6, 2) mm }";
static const char *const TRACK = "racetrack { length 200 mm; width 150 mm; turned 25 deg }";
static const char *const BOX = "rectangle { length 200 mm; width 160 mm; corner 55 mm }";

static struct judged judge_with(const char *shape, const char *how) {
  char *shaped = text_with(JOB, "SHAPE", shape);
  char *whole = text_with(shaped, "HOW", how);
  struct judged made = judge(whole);
  free(shaped);
  free(whole);
  return made;
}

/* -- what a plain count finds ------------------------------------------------------------------ */

/* Depths at which the wire lays metal over each 0.1 mm of the contour. */
struct marks {
  double *depth;
  size_t *count, bins;
  double perimeter;
};
enum { MARKS = 64 };

/* s of the place of the contour that is nearest to a point, segment by segment. */
static double nearest_s(const struct contour *contour, vec2 point) {
  double best = HUGE_VAL, s = 0;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    double at;
    if (seg->turn == 0) {
      at = vec2_dot(vec2_sub(point, seg->start), seg->tangent);
    } else {
      vec2 zero = vec2_sub(seg->start, seg->centre), arm = vec2_sub(point, seg->centre);
      double angle = seg->turn * atan2(vec2_cross(zero, arm), vec2_dot(zero, arm));
      at = seg->radius * (angle < -1e-6 ? angle + NUM_TURN : angle);
    }
    if (at < -1e-4 || at > seg->length + 1e-4)
      continue;
    vec2 off = vec2_sub(contour_at(contour, seg->s0 + at, 0).at, point);
    if (hypot(off.x, off.y) < best) {
      best = hypot(off.x, off.y);
      s = seg->s0 + at;
    }
  }
  return s;
}

struct pool_place {
  double s, depth;
};
static struct pool_place pool_at(const struct judged *made, const struct piece *piece, double t) {
  const struct plan_overlay *overlay = &made->plan->overlays[0];
  const struct cell *cell = made->plan->job->cell;
  struct pose pose = piece_at(piece, t);
  vec2 tip = {pose.x + cell->reach * cos(pose.head), pose.y + cell->reach * sin(pose.head)};
  double zero = made->plan->placement.at.z + cell->drop;
  return (struct pool_place){nearest_s(overlay->contour, tip), zero - pose.z};
}

static void mark(struct marks *marks, struct pool_place place) {
  size_t bin = (size_t)(place.s / BIN), *count = &marks->count[bin];
  double *depths = &marks->depth[bin * MARKS];
  if (*count > 0 && fabs(depths[*count - 1] - place.depth) < 0.01)
    return;
  assert_true(*count < MARKS);
  depths[(*count)++] = place.depth;
}

/* Every 2 ms of each weld: marks where wire reaches the pool, and holds the pool to the zones. */
static double walk(const struct judged *made, const struct allowance *allowance,
                   struct marks *marks) {
  const struct motion *motion = made->motion;
  double tick = motion->plan->job->cell->tick, deepest = 0;
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    if (!phase->arc)
      continue;
    const struct procedure *p = phase->plan_layer->procedure;
    double on = (double)phase->wire.feed0 * tick + p->wire_retract / p->wire_feed_speed;
    double off = (double)phase->wire.feed1 * tick;
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, motion, phase);
    while (piece_iter_next(&iter, &piece))
      for (double t = piece.t0; t < piece.t1; t += 0.002) {
        struct pool_place place = pool_at(made, &piece, t);
        if (phase->kind == PHASE_WELD && t >= on && t < off)
          mark(marks, place);
        if (allowance)
          deepest = fmax(deepest, -allowance_at(allowance, place.s, place.depth));
      }
    piece_iter_release(&iter);
  }
  return deepest;
}

static bool is_marked(const struct marks *marks, double s, double depth) {
  s -= marks->perimeter * floor(s / marks->perimeter);
  size_t bin = (size_t)(s / BIN);
  for (size_t k = 0; k < marks->count[bin]; k++)
    if (fabs(marks->depth[bin * MARKS + k] - depth) <= BEAD / 4 + 1e-3)
      return true;
  return false;
}

struct bare_count {
  double zone, other; /* mm */
  double gaps;
};

/* Along each lap's centre line, less the tie-in. */
static struct bare_count count_bare(const struct judged *made, const struct allowance *allowance,
                                    const struct marks *marks) {
  const struct plan_overlay *overlay = &made->plan->overlays[0];
  const struct plan_layer *layer = &overlay->layers[0];
  struct bare_count bare = {0};
  bool was = false;
  for (size_t i = 0; i < layer->path_count; i++) {
    const struct plan_path *path = &layer->paths[i];
    double sigma = 0;
    size_t legs = path->leg_count - (path->tie_in > 0);
    for (size_t k = 0; k < legs; k++) {
      const struct plan_leg *leg = &path->legs[k];
      size_t steps = (size_t)ceil(leg->s_length / (BIN / 2));
      for (size_t n = 0; n < steps; n++) {
        double share = ((double)n + 0.5) / (double)steps;
        double s = path->s_start + layer->dir * (sigma + share * leg->s_length);
        double depth = leg->depth_from + share * (leg->depth_to - leg->depth_from);
        bool is = !is_marked(marks, s, depth);
        bool shut = is && allowance && allowance_at(allowance, s, depth) <= 0;
        *(shut ? &bare.zone : &bare.other) += is ? leg->s_length / (double)steps : 0;
        bare.gaps += is != was;
        was = is;
      }
      sigma += leg->s_length;
    }
  }
  return bare;
}

static struct marks marks_make(struct arena *arena, const struct contour *contour) {
  struct marks marks = {.bins = (size_t)floor(contour->perimeter / BIN) + 2,
                        .perimeter = contour->perimeter};
  marks.depth = arena_alloc(arena, marks.bins * MARKS, sizeof *marks.depth);
  marks.count = arena_alloc(arena, marks.bins, sizeof *marks.count);
  return marks;
}

/* -- sound jobs -------------------------------------------------------------------------------- */

struct job_row {
  const char *name, *shape, *how;
  size_t runs;
};

#define PORT                                                                                       \
  "zone port { arc off; cross_bore { diameter 20 mm; depth 31 mm; toward 40 deg }; margin 2 mm }"
#define KEY   "zone key { arc off; angles 340 .. 375 deg }"
#define START "zone start { arc off; angles -8 .. 8 deg }"
#define STRIP "zone strip { arc on; along 30 .. 280 mm; margin 3 mm }"
#define LEDGE "zone ledge { arc off; angles 90 .. 150 deg; depths 18 .. 29 mm }"

/* Five laps: rings at 38, 34.5, 31, 27.5, 24 mm; turns: six.  The port reaches from 19 to 43 mm.
 */
static const struct job_row SOUND[] = {
    {"spiral, key", ROUND, "pattern spiral; " KEY, 0},
    {"spiral, port", TRACK, "pattern spiral; direction clockwise; " PORT, 0},
    {"spiral, ledge", BOX, "pattern spiral; " LEDGE, 0},
    {"spiral, strip", TRACK, "pattern spiral; " STRIP, 0},
    {"spiral, start in zone", ROUND, "pattern spiral; direction clockwise; " START, 0},
    {"stepped, port", BOX, "pattern stepped; start_along 90 mm; " PORT, 0},
    {"stepped, ledge", ROUND, "pattern stepped; direction clockwise; stagger 40 mm; " LEDGE, 0},
    {"stepped, key and port", TRACK, "pattern stepped; start_along 200 mm; " KEY PORT, 0},
    {"rings, key", TRACK, "pattern rings; stagger 25 mm; " KEY, 8} /* two begin in it */,
    {"rings, port", ROUND, "pattern rings; direction clockwise; start_along 150 mm; " PORT, 10},
    {"rings, ledge", BOX, "pattern rings; start_along 20 mm; " LEDGE, 7},
    {"rings, strip with a port", BOX,
     "pattern rings; " STRIP
     "zone hole { arc off; along 150 .. 170 mm; depths 26 .. 33 mm; margin 1 mm }",
     7},
    {"rings, overlapping zones", ROUND,
     "pattern rings; " KEY "zone more { arc off; angles 370 .. 400 deg; margin 4 mm }", 5},
    {"rings, zones that take whole rings", ROUND,
     "pattern rings; zone ledge { arc off; depths 30 .. 60 mm }", 2},
    {"rings, downslope stands", TRACK, "pattern rings; start_along 200 mm; procedure still; " PORT,
     10},
    {"spiral, downslope stands", ROUND, "pattern spiral; procedure still; " KEY, 0},
};

static char *with_procedures(const char *how) {
  char *plain = text_with(JOB, "shape seal",
                          "procedure still like first { downslope_travel off }\n"
                          "shape seal");
  if (strstr(how, "procedure still")) {
    char *moved = text_with(plain, "procedure first; overlap", "overlap");
    free(plain);
    return moved;
  }
  return plain;
}

static struct judged judge_row(const struct job_row *row) {
  char *text = with_procedures(row->how), *shaped = text_with(text, "SHAPE", row->shape);
  char *whole = text_with(shaped, "HOW", row->how);
  struct judged made = judge(whole);
  free(text);
  free(shaped);
  free(whole);
  return made;
}

static double bare_of(const struct judged *made, enum bare_kind kind) {
  double sum = 0;
  for (size_t i = 0; i < made->verdict->bare_count; i++)
    if (made->verdict->bare[i].kind == kind)
      sum += made->verdict->bare[i].length;
  return sum;
}

static void assert_all_hold(const struct judged *made, const char *name) {
  for (size_t i = 0; i < made->verdict->result_count; i++) {
    const struct check_result *result = &made->verdict->results[i];
    if (result->judged && !result->passed)
      print_error("%s: %s %.9g, limit %.9g, %s\n", name, result->name, result->worst, result->limit,
                  result->detail);
    assert_true(!result->judged || result->passed);
  }
}

static void sound_job(void **state) {
  const struct job_row *row = *state;
  struct judged made = judge_row(row);
  assert_all_hold(&made, row->name);
  const struct check_result *zones = result_of(&made, "arc-zones");
  const struct layer_quantities *sums = &made.verdict->quantities.layers[0][0];
  assert_true(zones->judged);
  assert_int_equal(made.verdict->run_count, sums->starts);
  if (row->runs > 0)
    assert_int_equal(sums->starts, row->runs);
  struct marks marks = marks_make(made.told.arena, made.plan->overlays[0].contour);
  const struct allowance *allowance =
      allowance_make(made.told.arena, made.plan, &made.plan->overlays[0]);
  double deepest = walk(&made, allowance, &marks);
  assert_true(deepest <= zones->worst + 1e-6);
  struct bare_count bare = count_bare(&made, allowance, &marks);
  double told_zone = bare_of(&made, BARE_ZONE), told_other = bare_of(&made, BARE_DOWNSLOPE);
  print_message("%s: %d starts; zones %.2f mm (counted %.2f), downslopes %.2f mm (counted %.2f)\n",
                row->name, (int)sums->starts, told_zone, bare.zone, told_other, bare.other);
  assert_close(told_zone, bare.zone, 0.2 + BIN * bare.gaps, 0);
  assert_close(told_other, bare.other, 0.2 + BIN * bare.gaps, 0);
  assert_close(sums->bare, told_zone + told_other, 1e-9, 1e-12);
  told_end(&made.told);
}

/* -- figures by hand --------------------------------------------------------------------------- */

/* Rings of radius 89 less 35 deg each; 5 starts with 3 s of downslope before the zone. */
static void bare_lengths_by_hand(void **state) {
  (void)state;
  struct judged made = judge_with(ROUND, "pattern rings; start_along 200 mm; " KEY);
  double zone = 5 * 89 * 35 * NUM_PI / 180, slope = 0;
  for (size_t i = 0; i < made.motion->phase_count; i++) {
    const struct phase *phase = &made.motion->phases[i];
    if (phase->kind != PHASE_WELD || phase->run % 2 == 1) /* the others tie in */
      continue;
    struct run_info info = phase_run_info(made.motion, phase);
    slope += info.speed * (3 - info.run_down / 2);
  }
  assert_close(bare_of(&made, BARE_ZONE), zone, 1e-6, 0);
  assert_close(bare_of(&made, BARE_DOWNSLOPE), slope, 1e-6, 0);
  assert_close(bare_of(&made, BARE_WIRE), 0, 0, 0);
  assert_int_equal(made.verdict->bare_count, 10);
  const struct arc_run *runs = made.verdict->runs;
  assert_int_equal(made.verdict->run_count, 10);
  assert_close(runs[0].start.s, 200, 1e-9, 0);
  assert_close(runs[0].stop.s, 340 * NUM_PI / 180 * 89, 1e-6, 0);
  assert_close(runs[1].start.s, 15 * NUM_PI / 180 * 89, 1e-6, 0);
  assert_close(runs[0].length, runs[0].stop.s - 200, 1e-6, 0);
  /* over the ring's own start, the tie-in and the downslope's run */
  assert_close(runs[1].stop.s, runs[1].start.s + runs[1].length, 1e-6, 0);
  assert_true(runs[1].stop.s > 200 + 8 + 8);
  assert_close(runs[0].stop.depth, 38, 1e-9, 0);
  for (size_t i = 0; i < 10; i++)
    assert_int_equal(runs[i].stop.lap, i / 2 + 1);
  told_end(&made.told);
}

/* Wire 0.4 s late and 5 mm drawn back (0.1875 s), travel at once: bare behind every zone, but not
 * behind a start that is tied in. */
static void late_wire_behind_zones(void **state) {
  (void)state;
  char *late = text_with(JOB, "travel_start_delay 0.7 s; ", "");
  char *shaped = text_with(late, "SHAPE", ROUND);
  char *whole = text_with(shaped, "HOW", "pattern rings; start_along 200 mm; " KEY);
  struct judged made = judge(whole);
  const struct check_result *result = result_of(&made, "coverage");
  assert_false(result->passed);
  double sum = 0, longest = 0;
  for (size_t i = 0; i < made.motion->phase_count; i++) {
    const struct phase *phase = &made.motion->phases[i];
    if (phase->kind != PHASE_WELD || phase->run % 2 == 0)
      continue;
    struct run_info info = phase_run_info(made.motion, phase);
    double bare = info.speed * (0.4 + 0.1875 - info.run_up / 2);
    sum += bare;
    longest = fmax(longest, bare);
  }
  assert_close(bare_of(&made, BARE_WIRE), sum, 1e-6, 0);
  assert_close(result->worst, longest, 1e-6, 0);
  char want[400];
  snprintf(
      want, sizeof want,
      "overlay seal_wall, layer 1, lap 1 stays bare for %.3f mm from s = 23.300 mm, before the "
      "wire (wire_start_delay 0.400 s, wire_retract 5.000 mm, travel_start_delay 0.000 s); 5 "
      "in all, %.3f mm",
      longest, sum);
  assert_string_equal(result->detail, want);
  assert_string_equal(result->help, "a travel_start_delay of 0.588 s in procedure first lets the "
                                    "wire reach the pool before it travels");
  free(late);
  free(shaped);
  free(whole);
  told_end(&made.told);
}

/* The wire starts on the tick at 0.408 s, and what was drawn back takes 0.1875 s. */
static void late_wire_is_helped_in_whole_ticks(void **state) {
  (void)state;
  static const char *const DELAYS[] = {"", "travel_start_delay 0.596 s; "};
  for (int i = 0; i < 2; i++) {
    char *late = text_with(JOB, "travel_start_delay 0.7 s; ", DELAYS[i]);
    char *later = text_with(late, "wire_start_delay 0.4 s", "wire_start_delay 0.401 s");
    char *shaped = text_with(later, "SHAPE", ROUND);
    char *whole = text_with(shaped, "HOW", "pattern rings; start_along 200 mm; " KEY);
    struct judged made = judge(whole);
    const struct check_result *result = result_of(&made, "coverage");
    assert_int_equal(result->passed, i);
    if (i == 0)
      assert_string_equal(result->help, "a travel_start_delay of 0.596 s in procedure first lets "
                                        "the wire reach the pool before it travels");
    free(late);
    free(later);
    free(shaped);
    free(whole);
    told_end(&made.told);
  }
}

/* Runs that begin and end at the zone: their late wire is missing, their downslope is not. */
static void late_wire_between_zones(void **state) {
  (void)state;
  char *late = text_with(JOB, "travel_start_delay 0.7 s; ", "");
  char *shaped = text_with(late, "SHAPE", ROUND);
  char *whole = text_with(shaped, "HOW", "pattern spiral; start_along 200 mm; " KEY);
  struct judged made = judge(whole);
  double missing = 0, slope = 0;
  int last = (int)made.plan->overlays[0].layers[0].run_count - 1;
  for (size_t i = 0; i < made.motion->phase_count; i++) {
    const struct phase *phase = &made.motion->phases[i];
    if (phase->kind != PHASE_WELD)
      continue;
    struct run_info info = phase_run_info(made.motion, phase);
    if (phase->run > 0) /* over the first start the next turn comes near */
      missing += info.speed * (0.4 + 0.1875 - info.run_up / 2);
    if (phase->run < last)
      slope += info.speed * (3 - info.run_down / 2);
  }
  assert_true(last > 4);
  assert_false(result_of(&made, "coverage")->passed);
  /* The last turn's are shorter by what the turn before, 1.45 mm away, covers: ticks fall otherwise
   * there. */
  assert_close(bare_of(&made, BARE_WIRE), missing, 1e-3, 0);
  assert_close(bare_of(&made, BARE_DOWNSLOPE), slope, 1e-3, 0);
  free(late);
  free(shaped);
  free(whole);
  told_end(&made.told);
}

/* -- planted faults ---------------------------------------------------------------------------- */

/* The zone grows after the motion was made. */
static struct zone *zone_of(const struct judged *made) {
  return made->plan->job->sequence[0]->zones;
}

static void judge_again(struct judged *made) {
  made->verdict = check_motion(made->told.arena, made->motion);
}

static void one_millimetre_into_an_off_zone(void **state) {
  (void)state;
  struct judged made = judge_with(ROUND, "pattern rings; start_along 200 mm; " KEY);
  zone_of(&made)->margin = 1;
  judge_again(&made);
  const struct check_result *result = result_of(&made, "arc-zones");
  assert_false(made.verdict->passed || result->passed);
  assert_close(result->worst, 1, 1e-6, 0);
  assert_close(result->limit, 0.005, 0, 0);
  /* Radius 89 about (6, 2), which turns by 4 deg; H 49 mm inside, at 15 + 4 deg. */
  assert_string_equal(result->detail,
                      "arc on 1.000 mm inside zone `key` with its margin, s = 23.300 mm, depth "
                      "34.500 mm at x 43.667 y 15.436 z 305.500 mm, head 739.000 deg; overlay "
                      "seal_wall, layer 1, lap 2, upslope");
  struct source_place place =
      source_place_get(made.told.sources, result->at.file, result->at.begin);
  assert_int_equal(place.line, 22);
  told_end(&made.told);
}

static void outside_an_on_zone(void **state) {
  (void)state;
  struct judged made = judge_with(TRACK, "pattern spiral; start_along 50 mm; " STRIP);
  zone_of(&made)->along.hi -= 0.25;
  judge_again(&made);
  const struct check_result *result = result_of(&made, "arc-zones");
  assert_false(result->passed);
  assert_close(result->worst, 0.25, 1e-6, 0);
  /* 227 mm after the start, in the third turn: 34.5 - 3.5 227/571.24; on straight 2, 8.6 mm before
   * its middle, all turned by 29 deg. */
  assert_string_equal(result->detail,
                      "arc on 0.250 mm outside every zone with the arc on, nearest to zone `strip` "
                      "with its margin, s = 277.000 mm, depth 33.109 mm at x -5.066 y 26.919 z "
                      "306.891 mm, head 839.000 deg; overlay seal_wall, layer 1, lap 3, downslope");
  told_end(&made.told);
}

/* The limit lies where it is said to lie. */
static void the_limit(void **state) {
  (void)state;
  struct judged made = judge_with(ROUND, "pattern rings; start_along 200 mm; " KEY);
  zone_of(&made)->margin = 0.0049;
  judge_again(&made);
  assert_true(result_of(&made, "arc-zones")->passed);
  zone_of(&made)->margin = 0.0051;
  judge_again(&made);
  assert_false(result_of(&made, "arc-zones")->passed);
  told_end(&made.told);
}

/* A port that is not the plan's: the arc passes through it in the middle of a sinking turn. */
static void a_port_that_was_forgotten(void **state) {
  (void)state;
  struct judged made = judge_with(ROUND, "pattern spiral; " KEY);
  struct zone *zone = zone_of(&made);
  *zone = (struct zone){.name = "port",
                        .has_cross_bore = true,
                        .bore_diameter = 4,
                        .bore_depth = 31,
                        .bore_toward = NUM_PI,
                        .origin = zone->origin};
  judge_again(&made);
  const struct check_result *result = result_of(&made, "arc-zones");
  /* The turns pass half a pitch, 1.75 mm, above and below its axis. */
  struct marks marks = marks_make(made.told.arena, made.plan->overlays[0].contour);
  const struct allowance *allowance =
      allowance_make(made.told.arena, made.plan, &made.plan->overlays[0]);
  double deepest = walk(&made, allowance, &marks);
  assert_true(deepest > 0.1);
  assert_close(result->worst, deepest, 1e-4, 0);
  assert_true(result->worst >= deepest - 1e-6);
  told_end(&made.told);
}

static void not_asked_without_zones(void **state) {
  (void)state;
  struct judged made = judge_with(ROUND, "pattern rings");
  assert_false(result_of(&made, "arc-zones")->judged);
  told_end(&made.told);
}

/* -- the wall ---------------------------------------------------------------------------------- */

/* A pocket opens the wall at negative y, 60 mm wide; the zone has to hold all of it. */
static void the_wall_may_be_missing_in_zones(void **state) {
  (void)state;
  static const struct {
    const char *zone;
    bool holds;
  } rows[] = {
      {"zone gap { arc off; along -30 .. 30 mm }", true},
      {"zone gap { arc off; along -20 .. 30 mm }", false},
      {"zone gap { arc off; along -30 .. 30 mm; depths 24 .. 80 mm }", false},
      {"zone gap { arc off; along -30 .. 30 mm; depths 25 .. 36 mm }", true},
      {"zone gap { arc off; along -30 .. 30 mm; depths 26 .. 36 mm }", false},
      {"zone gap { arc off; cross_bore { diameter 58 mm; depth 30 mm; toward -90 deg } }", false},
      {"zone gap { arc off; cross_bore { diameter 62 mm; depth 30 mm; toward -90 deg } }", true},
      {"zone rest { arc on; along 31 .. 480 mm }", true},
      {"zone rest { arc on; along 20 .. 480 mm }", false},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    char *open =
        text_with(JOB, "free seal { depths 0 .. 210 mm }",
                  strstr(rows[i].zone, "25 ..") || strstr(rows[i].zone, "26 ..") ||
                          strstr(rows[i].zone, "cross")
                      ? "free seal { depths 0 .. 210 mm }; free pocket { depths 25 .. 35 mm }"
                      : "free seal { depths 0 .. 210 mm }; free pocket { depths 0 .. 80 mm "
                        "}");
    char *shaped = text_with(open, "SHAPE", "racetrack { length 220 mm; width 150 mm }");
    char how[300];
    snprintf(how, sizeof how, "pattern rings; start_along 100 mm; %s", rows[i].zone);
    char *whole = text_with(shaped, "HOW", how);
    struct judged made = judge(whole);
    const struct check_result *result = result_of(&made, "wall-in-envelope");
    if (result->passed != rows[i].holds)
      print_error("%s: %g %s\n", rows[i].zone, result->worst, result->detail);
    assert_true(result->judged);
    assert_int_equal(result->passed, rows[i].holds);
    told_end(&made.told);
    free(open);
    free(shaped);
    free(whole);
  }
}

int main(void) {
  enum { SOUND_COUNT = sizeof SOUND / sizeof SOUND[0], MORE = 9 };
  struct CMUnitTest tests[SOUND_COUNT + MORE] = {
      cmocka_unit_test(bare_lengths_by_hand),
      cmocka_unit_test(late_wire_behind_zones),
      cmocka_unit_test(late_wire_is_helped_in_whole_ticks),
      cmocka_unit_test(late_wire_between_zones),
      cmocka_unit_test(one_millimetre_into_an_off_zone),
      cmocka_unit_test(outside_an_on_zone),
      cmocka_unit_test(the_limit),
      cmocka_unit_test(a_port_that_was_forgotten),
      cmocka_unit_test(not_asked_without_zones),
      cmocka_unit_test(the_wall_may_be_missing_in_zones),
  };
  for (size_t i = 0; i < SOUND_COUNT; i++)
    tests[i + MORE] =
        (struct CMUnitTest){SOUND[i].name, sound_job, NULL, NULL, (void *)(uintptr_t)&SOUND[i]};
  return cmocka_run_group_tests_name("zones", tests, NULL, NULL);
}
