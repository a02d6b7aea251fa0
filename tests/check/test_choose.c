/* Layers and overlap that are left open, against all smaller choices: every one of them is planned
 * with plain numbers and judged by the checks themselves. */
#include "support/plan_job.h"

#include "check/band.h"
#include "check/rules.h"
#include "check/thick.h"
#include "support/random.h"

enum { LAYERS = 6, ROUNDS = 400 };

struct open_job {
  struct plan_job made;
  struct layer layers[LAYERS];
};

/* Whole turns of the longest run of a layer, by its paths. */
static double longest_run(const struct plan_overlay *overlay, const struct plan_layer *layer) {
  double most = 0;
  for (size_t i = 0; i < layer->path_count && layer->path_count == 1; i++) {
    const struct plan_path *path = &layer->paths[i];
    double length = -path->tie_in;
    for (size_t leg = 0; leg < path->leg_count; leg++)
      length += path->legs[leg].s_length;
    most = fmax(most, floor(length / overlay->contour->perimeter + 1e-9));
  }
  return overlay->overlay->pattern == PATTERN_RINGS ? 0 : most;
}

/* The checks of what lies on the wall, on a plan; qualified ranges; how far the head turns. */
static bool checks_hold(struct arena *arena, const struct plan *plan) {
  struct motion motion = {.plan = plan};
  struct scene scene = {arena, &motion, false};
  struct check_result results[] = {thickness_check(&scene), flatness_check(&scene),
                                   iron_check(&scene), qualified_check(&scene)};
  for (size_t i = 0; i < sizeof results / sizeof results[0]; i++)
    if (results[i].judged && !results[i].passed)
      return false;
  const struct plan_overlay *overlay = &plan->overlays[0];
  const struct axis_limits *head = &plan->job->cell->axis[AXIS_HEAD];
  for (size_t k = 0; k < overlay->layer_count; k++)
    if (!head->endless && longest_run(overlay, &overlay->layers[k]) >
                              (head->travel.hi - head->travel.lo) / (2 * 3.14159265358979))
      return false;
  for (size_t k = 0; k < overlay->layer_count; k++)
    if (band_gap_find(arena, overlay, &overlay->layers[k]).missing > 1e-6)
      return false;
  return true;
}

/* Plain numbers: so many layers, so many laps in every layer whose overlap was open. */
static bool would_do(const struct open_job *open, size_t layers, int laps) {
  struct plan_job plain;
  plan_job_init(&plain);
  struct layer rows[LAYERS];
  memcpy(plain.procedures, open->made.procedures, sizeof plain.procedures);
  plain.cell = open->made.cell;
  plain.wall = open->made.wall;
  plain.overlay = open->made.overlay;
  plain.overlay.wall = &plain.wall;
  plain.overlay.layers = rows;
  plain.overlay.layer_count = layers;
  plain.overlay.layers_auto = false;
  for (size_t k = 0; k < layers; k++) {
    rows[k] = open->layers[k];
    rows[k].procedure = &plain.procedures[rows[k].procedure - open->made.procedures];
    if (!rows[k].overlap_auto)
      continue;
    double width = rows[k].procedure->bead_width, rest = rows[k].depths.hi - rows[k].depths.lo;
    rows[k].overlap_auto = false;
    rows[k].has_pitch = true;
    rows[k].pitch = laps > 1 ? (rest - width) / (laps - 1) : width;
  }
  const struct plan *plan = plan_make(plain.arena, &plain.job, plain.diags);
  bool does = plan && checks_hold(plain.arena, plan);
  plan_job_free(&plain);
  return does;
}

/* Laps of a band at no overlap, and at one of half a bead. */
static int laps_least(double band, double width) {
  return 1 + (int)fmax(ceil((band - width) / width - 1e-9), 0);
}
static int laps_most(double band, double width) {
  int most = 1 + (int)floor((band - width) / (width / 2) + 1e-9);
  return most > laps_least(band, width) ? most : laps_least(band, width);
}

static void random_wall(struct random *random, struct shape *wall) {
  double width = random_between(random, 40, 160);
  wall->kind = (enum shape_kind)random_whole(random, SHAPE_ROUND, SHAPE_RECTANGLE);
  wall->diameter = wall->width = width;
  wall->length = width + random_between(random, 5, 100);
  wall->corner = random_between(random, 6, 19);
}

static void random_open(struct random *random, struct open_job *open, bool same_bead) {
  struct plan_job *made = &open->made;
  plan_job_init(made);
  random_wall(random, &made->wall);
  double width = random_between(random, 4, 12), band = width * random_between(random, 1, 9);
  for (int k = 0; k < PLAN_JOB_LAYERS; k++) {
    struct procedure *p = &made->procedures[k];
    p->bead_width = width;
    p->wire_feed_speed = random_between(random, 5, 40);
    p->has_dilution = p->has_iron_wire = p->has_iron_base = true;
    p->dilution = random_between(random, 0.05, 0.6);
    p->iron_wire = 0.004;
    p->iron_base = 0.97;
  }
  bool deeper = random_whole(random, 0, 1) == 1;
  for (int k = 0; k < LAYERS; k++)
    open->layers[k] =
        (struct layer){.procedure = &made->procedures[same_bead ? 0 : random_whole(random, 0, 2)],
                       .overlap_auto = true,
                       .depths = {20, 20 + band},
                       .deeper = deeper};
  made->overlay.layers = open->layers;
  made->overlay.pattern = (enum pattern)random_whole(random, PATTERN_SPIRAL, PATTERN_RINGS);
  made->overlay.over_valleys = random_whole(random, 0, 2) == 0;
  made->overlay.layers_auto = random_whole(random, 0, 3) > 0;
  made->overlay.layer_count =
      made->overlay.layers_auto ? LAYERS : (size_t)random_whole(random, 1, LAYERS);
  made->overlay.has_required_thickness = random_whole(random, 0, 3) > 0;
  made->overlay.required_thickness = random_between(random, 0.5, 12);
  made->overlay.has_required_flatness =
      !made->overlay.has_required_thickness || random_whole(random, 0, 1) == 1;
  made->overlay.required_flatness = random_between(random, 0, 1.5);
  made->overlay.has_required_finish = random_whole(random, 0, 3) == 0;
  made->overlay.required_finish =
      made->overlay.required_thickness * random_between(random, 0.98, 1.3);
  made->overlay.has_required_iron = random_whole(random, 0, 2) == 0;
  made->overlay.required_iron = random_between(random, 0.004, 0.4);
}

