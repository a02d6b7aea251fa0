/* Allowances of zones: against the plan's runs, which break at zones by other means; against the
 * closed form of the saddle where two cylinders meet; against roots found by a general library; and
 * the property that all bounds rest on. */
#include "support/plan_job.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>

#include "borelay/num.h"
#include "check/allowance.h"
#include "check/run_way.h"
#include "support/random.h"

#define DEG (NUM_PI / 180)

static const double SURE = 1e-6; /* mm */

struct site { /* a job of one overlay, planned */
  struct plan_job made;
  struct zone zones[3];
  const struct plan *plan;
  const struct plan_overlay *overlay;
  const struct allowance *allowance;
  const struct allowance *still; /* as if the tip did not sway */
  double half_sway;
};

static void site_plan(struct site *site) {
  site->plan = plan_make(site->made.arena, &site->made.job, site->made.diags);
  if (!site->plan)
    return;
  site->overlay = &site->plan->overlays[0];
  site->half_sway = site->made.layers[0].procedure->oscillation.width / 2;
  site->still = allowance_make(site->made.arena, site->plan, site->overlay);
  site->allowance = allowance_swaying(site->made.arena, site->still, site->half_sway);
}

static void site_begin(struct site *site, size_t zones) {
  memset(site, 0, sizeof *site);
  plan_job_init(&site->made);
  site->made.overlay.zones = site->zones;
  site->made.overlay.zone_count = zones;
  for (size_t i = 0; i < zones; i++)
    site->zones[i] = (struct zone){.name = "z"};
}

static void site_end(struct site *site) {
  plan_job_free(&site->made);
}

/* -- the plan's runs --------------------------------------------------------------------------- */

static struct shape random_wall(struct random *random) {
  struct shape wall = {.name = "seal", .has_dimensions = true, .fit_tolerance = 0.5};
  wall.kind = (enum shape_kind)random_whole(random, SHAPE_ROUND, SHAPE_RECTANGLE);
  wall.diameter = wall.width = random_between(random, 90, 140);
  wall.length = wall.width + random_between(random, 5, 60);
  wall.corner = random_between(random, 15, 40);
  wall.has_centre = true;
  wall.centre = (vec2){random_between(random, -30, 30), random_between(random, -30, 30)};
  wall.turned = random_between(random, -2, 2);
  return wall;
}

static struct zone random_zone(struct random *random) {
  struct zone zone = {.name = "z", .is_on = random_whole(random, 0, 3) == 0};
  int regions = random_whole(random, 1, 15);
  zone.has_angles = regions & 1;
  zone.has_along = regions & 2;
  zone.has_depths = regions & 4;
  zone.has_cross_bore = regions & 8;
  double wide = zone.is_on ? 6 : 1.5;
  zone.angles.lo = random_between(random, -8, 8);
  zone.angles.hi = zone.angles.lo + random_between(random, 0.05, wide);
  zone.along.lo = random_between(random, -900, 900);
  zone.along.hi = zone.along.lo + random_between(random, 1, 60 * wide);
  zone.depths.lo = random_between(random, 10, 70);
  zone.depths.hi = zone.depths.lo + random_between(random, 2, 15 * wide);
  zone.bore_diameter = random_between(random, 5, 80);
  zone.bore_depth = random_between(random, 0, 90);
  zone.bore_toward = random_between(random, -8, 8);
  zone.margin = random_whole(random, 0, 1) ? 0 : random_between(random, 0, 4);
  return zone;
}

static void random_site(struct site *site, struct random *random) {
  site_begin(site, (size_t)random_whole(random, 1, 3));
  struct plan_job *made = &site->made;
  made->wall = random_wall(random);
  made->job.at = (vec3){random_between(random, -50, 50), random_between(random, -50, 50), 100};
  made->job.turned = random_between(random, -3, 3);
  made->overlay.layer_count = 2;
  made->overlay.pattern = (enum pattern)random_whole(random, PATTERN_SPIRAL, PATTERN_RINGS);
  made->overlay.has_stagger = made->overlay.pattern != PATTERN_STEPPED;
  made->overlay.stagger.value = random_between(random, 0, 60);
  made->overlay.start = START_ALONG;
  made->overlay.start_value = random_between(random, 0, 250);
  for (int k = 0; k < 2; k++) {
    made->layers[k].clockwise = random_whole(random, 0, 1);
    made->layers[k].deeper = random_whole(random, 0, 1);
  }
  for (size_t i = 0; i < made->overlay.zone_count; i++)
    site->zones[i] = random_zone(random);
}

