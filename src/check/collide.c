/* collide.c - the right metal for every phase, and src/clear for the distances.
 *
 * Pieces go to clear_pieces() in batches, since the chord between two rows may reach over several
 * pieces: each batch is seen with a tick's worth of pieces on either side, which may be judged with
 * another batch.  A phase begins and ends on rows. */
#include "check/collide.h"

#include <math.h>
#include <string.h>

#include "borelay/arena.h"

enum { BATCH = 64 };
static const double ELECTRODE_LESS = 0.1; /* mm */

static const struct cell *cell_of(const struct collide_judge *judge) {
  return judge->scene->motion->plan->job->cell;
}

struct collide_judge collide_begin(const struct scene *scene) {
  struct collide_judge judge = {.scene = scene,
                                .standing = standing_begin(scene->arena, scene->motion)};
  judge.solid_kept.bare = judge.electrode_kept.bare = scene->motion->bare;
  judge.solid_kept.home = judge.electrode_kept.home = scene->arena;
  judge.solid_kept.other = scene->motion->solid;
  judge.electrode_kept.other = scene->motion->electrode;
  judge.body.least = judge.torch.least = judge.tip.least = clear_begin(HUGE_VAL);
  return judge;
}

/* On the way from one procedure's run to another's the electrode keeps the lesser arc length. */
static double arc_length_now(struct collide_judge *judge, const struct phase *phase) {
  if (phase->kind == PHASE_WELD)
    judge->left = phase->plan_layer;
  const struct plan_layer *to = phase->plan_layer, *from = judge->left;
  if (phase->kind != PHASE_MOVE && phase->kind != PHASE_WAIT)
    from = to;
  double least = HUGE_VAL;
  if (to)
    least = to->procedure->arc_length;
  if (from)
    least = fmin(least, from->procedure->arc_length);
  return least;
}

void collide_phase_begin(struct collide_judge *judge, const struct phase *phase) {
  struct standing *standing = &judge->standing;
  standing_step(standing, judge->scene->motion, phase);
  const struct plan *plan = judge->scene->motion->plan;
  if (standing->solid_changed)
    judge->solid =
        metal_keep(&judge->solid_kept, plan, (struct clad_state){standing->solid, false});
  if (standing->electrode_changed)
    judge->electrode =
        metal_keep(&judge->electrode_kept, plan, (struct clad_state){standing->electrode, true});
  standing->solid_changed = standing->electrode_changed = false;
  judge->arc_length = arc_length_now(judge, phase);
  judge->count = judge->judged = 0;
}

/* One kind of part: what matters is its distance less the limit that holds now. */
struct kind_ask {
  struct near_miss *miss;
  double limit;
  const struct near_miss *beside; /* told instead where it has less room; NULL: none is */
  double below;                   /* distances that count, mm */
  struct clear_result least;
};

/* What leaves no less room than the miss does, at another limit; 0 adds no rounding: the first of
 * equals stays. */
static double as_near(const struct near_miss *miss, double limit) {
  return miss->least.distance + (limit - miss->limit);
}

static struct clear_ask kind_begin(struct kind_ask *kind, const struct metal *metal,
                                   struct clear_parts parts) {
  kind->below = as_near(kind->miss, kind->limit);
  if (kind->beside)
    kind->below = fmin(kind->below, as_near(kind->beside, kind->limit));
  kind->least = clear_begin(kind->below);
  return (struct clear_ask){metal, parts, &kind->least};
}

static void kind_end(const struct phase *phase, const struct kind_ask *kind) {
  struct near_miss *miss = kind->miss;
  if (!(kind->least.distance < kind->below))
    return;
  miss->least = kind->least;
  miss->limit = kind->limit;
  miss->phase = phase;
}

/* Of all three kinds; the tip's comes last. */
static const struct clear_parts KIND_PARTS[] = {
    {.bodies = true, .shifted = true}, {.torch = true, .shifted = true}, {.electrode = true}};
enum { KIND_COUNT = sizeof KIND_PARTS / sizeof KIND_PARTS[0] };

