/* verdict.c - every check once, in the order in which docs/semantics.md lists them.
 *
 * One walk over the phases and their pieces serves all checks of the motion; what the plan alone
 * decides follows.  Nothing is kept of the pieces, so memory does not grow with laps or rows. */
#include "borelay/check.h"

#include "borelay/arena.h"
#include "check/advice.h"
#include "check/axes.h"
#include "check/collide.h"
#include "check/cover.h"
#include "check/heat.h"
#include "check/range.h"
#include "check/rules.h"
#include "check/sums.h"
#include "check/thick.h"
#include "check/tip.h"
#include "check/wall.h"

enum {
  AXES = 0, /* and the three after it */
  WORKING_RANGE = 4,
  CLEARANCE = 5, /* and torch-clearance */
  WALL = 7,
  WIRE_SIDE = 8,
  TIP = 9, /* and torch-angle, travel-speed, arc-zones */
  COVERAGE = 13,
  QUALIFIED = 14,
  THICKNESS = 15,
  FLATNESS = 16,
  IRON = 17,
  RESULT_COUNT = 18
};

struct judges {
  struct axes_judge axes;
  struct range_judge range;
  struct tip_judge tip;
  struct collide_judge collide;
};

static void judge_piece(struct judges *judges, const struct phase *phase,
                        const struct piece *piece) {
  struct jet_stretch whole; /* of the piece, worked out once for all who ask */
  piece_jet_stretch(piece, piece->t0, piece->t1, &whole);
  axes_piece(&judges->axes, phase, piece, &whole);
  range_piece(&judges->range, phase, piece, &whole);
  tip_piece(&judges->tip, phase, piece);
  collide_piece(&judges->collide, phase, piece);
}

static void judge_swings(struct judges *judges, const struct phase *phase,
                         const struct swings *swings) {
  axes_swings(&judges->axes, phase, swings);
  range_swings(&judges->range, phase, swings);
  tip_swings(&judges->tip, phase, swings);
  collide_swings(&judges->collide, phase, swings);
}

static void walk_phase(const struct scene *scene, struct judges *judges,
                       const struct phase *phase) {
  struct piece_iter iter;
  struct piece piece;
  struct swings swings;
  collide_phase_begin(&judges->collide, phase);
  piece_iter_begin_joined(&iter, scene->motion, phase);
  while (piece_iter_next(&iter, &piece))
    if (piece_iter_swings(&iter, &piece, &swings))
      judge_swings(judges, phase, &swings);
    else
      judge_piece(judges, phase, &piece);
  piece_iter_release(&iter);
  collide_phase_end(&judges->collide, phase);
}

/* What does not hold in a rehearsal holds at the weld's own pace, as it was judged before: no other
 * band or part is to be looked for. */
static void advise(const struct scene *scene, const struct judges *judges,
                   struct check_result *results) {
  if (scene->motion->mode != MODE_REHEARSAL) {
    advice_add(scene, &judges->collide, &results[CLEARANCE]);
    return;
  }
  for (size_t i = 0; i < RESULT_COUNT; i++)
    if (results[i].judged && !results[i].passed)
      results[i].help = "so hurried it does not hold, but at the pace of the weld (`--times 1`) it "
                        "does: rehearse slower";
}

static void walk(const struct scene *scene, struct check_result *results) {
  struct judges judges = {axes_begin(scene), range_begin(scene), tip_begin(scene),
                          collide_begin(scene)};
  collide_look_ahead(&judges.collide);
  for (size_t i = 0; i < scene->motion->phase_count; i++)
    walk_phase(scene, &judges, &scene->motion->phases[i]);
  axes_end(&judges.axes, &results[AXES]);
  results[WORKING_RANGE] = range_end(&judges.range);
  tip_end(&judges.tip, &results[TIP]);
  collide_end(&judges.collide, &results[CLEARANCE]);
  advise(scene, &judges, results);
}

/* What the plan alone decides, and what lies on the wall in the end: of a whole weld.  In a
 * rehearsal nothing is laid, and where a weld is taken up again the rest of it was. */
static void judge_plan(const struct scene *scene, struct check_result *results,
                       struct bare_list *bare) {
  if (scene->motion->mode != MODE_WELD) {
    results[WALL] = finding_not_asked("wall-in-envelope", "mm");
    results[WIRE_SIDE] = finding_not_asked("wire-side", "layers");
    results[COVERAGE] = finding_not_asked("coverage", "mm");
    results[QUALIFIED] = finding_not_asked("qualified-range", "");
    results[THICKNESS] = finding_not_asked("thickness", "mm");
    results[FLATNESS] = finding_not_asked("flatness", "mm");
    results[IRON] = finding_not_asked("iron", "%");
    return;
  }
  results[WALL] = wall_check(scene);
  results[WIRE_SIDE] = wire_side_check(scene);
  results[COVERAGE] = cover_check(scene, bare);
  results[QUALIFIED] = qualified_check(scene);
  results[THICKNESS] = thickness_check(scene);
  results[FLATNESS] = flatness_check(scene);
  results[IRON] = iron_check(scene);
}

static const struct verdict *judge_all(const struct scene *scene) {
  struct arena *arena = scene->arena;
  const struct motion *motion = scene->motion;
  struct bare_list bare = {.arena = arena};
  struct verdict *verdict = arena_alloc(arena, 1, sizeof *verdict);
  verdict->results = arena_alloc(arena, RESULT_COUNT, sizeof *verdict->results);
  verdict->result_count = RESULT_COUNT;
  walk(scene, verdict->results);
  judge_plan(scene, verdict->results, &bare);
  verdict->passed = true;
  for (size_t i = 0; i < RESULT_COUNT; i++)
    verdict->passed =
        verdict->passed && (!verdict->results[i].judged || verdict->results[i].passed);
  verdict->quantities = sums_make(arena, motion, &bare);
  verdict->bare = bare.items;
  verdict->bare_count = bare.count;
  verdict->runs = arc_runs_make(arena, motion, &verdict->run_count);
  verdict->heats = run_heats_make(arena, motion, verdict->run_count);
  return verdict;
}

const struct verdict *check_motion(struct arena *arena, const struct motion *motion) {
  return judge_all(&(struct scene){arena, motion, false});
}

const struct verdict *check_motion_briefly(struct arena *arena, const struct motion *motion) {
  return judge_all(&(struct scene){arena, motion, true});
}
