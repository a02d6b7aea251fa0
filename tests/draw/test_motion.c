/* What is drawn lies where the motion goes: at random times, by the pieces' own closed forms. */
#include "draw/drawn.h"

#include "draw/path_data.h"
#include "support/random.h"

enum { TIMES = 300, SEED = 4211 };
static const double NEAR = 0.011; /* mm: two decimals, and an arc drawn by its rounded ends */

struct program {
  const char *name, *path;
  void (*put)(struct arena *, const struct outcome *, size_t overlay, struct random *);
};

/* A phase of an overlay in which the pool travels, at a random share of its time. */
static const struct phase *any_weld(struct random *random, const struct motion *motion,
                                    size_t overlay, double *t) {
  double tick = motion->plan->job->cell->tick;
  for (;;) {
    const struct phase *phase =
        &motion->phases[random_whole(random, 0, (int)motion->phase_count - 1)];
    if (phase->kind != PHASE_WELD || (size_t)phase->overlay != overlay + 1)
      continue;
    *t = ((double)phase->tick0 + random_between(random, 0, 1) * (double)phase->ticks) * tick;
    return phase;
  }
}

/* Paths found by XPath, each read once. */
struct paths {
  struct arena *arena;
  const struct drawn *drawn;
  char *node[600];
  struct drawn_path *path[600];
  size_t count;
};

static const struct drawn_path *path_get(struct paths *paths, const char *node) {
  for (size_t i = 0; i < paths->count; i++)
    if (strcmp(paths->node[i], node) == 0)
      return paths->path[i];
  assert_true(paths->count < 600);
  char expression[300];
  snprintf(expression, sizeof expression, "string(%s/@d)", node);
  char *data = drawn_text(paths->drawn, expression);
  if (!*data)
    fail_msg("nothing drawn: %s", node);
  struct drawn_path *path = arena_alloc(paths->arena, 1, sizeof *path);
  path_read(path, data);
  xmlFree(data);
  paths->node[paths->count] = arena_format(paths->arena, "%s", node);
  paths->path[paths->count++] = path;
  return path;
}

static vec2 tip_of(const struct cell *cell, struct pose pose) {
  return (vec2){pose.x + cell->reach * cos(pose.head), pose.y + cell->reach * sin(pose.head)};
}

static void head_is_at(struct arena *arena, const struct outcome *outcome, size_t overlay,
                       double t) {
  struct drawn drawn = drawn_read(draw_plan(arena, outcome, overlay, t, &plain_look));
  struct pose pose = draw_pose_at(outcome->motion, t);
  char *moved = drawn_text(&drawn, "string(//s:g[@class='head']/@transform)");
  double x, y, turn;
  assert_int_equal(sscanf(moved, "translate(%lf %lf)rotate(%lf)", &x, &y, &turn), 3);
  assert_close(x, pose.x, 0.0051, 0);
  assert_close(y, -pose.y, 0.0051, 0);
  assert_close(turn, -pose.head * 180 / NUM_PI, 0.0051, 0);
  xmlFree(moved);
  drawn_free(&drawn);
}

static void overlay_ways(struct arena *arena, const struct outcome *outcome, size_t overlay,
                         struct random *random) {
  struct drawn drawn = drawn_read(draw_plan(arena, outcome, overlay, 0, &plain_look));
  struct paths *paths = arena_alloc(arena, 1, sizeof *paths);
  int on_axis = 0;
  paths->arena = arena;
  paths->drawn = &drawn;
  for (int i = 0; i < TIMES; i++) {
    double t;
    const struct phase *phase = any_weld(random, outcome->motion, overlay, &t);
    char tip[100], axis[100];
    snprintf(tip, sizeof tip, "//s:path[@class='tip'][@data-layer='%d']", (int)phase->layer);
    snprintf(axis, sizeof axis, "//s:path[@class='head-path'][@data-layer='%d']",
             (int)phase->layer);
    struct pose pose = draw_pose_at(outcome->motion, t);
    vec2 at = tip_of(outcome->job->cell, pose);
    double off = path_distance(path_get(paths, tip), (vec2){at.x, -at.y});
    if (off > NEAR)
      fail_msg("t = %.6f s: the tip is %.4f mm beside its way", t, off);
    on_axis += path_distance(path_get(paths, axis), (vec2){pose.x, -pose.y}) < NEAR;
    if (i % 60 == 0)
      head_is_at(arena, outcome, overlay, t);
  }
  /* Sinking laps may round a joint a little differently from the lap that is drawn. */
  if (on_axis * 100 < TIMES * 97)
    fail_msg("the head's axis is on its way at %d of %d times", on_axis, TIMES);
  drawn_free(&drawn);
}