/* A procedure of further layers is not qualified for what it asks; the head winds up. */
static void random_limits(struct random *random, struct open_job *open) {
  struct procedure *first = open->layers[0].procedure == &open->made.procedures[0]
                                ? &open->made.procedures[1]
                                : &open->made.procedures[0];
  enum limit_kind kind = (enum limit_kind)random_whole(random, LIMIT_CURRENT, LIMIT_HEAT_INPUT);
  if (open->made.overlay.layers_auto && random_whole(random, 0, 1) == 1) {
    first->has_limit[kind] = true;
    first->limit[kind] = (struct range){-(double)INFINITY, 1e-3};
  }
  if (random_whole(random, 0, 1) == 1)
    open->made.cell.axis[AXIS_HEAD] =
        (struct axis_limits){.travel = {0, random_between(random, 10, 120)}};
}

/* Some layers keep an overlap of their own. */
static void random_fixed(struct random *random, struct open_job *open) {
  double fixed = random_between(random, 0, 0.5);
  bool all = random_whole(random, 0, 1) == 1;
  open->made.overlay.over_valleys = false;
  for (int k = 0; k < LAYERS; k++)
    if (all || random_whole(random, 0, 1) == 1) {
      open->layers[k].overlap_auto = false;
      open->layers[k].overlap = fixed;
    }
}

static bool any_open(const struct open_job *open, size_t layers) {
  for (size_t k = 0; k < layers; k++)
    if (open->layers[k].overlap_auto)
      return true;
  return false;
}

/* No choice before this one does: fewer layers at any laps, as many at fewer laps. */
static void assert_none_before(const struct open_job *open, size_t layers, int laps, int round) {
  struct range depths = open->layers[0].depths;
  double band = depths.hi - depths.lo, width = open->made.procedures[0].bead_width;
  size_t from = open->made.overlay.layers_auto ? 1 : open->made.overlay.layer_count;
  for (size_t k = from; k <= layers && k <= open->made.overlay.layer_count; k++) {
    int most = k < layers ? laps_most(band, width) : laps - 1;
    if (!any_open(open, k) && k == layers)
      continue;
    for (int n = laps_least(band, width); n <= most; n++)
      if (would_do(open, k, n))
        fail_msg("round %d: %zu layers of %d laps would do", round, k, n);
  }
}

static int open_laps(const struct open_job *open, const struct plan_overlay *overlay) {
  for (size_t k = 0; k < overlay->layer_count; k++)
    if (open->layers[k].overlap_auto && !overlay->layers[k].is_over_valleys)
      return (int)overlay->layers[k].laps;
  return 0;
}

static void assert_told(const struct plan_overlay *overlay) {
  const struct plan_choice *choice = overlay->choice;
  assert_non_null(choice);
  assert_true(choice->chosen.is_met);
  assert_int_equal(choice->chosen.layers, overlay->layer_count);
  int64_t laps = 0;
  for (size_t k = 0; k < overlay->layer_count; k++)
    laps += overlay->layers[k].laps;
  assert_int_equal(choice->chosen.laps, laps);
  const struct plan_try *less[] = {&choice->fewer, &choice->wider};
  for (int i = 0; i < 2; i++)
    assert_true(!(i ? choice->has_wider : choice->has_fewer) || !less[i]->is_met);
}

static void nothing_smaller_would_do(void **state) {
  (void)state;
  struct random random = {20261126};
  print_message("seed %d\n", 20261126);
  int met = 0, unmet = 0;
  for (int round = 0; round < ROUNDS; round++) {
    struct open_job open;
    random_open(&random, &open, round % 3 == 0);
    if (round % 4 == 1)
      random_fixed(&random, &open);
    if (round % 5 < 2)
      random_limits(&random, &open);
    bool asks = any_open(&open, open.made.overlay.layer_count) || open.made.overlay.layers_auto;
    const struct plan *plan =
        asks ? plan_make(open.made.arena, &open.made.job, open.made.diags) : NULL;
    /* without a choice it is handed on, for a later stage to refuse */
    if (plan && plan->overlays[0].choice) {
      const struct plan_overlay *overlay = &plan->overlays[0];
      if (!checks_hold(open.made.arena, plan))
        fail_msg("round %d: what was chosen does not hold", round);
      assert_told(overlay);
      assert_none_before(&open, overlay->layer_count, open_laps(&open, overlay), round);
      met++;
    } else if (asks) {
      assert_none_before(&open, LAYERS + 1, 0, round);
      unmet++;
    }
    plan_job_free(&open.made);
  }
  print_message("%d met, %d could not be\n", met, unmet);
  assert_true(met > ROUNDS / 4 && unmet > ROUNDS / 10);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(nothing_smaller_would_do)};
  return cmocka_run_group_tests_name("open layers and overlap", tests, NULL, NULL);
}