static double allowance_on(const struct site *site, const struct run_way *way, double sigma) {
  double depth = run_way_depth(way, run_way_leg(way, sigma, false), sigma);
  return allowance_at(site->allowance, run_way_s(way, sigma), depth);
}

struct tally {
  double on, off, ends; /* farthest on the wrong side: with the arc on, off; from 0 at ends */
  size_t runs, crossings, edges;
};

static void look(const struct site *site, const struct run_way *way, double from, double to,
                 bool is_on, struct tally *tally) {
  enum { LOOKS = 40 };
  for (int i = 0; i <= LOOKS; i++) {
    double a = allowance_on(site, way, from + (to - from) * i / LOOKS);
    double sigma = from + (to - from) * i / LOOKS;
    double depth = run_way_depth(way, run_way_leg(way, sigma, false), sigma);
    for (int k = -4; is_on && k <= 4; k++) /* no place of the sway lies in an off zone */
      tally->on = fmax(tally->on, -allowance_at(site->still, run_way_s(way, sigma),
                                                depth + site->half_sway * k / 4));
    if (is_on)
      tally->on = fmax(tally->on, -a);
    else
      tally->off = fmax(tally->off, a);
  }
}

static void edge(const struct site *site, const struct run_way *way, double sigma,
                 struct tally *tally) {
  tally->ends = fmax(tally->ends, fabs(allowance_on(site, way, sigma)));
  tally->edges++;
}

/* Leg by leg, so that no place of interest falls between two looks because legs are long. */
static void look_at_legs(const struct site *site, const struct run_way *way, double from, double to,
                         bool is_on, struct tally *tally) {
  for (size_t leg = 0; leg < way->leg_count; leg++) {
    double a = fmax(from, run_way_leg_begin(way, leg)), b = fmin(to, way->leg_end[leg]);
    if (a < b)
      look(site, way, a, b, is_on, tally);
  }
}

static void compare_path(const struct site *site, const struct plan_layer *layer, size_t path,
                         struct tally *tally) {
  const struct plan_path *whole = &layer->paths[path];
  struct run_way way = run_way_of_path(site->made.arena, site->overlay->contour, layer, whole);
  double at = 0, laps = way.total - whole->tie_in;
  for (size_t i = 0; i < layer->run_count; i++) {
    const struct plan_run *run = &layer->runs[i];
    if (run->path != path)
      continue;
    if (run->from > at) {
      look_at_legs(site, &way, at, run->from, false, tally);
      edge(site, &way, run->from, tally);
      tally->crossings++;
    }
    look_at_legs(site, &way, run->from, run->to, true, tally);
    if (isfinite(run->room))
      edge(site, &way, run->to + run->room, tally);
    at = run->to;
    tally->runs++;
  }
  if (at < laps)
    look_at_legs(site, &way, at, laps, false, tally);
}

static void plans_agree(void **state) {
  const double *sway = *state;
  struct random random = {771};
  print_message("seed %llu\n", (unsigned long long)random.state);
  struct tally tally = {0};
  for (int i = 0; i < 300; i++) {
    struct site site;
    random_site(&site, &random);
    for (size_t k = 0; k < PLAN_JOB_LAYERS; k++)
      site.made.procedures[k].oscillation = (struct oscillation){.width = *sway, .frequency = 1};
    site_plan(&site);
    for (size_t k = 0; site.plan && k < site.overlay->layer_count; k++)
      for (size_t path = 0; path < site.overlay->layers[k].path_count; path++)
        compare_path(&site, &site.overlay->layers[k], path, &tally);
    site_end(&site);
  }
  print_message("%zu runs, %zu crossings, %zu edges: off by %.2g mm on, %.2g mm off, %.2g mm at "
                "edges\n",
                tally.runs, tally.crossings, tally.edges, tally.on, tally.off, tally.ends);
  assert_true(tally.runs > 2000 && tally.crossings > 1000);
  assert_true(tally.on <= SURE && tally.off <= SURE && tally.ends <= SURE);
}

/* -- the saddle -------------------------------------------------------------------------------- */

/* Angle from the bore's axis at which the allowance of a round wall turns, by halving. */
static double half_angle(const struct site *site, double radius, double toward, double depth) {
  double in = 0, out = 80 * DEG;
  if (allowance_at(site->allowance, toward * radius, depth) >= 0)
    return 0;
  for (int i = 0; i < 80; i++) {
    double mid = in + (out - in) / 2;
    if (allowance_at(site->allowance, (toward + mid) * radius, depth) < 0)
      in = mid;
    else
      out = mid;
  }
  return in;
}