/* The pool's place on the wall, found from the tip and not from the plan's legs. */
static vec2 pool_at(const struct outcome *outcome, size_t overlay, double t) {
  const struct cell *cell = outcome->job->cell;
  struct pose pose = draw_pose_at(outcome->motion, t);
  double away,
      s = contour_foot(outcome->plan->overlays[overlay].contour, tip_of(cell, pose), &away);
  return (vec2){s, outcome->plan->placement.at.z - (pose.z - cell->drop)};
}

static double bead_distance(struct paths *paths, const struct phase *phase, int lap, vec2 at,
                            double perimeter) {
  char node[200];
  snprintf(node, sizeof node, "//s:path[@class='bead'][@data-layer='%d'][@data-lap='%d']",
           (int)phase->layer, lap);
  size_t count = drawn_count(paths->drawn, node);
  double off = INFINITY;
  for (size_t k = 1; k <= count; k++) {
    char one[260];
    snprintf(one, sizeof one, "(%s)[%zu]", node, k);
    for (int turn = -1; turn <= 1; turn++)
      off = fmin(off, path_distance(path_get(paths, one), (vec2){at.x + turn * perimeter, at.y}));
  }
  return off;
}

static void overlay_beads(struct arena *arena, const struct outcome *outcome, size_t overlay,
                          struct random *random) {
  struct drawn drawn = drawn_read(draw_wall(arena, outcome, overlay, &plain_look));
  struct paths *paths = arena_alloc(arena, 1, sizeof *paths);
  double tick = outcome->job->cell->tick;
  paths->arena = arena;
  paths->drawn = &drawn;
  for (int i = 0; i < TIMES; i++) {
    double t;
    const struct phase *phase = any_weld(random, outcome->motion, overlay, &t);
    if (t < (double)phase->wire.feed0 * tick || t > (double)phase->wire.feed1 * tick)
      continue;
    struct run_info info = phase_run_info(outcome->motion, phase);
    int lap = (int)info.run->legs[run_leg_at(outcome->motion, phase, t)].lap;
    vec2 at = pool_at(outcome, overlay, t);
    double off = bead_distance(paths, phase, lap, at, info.overlay->contour->perimeter);
    if (off > NEAR)
      fail_msg("t = %.6f s: s %.4f, depth %.4f is %.4f mm beside its bead", t, at.x, at.y, off);
  }
  drawn_free(&drawn);
}

static void each_overlay(void **state) {
  const struct program *program = *state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, program->path);
  struct random random = {SEED};
  print_message("seed %d\n", SEED);
  for (size_t i = 0; i < outcome.plan->overlay_count; i++)
    program->put(arena, &outcome, i, &random);
  arena_free(arena);
}

int main(void) {
  static struct program programs[] = {
      {"ways: rings in two layers", "programs/valve_bore.lay", overlay_ways},
      {"ways: a spiral past a port", "programs/cross_port.lay", overlay_ways},
      {"ways: a boss", "programs/boss_cavity.lay", overlay_ways},
      {"ways: a pocket", "programs/corner_pocket.lay", overlay_ways},
      {"beads: rings in two layers", "programs/valve_bore.lay", overlay_beads},
      {"beads: rings over a keyway", "programs/keyway_track.lay", overlay_beads},
      {"beads: a spiral past a port", "programs/cross_port.lay", overlay_beads},
      {"beads: a boss", "programs/boss_cavity.lay", overlay_beads},
      {"beads: a pocket, stepped", "programs/corner_pocket.lay", overlay_beads},
      {"beads: two bores, clockwise", "programs/twin_bores.lay", overlay_beads}};
  enum { COUNT = sizeof programs / sizeof programs[0] };
  struct CMUnitTest tests[COUNT];
  for (size_t i = 0; i < COUNT; i++)
    tests[i] = (struct CMUnitTest){programs[i].name, each_overlay, NULL, NULL, &programs[i]};
  int failed = cmocka_run_group_tests_name("draw/motion", tests, NULL, NULL);
  xmlCleanupParser();
  return failed;
}