/* swings: not NULL: they, instead of pieces. */
static void kinds_judge(struct collide_judge *judge, const struct phase *phase,
                        const struct swings *swings, size_t last) {
  const struct cell *cell = cell_of(judge);
  bool electrode = phase->kind != PHASE_TOUCH && isfinite(judge->arc_length);
  struct kind_ask kinds[KIND_COUNT] = {
      {.miss = &judge->body, .limit = cell->clearance},
      {.miss = &judge->torch,
       .limit = cell->torch_clearance,
       .beside = judge->wants_each ? NULL : &judge->tip},
      {.miss = &judge->tip,
       .limit = judge->arc_length - ELECTRODE_LESS,
       .beside = judge->wants_each ? NULL : &judge->torch},
  };
  const struct metal *metals[KIND_COUNT] = {judge->solid, judge->solid, judge->electrode};
  size_t count = electrode ? KIND_COUNT : KIND_COUNT - 1;
  struct clear_ask asks[KIND_COUNT];
  for (size_t i = 0; i < count; i++)
    asks[i] = kind_begin(&kinds[i], metals[i], KIND_PARTS[i]);
  if (swings)
    clear_swings(cell, swings, asks, count);
  else
    clear_pieces(cell, judge->pieces, judge->count, judge->judged, last, asks, count);
  for (size_t i = 0; i < count; i++)
    kind_end(phase, &kinds[i]);
}

/* -- looking ahead ----------------------------------------------------------------------------- */

static const struct phase *first_weld(const struct motion *motion) {
  for (size_t i = 0; i < motion->phase_count; i++)
    if (motion->phases[i].kind == PHASE_WELD)
      return &motion->phases[i];
  return NULL;
}

/* The head stands there for a tick. */
static struct piece stand_at(struct pose pose, double tick) {
  return (struct piece){.t1 = tick,
                        .curve = {.length = 1,
                                  .is_line = true,
                                  .centre = {pose.x, pose.y},
                                  .direction = {1, 0},
                                  .head = {pose.head, 0, 0, 0},
                                  .z = {pose.z, 0, 0, 0}}};
}

/* A figure of src/clear is at most 0.01 below the distance, and no clad is nearer to the head than
 * what it lies on: so the weld comes nearer than this. */
static const double AHEAD_MORE = 0.011; /* mm */

void collide_look_ahead(struct collide_judge *judge) {
  const struct motion *motion = judge->scene->motion;
  const struct cell *cell = cell_of(judge);
  const struct phase *weld = first_weld(motion);
  if (!weld || !motion->bare)
    return;
  double t = (double)weld->tick0 * cell->tick;
  struct piece piece = stand_at(phase_pose(motion, weld, t), cell->tick);
  struct near_miss *misses[KIND_COUNT] = {&judge->body, &judge->torch, &judge->tip};
  const double limits[KIND_COUNT] = {cell->clearance, cell->torch_clearance,
                                     weld->plan_layer->procedure->arc_length - ELECTRODE_LESS};
  struct clear_result found[KIND_COUNT];
  struct clear_ask asks[KIND_COUNT];
  for (size_t i = 0; i < KIND_COUNT; i++) {
    found[i] = clear_begin(HUGE_VAL);
    asks[i] = (struct clear_ask){motion->bare, KIND_PARTS[i], &found[i]};
  }
  clear_pieces(cell, &piece, 1, 0, 1, asks, KIND_COUNT);
  for (size_t i = 0; i < KIND_COUNT; i++) {
    misses[i]->least = clear_begin(found[i].distance + AHEAD_MORE);
    misses[i]->limit = limits[i];
  }
}

static void batch_judge(struct collide_judge *judge, const struct phase *phase, size_t last) {
  kinds_judge(judge, phase, NULL, last);
  judge->judged = last;
}

/* Pieces at the end of the batch that the last tick may touch stay for the next one. */
static void batch_shift(struct collide_judge *judge) {
  double needed = judge->pieces[judge->judged].t0 - cell_of(judge)->tick;
  size_t old = 0;
  while (old < judge->judged && judge->pieces[old].t1 < needed)
    old++;
  judge->count -= old;
  judge->judged -= old;
  memmove(judge->pieces, judge->pieces + old, judge->count * sizeof *judge->pieces);
}