/* Arc-off half angle of a cross bore of radius r in a bore of radius R at height z from its axis:
 * asin(sqrt(r^2 - z^2) / R), from y = r cos t, z = r sin t on both cylinders.  Angles and widths
 * were worked out apart from this program from that form (intersection of two cylinders at right
 * angles: any text on descriptive geometry). */
static void the_saddle(void **state) {
  (void)state;
  static const struct {
    double bore, port, z, angle; /* radii, mm; deg */
  } rows[] = {{50, 20, 0, 23.578178478}, {50, 20, 5, 22.786498}, {50, 20, 10, 20.267901},
              {50, 20, 15, 15.341709},   {50, 20, 19, 7.174979}, {50, 20, 20, 0},
              {60, 25, 0, 24.624318352}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
    for (int side = -1; side <= 1; side += 2) {
      struct site site;
      site_begin(&site, 1);
      site.made.wall.diameter = 2 * rows[i].bore;
      site.made.job.turned = 0.4;
      site.zones[0] = (struct zone){.name = "z",
                                    .has_cross_bore = true,
                                    .bore_diameter = 2 * rows[i].port,
                                    .bore_depth = 45,
                                    .bore_toward = 100 * DEG};
      site_plan(&site);
      double got = half_angle(&site, rows[i].bore, 100 * DEG, 45 + side * rows[i].z) / DEG;
      double form =
          asin(sqrt(rows[i].port * rows[i].port - rows[i].z * rows[i].z) / rows[i].bore) / DEG;
      assert_close(got, form, 1e-9, 0);
      assert_close(got, rows[i].angle, 6e-7, 0); /* as many digits as are given */
      site_end(&site);
    }
}

/* A racetrack's straight is flat: half a chord of the circle. */
static void a_flat_wall(void **state) {
  (void)state;
  for (int i = 0; i < 20; i++) {
    struct site site;
    site_begin(&site, 1);
    site.made.wall = (struct shape){.name = "seal",
                                    .kind = SHAPE_RACETRACK,
                                    .has_dimensions = true,
                                    .length = 180,
                                    .width = 100,
                                    .turned = 0.3,
                                    .fit_tolerance = 0.5};
    site.zones[0] = (struct zone){.name = "z",
                                  .has_cross_bore = true,
                                  .bore_diameter = 50,
                                  .bore_depth = 45,
                                  .bore_toward = 0.3 - NUM_PI / 2, /* at straight 1 */
                                  .margin = 2};
    site_plan(&site);
    double z = 27.0 * i / 20, half = sqrt(27 * 27 - z * z);
    assert_close(allowance_at(site.allowance, half, 45 + z), 0, 1e-9, 0);
    assert_close(allowance_at(site.allowance, -half, 45 - z), 0, 1e-9, 0);
    assert_close(allowance_at(site.allowance, 0, 45 + z), z - 27, 1e-9, 0);
    assert_close(allowance_at(site.allowance, 3, 45 + z), hypot(3, z) - 27, 1e-9, 0);
    site_end(&site);
  }
}

/* -- a rectangle's corner, sinking turns: roots by a general library -----------------------------
 */

enum { WIDE = 150, HIGH = 110, CORNER = 30 }; /* mm */

/* The wall at s from the middle of the side at negative y, by hand. */
static vec2 rectangle_at(double s) {
  const double sides[4] = {WIDE - 2 * CORNER, HIGH - 2 * CORNER, WIDE - 2 * CORNER,
                           HIGH - 2 * CORNER};
  const double bend = NUM_PI / 2 * CORNER;
  double turn = 2 * (sides[0] + sides[1]) + 4 * bend;
  s = fmod(fmod(s, turn) + turn, turn) + sides[0] / 2;
  if (s >= turn)
    s -= turn;
  for (int i = 0;; i++) {
    vec2 way = {i == 0 ? 1 : i == 2 ? -1 : 0, i == 1 ? 1 : i == 3 ? -1 : 0};
    vec2 out = {way.y, -way.x};
    double off = i % 2 == 0 ? HIGH / 2.0 : WIDE / 2.0;
    vec2 middle = vec2_scale(out, off);
    if (s < sides[i])
      return vec2_add(middle, vec2_scale(way, s - sides[i] / 2));
    s -= sides[i];
    if (s < bend) {
      vec2 centre =
          vec2_add(vec2_add(middle, vec2_scale(way, sides[i] / 2)), vec2_scale(out, -CORNER));
      double a = s / CORNER;
      return vec2_add(centre,
                      vec2_add(vec2_scale(out, CORNER * cos(a)), vec2_scale(way, CORNER * sin(a))));
    }
    s -= bend;
  }
}

/* Length of the path that lies `offset` inside the wall, from s = 0 to s in 0 .. a turn: corners
 * shorten. */
static double inside_length(double s, double offset) {
  const double bend = NUM_PI / 2 * CORNER, shorter = (CORNER - offset) / CORNER;
  double length = 0;
  for (int i = 0; i < 5 && s > 0; i++) {
    double side = i % 2 == 0 ? WIDE - 2 * CORNER : HIGH - 2 * CORNER;
    if (i == 0) /* from its middle on */
      side /= 2;
    length += fmin(s, side);
    s -= side;
    length += fmin(fmax(s, 0), bend) * shorter;
    s -= bend;
  }
  return length;
}

struct sunk_turn { /* sinks evenly over one turn from s = 0 */
  double turn, offset, from, to, level;
  double port, port_depth, toward;
};

static double depth_of(const struct sunk_turn *turn, double s) {
  return turn->from + (turn->to - turn->from) * inside_length(s, turn->offset) / turn->level;
}

static double outside_port(double s, void *context) {
  const struct sunk_turn *turn = context;
  vec2 p = rectangle_at(s);
  double u = p.x * cos(turn->toward) + p.y * sin(turn->toward);
  double v = p.y * cos(turn->toward) - p.x * sin(turn->toward);
  double w = depth_of(turn, s) - turn->port_depth;
  return sqrt(v * v + w * w + (u < 0 ? u * u : 0)) - turn->port;
}

static double root_between(struct sunk_turn *turn, double lo, double hi) {
  gsl_function function = {outside_port, turn};
  gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
  gsl_root_fsolver_set(solver, &function, lo, hi);
  for (int i = 0; i < 100; i++) {
    gsl_root_fsolver_iterate(solver);
    if (gsl_root_test_interval(gsl_root_fsolver_x_lower(solver), gsl_root_fsolver_x_upper(solver),
                               1e-10, 0) == GSL_SUCCESS)
      break;
  }
  double root = gsl_root_fsolver_root(solver);
  gsl_root_fsolver_free(solver);
  return root;
}

/* Where the second turn of a spiral, which sinks, enters and leaves a port at the corner: signs on
 * a dense grid, Brent's method between (GNU Scientific Library, gsl_root_fsolver_brent). */
static void a_sinking_turn_at_a_corner(void **state) {
  (void)state;
  for (int layer = 0; layer < 2; layer++)
    for (int i = 0; i < 4; i++) {
      struct site site;
      site_begin(&site, 1);
      site.made.wall = (struct shape){.name = "seal",
                                      .kind = SHAPE_RECTANGLE,
                                      .has_dimensions = true,
                                      .length = WIDE,
                                      .width = HIGH,
                                      .corner = CORNER,
                                      .fit_tolerance = 0.5};
      site.made.overlay.layer_count = 2;
      double toward = atan2(HIGH / 2.0, WIDE / 2.0) + 0.2 * i;
      site.zones[0] = (struct zone){.name = "z",
                                    .has_cross_bore = true,
                                    .bore_diameter = 30 + 6 * i,
                                    .bore_depth = 68 + i,
                                    .bore_toward = toward};
      site_plan(&site);
      const struct plan_layer *planned = &site.overlay->layers[layer];
      const struct plan_leg *leg = &planned->paths[0].legs[1];
      struct sunk_turn turn = {.turn = site.overlay->contour->perimeter,
                               .offset = planned->offset,
                               .from = leg->depth_from,
                               .to = leg->depth_to,
                               .port = 15 + 3 * i,
                               .port_depth = 68 + i,
                               .toward = toward};
      turn.level = inside_length(turn.turn, turn.offset);
      struct run_way way =
          run_way_of_path(site.made.arena, site.overlay->contour, planned, &planned->paths[0]);
      size_t found = 0;
      for (double s = 0; s + 1 < turn.turn; s += 1) {
        if (outside_port(s, &turn) * outside_port(s + 1, &turn) > 0)
          continue;
        double root = root_between(&turn, s, s + 1);
        assert_close(allowance_on(&site, &way, turn.turn + root), 0, 1e-9, 0);
        assert_true(allowance_on(&site, &way, turn.turn + s) *
                        allowance_on(&site, &way, turn.turn + s + 1) <
                    0);
        found++;
      }
      assert_int_equal(found, 2);
      assert_true(layer == 0 || turn.offset > 0.5);
      site_end(&site);
    }
}

/* -- what the bounds rest on ------------------------------------------------------------------- */

static struct wall_box random_box(struct random *random, double perimeter) {
  double s = random_between(random, -perimeter, 2 * perimeter);
  double depth = random_between(random, 15, 85);
  double size = pow(10, random_between(random, -3, 1.7));
  return (struct wall_box){{s, s + size * random_between(random, 0, 1)},
                           {depth, depth + size * random_between(random, 0, 1)}};
}

/* It changes by no more than the place moves; a box's range holds all of it; what is told to be
 * shut is shut, and a box that is not shut is told to be so unless its open part is tiny. */
static void bounds_hold(void **state) {
  (void)state;
  struct random random = {3141};
  print_message("seed %llu\n", (unsigned long long)random.state);
  size_t shut = 0, open = 0;
  for (int i = 0; i < 200; i++) {
    struct site site;
    random_site(&site, &random);
    site_plan(&site);
    for (int k = 0; site.plan && k < 50; k++) {
      struct wall_box box = random_box(&random, site.overlay->contour->perimeter);
      struct range range = allowance_over(site.allowance, box);
      bool is_shut = allowance_is_shut(site.allowance, box);
      double last = 0, last_s = 0, last_depth = 0;
      for (int n = 0; n < 60; n++) {
        double s = random_between(&random, box.s.lo, box.s.hi);
        double depth = random_between(&random, box.depth.lo, box.depth.hi);
        double a = allowance_at(site.allowance, s, depth);
        assert_true(a >= range.lo - 1e-9 && a <= range.hi + 1e-9);
        assert_true(!is_shut || a <= ALLOWANCE_NONE);
        if (n > 0 && isfinite(a))
          assert_true(fabs(a - last) <= hypot(s - last_s, depth - last_depth) + 1e-9);
        last = a;
        last_s = s;
        last_depth = depth;
      }
      if (!is_shut && range.hi < 0)
        fail_msg("a shut box was told to be open");
      shut += is_shut;
      open += !is_shut;
    }
    site_end(&site);
  }
  print_message("%zu boxes shut, %zu open\n", shut, open);
  assert_true(shut > 500 && open > 500);
}

/* Places in words: an off zone decides where it forbids; else the on zone. */
static void the_zone_that_decides(void **state) {
  (void)state;
  struct site site;
  site_begin(&site, 3);
  site.zones[0] = (struct zone){.name = "port", .has_along = true, .along = {20, 40}, .margin = 2};
  site.zones[1] =
      (struct zone){.name = "strip", .is_on = true, .has_along = true, .along = {0, 100}};
  site.zones[2] = (struct zone){
      .name = "far", .is_on = true, .has_along = true, .along = {200, 250}, .margin = 3};
  site_plan(&site);
  static const struct {
    double s, allowance;
    const char *zone;
  } rows[] = {{10, 8, "port"},   {5, 5, "strip"},  {30, -12, "port"},
              {42, 0, "port"},   {99, 1, "strip"}, {130, -30, "strip"},
              {190, -13, "far"}, {225, 22, "far"}, {-4, -4, "strip"}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    assert_close(allowance_at(site.allowance, rows[i].s, 50), rows[i].allowance, 1e-9, 0);
    assert_string_equal(allowance_zone(site.allowance, rows[i].s, 50)->name, rows[i].zone);
  }
  site_end(&site);
}

/* A region without ends has none that a margin could move. */
static void whole_turns_have_no_ends(void **state) {
  (void)state;
  struct site site;
  site_begin(&site, 2);
  site.zones[0] = (struct zone){.name = "ledge",
                                .has_angles = true,
                                .angles = {1, 1 + NUM_TURN},
                                .has_depths = true,
                                .depths = {40, 50},
                                .margin = 2};
  site.zones[1] = (struct zone){
      .name = "all", .is_on = true, .has_along = true, .along = {-10, 400}, .margin = 5};
  site_plan(&site);
  for (double s = 0; s < 300; s += 7) {
    assert_close(allowance_at(site.allowance, s, 45), -7, 1e-9, 0);
    assert_close(allowance_at(site.allowance, s, 53), 1, 1e-9, 0);
  }
  site_end(&site);
}

int main(void) {
  static double still = 0, sways = 6;
  const struct CMUnitTest tests[] = {
      {"plans agree", plans_agree, NULL, NULL, &still},
      {"plans of a swaying tip agree", plans_agree, NULL, NULL, &sways},
      cmocka_unit_test(the_saddle),
      cmocka_unit_test(a_flat_wall),
      cmocka_unit_test(a_sinking_turn_at_a_corner),
      cmocka_unit_test(bounds_hold),
      cmocka_unit_test(the_zone_that_decides),
      cmocka_unit_test(whole_turns_have_no_ends),
  };
  return cmocka_run_group_tests_name("allowance", tests, NULL, NULL);
}