/* How many of the pieces have a whole tick of others behind them. */
static size_t batch_ready(const struct collide_judge *judge) {
  double end = judge->pieces[judge->count - 1].t1 - cell_of(judge)->tick;
  size_t ready = judge->count;
  while (ready > judge->judged && judge->pieces[ready - 1].t1 > end)
    ready--;
  return ready;
}

static void piece_add(struct collide_judge *judge, const struct piece *piece) {
  if (judge->count == judge->room) {
    size_t room = judge->room > 0 ? 2 * judge->room : 16;
    judge->pieces =
        arena_grow(judge->scene->arena, judge->pieces, judge->room, room, sizeof *judge->pieces);
    judge->room = room;
  }
  judge->pieces[judge->count++] = *piece;
}

void collide_piece(struct collide_judge *judge, const struct phase *phase,
                   const struct piece *piece) {
  piece_add(judge, piece);
  if (judge->count - judge->judged < BATCH)
    return;
  size_t ready = batch_ready(judge);
  if (ready == judge->judged)
    return;
  batch_judge(judge, phase, ready);
  if (ready < judge->count)
    batch_shift(judge);
}

static void half_sway_add(struct collide_judge *judge, const struct swings *swings, int64_t i) {
  struct piece pieces[HALF_PIECES];
  size_t count = swings_pieces(swings, i, pieces);
  for (size_t k = 0; k < count; k++)
    piece_add(judge, &pieces[k]);
}

/* A half sway that is joined lasts longer than a tick (borelay/motion.h): their first one is what
 * the pieces before them see, their last one what those behind see. */
void collide_swings(struct collide_judge *judge, const struct phase *phase,
                    const struct swings *swings) {
  size_t before = judge->count;
  half_sway_add(judge, swings, 0);
  if (before > judge->judged)
    batch_judge(judge, phase, before);
  kinds_judge(judge, phase, swings, 0);
  judge->count = 0;
  half_sway_add(judge, swings, swings->count - 1);
  judge->judged = judge->count;
}

void collide_phase_end(struct collide_judge *judge, const struct phase *phase) {
  if (judge->count > judge->judged)
    batch_judge(judge, phase, judge->count);
}

bool near_miss_holds(const struct near_miss *miss) {
  return !miss->phase || miss->least.distance >= miss->limit - CHECK_SLACK * fabs(miss->limit);
}

static struct check_result miss_result(const struct collide_judge *judge, const char *name,
                                       const struct near_miss *miss) {
  if (!miss->phase)
    return finding_not_asked(name, "mm");
  struct arena *arena = judge->scene->arena;
  struct peak peak = {miss->least.distance, miss->least.t, miss->phase};
  /* The bound lies a little below the truth, which is never below 0: at 0 they meet. */
  bool meets = miss->least.distance <= 0, passed = near_miss_holds(miss);
  const char *what = NULL;
  if (finding_is_told(judge->scene, passed))
    what = arena_format(arena, "%s %s %s", clear_part_name(arena, cell_of(judge), &miss->least),
                        meets ? "strikes" : "to",
                        metal_hit_name(arena, judge->solid, miss->least.metal));
  struct check_result result = finding_at(judge->scene, name, &peak, passed, what);
  result.worst = meets ? 0 : miss->least.distance;
  result.limit = miss->limit;
  result.unit = "mm";
  return result;
}

const struct near_miss *collide_torch_miss(const struct collide_judge *judge) {
  double torch = judge->torch.least.distance - judge->torch.limit;
  double tip = judge->tip.least.distance - judge->tip.limit;
  return tip < torch ? &judge->tip : &judge->torch;
}

void collide_release(struct collide_judge *judge) {
  metal_kept_release(&judge->solid_kept);
  metal_kept_release(&judge->electrode_kept);
}

void collide_end(struct collide_judge *judge, struct check_result results[2]) {
  results[0] = miss_result(judge, "clearance", &judge->body);
  results[1] = miss_result(judge, "torch-clearance", collide_torch_miss(judge));
  collide_release(judge);
}
