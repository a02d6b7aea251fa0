/* brute.h - least distances over a whole motion by samples: the judge that src/clear is held
 * against.
 *
 * Of the motion only piece_at() and the phases' names are used.  Times are looked at evenly, and
 * again in halves wherever something smaller may hide, down to a thousandth of a tick.  The bound
 * on what hides between two looks is coarse on purpose: with h the time between them, each axis
 * leaves its own chord by at most a h^2/8, a being its limit in the cell (held by axis-accel), and
 * along the chord no point of a solid moves farther than m = |dH| + lever |dhead|,           so
 * that D >= (D0 + D1 - m)/2 - (a_H + lever a_head) h^2/8. The least of these is kept: how far the
 * least sample may lie above the truth is told, not guessed.
 *
 * The controller's straight runs from row to row are sampled at the same times. */
#ifndef TESTS_CHECK_BRUTE_H
#define TESTS_CHECK_BRUTE_H

#include "borelay/motion.h"
#include "check/brute_head.h"

enum brute_group { BRUTE_BODIES, BRUTE_TORCH, BRUTE_ELECTRODE, BRUTE_GROUPS };

struct brute_least {
  bool judged;
  double motion; /* least of distance less limit over the samples of the motion */
  double rows;   /* the same on the straight runs between rows */
  double bound;  /* the truth is at most this far below `motion` */
  double limit;  /* where `motion` is */
  double t;
  struct pose pose; /* cell frame */
  size_t solid;     /* of the group's: body; torch body, guards */
};

enum { BRUTE_SOLIDS = 16, BRUTE_METALS = 32 };
struct brute {
  const struct motion *motion;
  struct brute_part *part;
  struct brute_metal *metals[BRUTE_METALS];
  size_t metal_count;
  struct brute_solid solids[BRUTE_GROUPS][BRUTE_SOLIDS];
  size_t solid_count[BRUTE_GROUPS];
  double fine;          /* mm: what may stay hidden between two looks */
  struct piece *pieces; /* of the phase */
  size_t piece_count, piece_room;
  double hidden[BRUTE_GROUPS]; /* least bound of what was not looked into */
  double nearest_axis[BRUTE_GROUPS];
  struct brute_least least[BRUTE_GROUPS];
  long looks;
};

static inline void brute_begin(struct brute *brute, const struct motion *motion, double spacing,
                               double fine) {
  const struct cell *cell = motion->plan->job->cell;
  *brute = (struct brute){.motion = motion, .fine = fine};
  brute->part = brute_part_make(motion->plan, spacing);
  for (size_t i = 0; i < cell->body_count; i++)
    brute->solids[BRUTE_BODIES][i] = brute_body(&cell->bodies[i], cell->correction);
  brute->solid_count[BRUTE_BODIES] = cell->body_count;
  struct brute_solid *torch = brute->solids[BRUTE_TORCH];
  double end = cell->reach - cell->electrode_extension; /* of the round end of a level torch */
  vec3 tip = {cell->reach, 0, -cell->drop}, root = cell->torch.from;
  double dx = tip.x - root.x, dz = tip.z - root.z, length = hypot(dx, dz);
  double stop = (length - cell->electrode_extension) / length; /* of the body's end, as a share */
  double centre = (length - cell->electrode_extension - cell->torch.radius) / length;
  if (dz == 0)
    assert_close(root.x + stop * dx, end, 1e-9, 0);
  vec3 middle = {root.x + centre * dx, root.y, root.z + centre * dz};
  torch[0] = brute_capsule(root, middle, cell->torch.radius, cell->correction);
  for (size_t i = 0; i < cell->guard_count; i++)
    torch[1 + i] = brute_capsule(cell->guards[i].from, cell->guards[i].to, cell->guards[i].radius,
                                 cell->correction);
  brute->solid_count[BRUTE_TORCH] = 1 + cell->guard_count;
  vec3 bare = {root.x + stop * dx, root.y, root.z + stop * dz};
  brute->solids[BRUTE_ELECTRODE][0] = brute_capsule(bare, tip, 0, 0);
  brute->solid_count[BRUTE_ELECTRODE] = 1;
  for (int group = 0; group < BRUTE_GROUPS; group++) {
    brute->hidden[group] = brute->nearest_axis[group] = HUGE_VAL;
    brute->least[group] = (struct brute_least){.motion = HUGE_VAL, .rows = HUGE_VAL};
  }
}

static inline void brute_end(struct brute *brute) {
  for (size_t i = 0; i < brute->metal_count; i++)
    brute_metal_free(brute->metals[i]);
  free(brute->part);
  free(brute->pieces);
}

/* -- which metal stands, from the order of the phases alone ----------------------------- */

static inline bool brute_lays(const struct phase *phase, size_t overlay, size_t layer) {
  bool at_wall = phase->kind == PHASE_TOUCH || phase->kind == PHASE_PREFLOW ||
                 phase->kind == PHASE_UPSLOPE || phase->kind == PHASE_WELD;
  return at_wall && phase->overlay == (int32_t)overlay + 1 && phase->layer == (int32_t)layer + 1;
}

/* Layer's first phase at the wall; the phase after the back-off that follows its last weld. */
static inline size_t brute_layer_begins(const struct motion *motion, size_t overlay, size_t layer) {
  size_t i = 0;
  while (i < motion->phase_count && !brute_lays(&motion->phases[i], overlay, layer))
    i++;
  return i;
}
static inline size_t brute_layer_over(const struct motion *motion, size_t overlay, size_t layer) {
  size_t i = motion->phase_count;
  while (i > 0 && !brute_lays(&motion->phases[i - 1], overlay, layer))
    i--;
  if (i == 0)
    return motion->phase_count;
  while (i < motion->phase_count && motion->phases[i].move != MOVE_BACK_OFF)
    i++;
  return i + 1;
}

static inline struct brute_metal *brute_metal_at(struct brute *brute, size_t at, bool electrode) {
  const struct plan *plan = brute->motion->plan;
  size_t layers[BRUTE_OVERLAYS] = {0};
  for (size_t i = 0; i < plan->overlay_count; i++)
    for (size_t k = 0; k < plan->overlays[i].layer_count; k++)
      if (at >= (electrode ? brute_layer_over : brute_layer_begins)(brute->motion, i, k))
        layers[i] = k + 1;
  for (size_t i = 0; i < brute->metal_count; i++)
    if (brute->metals[i]->nominal == electrode &&
        memcmp(brute->metals[i]->layers, layers, sizeof layers) == 0)
      return brute->metals[i];
  assert_true(brute->metal_count < BRUTE_METALS);
  return brute->metals[brute->metal_count++] = brute_metal_make(brute->part, layers, electrode);
}

/* What a group must keep in a phase; 0: not judged. */
static inline double brute_limit(const struct brute *brute, size_t at, enum brute_group group) {
  const struct cell *cell = brute->motion->plan->job->cell;
  if (group != BRUTE_ELECTRODE)
    return group == BRUTE_BODIES ? cell->clearance : cell->torch_clearance;
  const struct phase *phase = &brute->motion->phases[at];
  bool moves = phase->kind == PHASE_MOVE || phase->kind == PHASE_WAIT;
  double arc_length = HUGE_VAL;
  if (phase->plan_layer)
    arc_length = phase->plan_layer->procedure->arc_length;
  while (moves && at > 0) /* away from what was welded last: its own arc length counts too */
    if (brute->motion->phases[--at].kind == PHASE_WELD) {
      arc_length = fmin(arc_length, brute->motion->phases[at].plan_layer->procedure->arc_length);
      break;
    }
  return phase->kind == PHASE_TOUCH || isinf(arc_length) ? HUGE_VAL : arc_length - 0.1;
}

/* -- looks ------------------------------------------------------------------------------ */

struct brute_view { /* what is being looked through */
  struct brute *brute;
  enum brute_group group;
  size_t index; /* of the solid */
  const struct brute_metal *metal;
  const struct piece *piece;
  double limit, accel, lever;
};

static inline struct pose brute_in_part(const struct brute *brute, struct pose pose) {
  const struct placement *placement = &brute->motion->plan->placement;
  double c = cos(placement->turned), s = sin(placement->turned);
  double x = pose.x - placement->at.x, y = pose.y - placement->at.y;
  return (struct pose){x * c + y * s, y * c - x * s, pose.z - placement->at.z,
                       pose.head - placement->turned};
}

/* H on the straight from row to row, at a time; false where the rows lie outside the phase. */
static inline bool brute_on_rows(const struct brute *brute, double t, struct pose *pose) {
  double tick = brute->motion->plan->job->cell->tick, k = floor(t / tick), ends[2][4];
  size_t p = 0;
  for (int i = 0; i < 2; i++) {
    double row = (k + i) * tick;
    while (p < brute->piece_count && brute->pieces[p].t1 < row - 1e-9)
      p++;
    if (p == brute->piece_count || brute->pieces[p].t0 > row + 1e-9)
      return false;
    struct pose at = piece_at(&brute->pieces[p], row);
    memcpy(ends[i], (double[4]){at.x, at.y, at.z, at.head}, sizeof ends[i]);
  }
  double u = t / tick - k;
  *pose = (struct pose){
      ends[0][0] + u * (ends[1][0] - ends[0][0]), ends[0][1] + u * (ends[1][1] - ends[0][1]),
      ends[0][2] + u * (ends[1][2] - ends[0][2]), ends[0][3] + u * (ends[1][3] - ends[0][3])};
  return true;
}

struct brute_look {
  struct pose pose;
  double distance;
};

static inline struct brute_look brute_look(const struct brute_view *view, double t) {
  struct brute *brute = view->brute;
  struct brute_solid *solid = &brute->solids[view->group][view->index];
  struct brute_least *least = &brute->least[view->group];
  struct brute_look look = {piece_at(view->piece, t), 0};
  look.distance = brute_distance(solid, view->metal, brute_in_part(brute, look.pose));
  brute->looks++;
  double axis = look.distance + solid->radius;
  brute->nearest_axis[view->group] = fmin(brute->nearest_axis[view->group], axis);
  if (look.distance - view->limit < least->motion) {
    *least = (struct brute_least){.judged = true,
                                  .motion = look.distance - view->limit,
                                  .rows = least->rows,
                                  .limit = view->limit,
                                  .t = t,
                                  .pose = look.pose,
                                  .solid = view->index};
  }
  struct pose on_rows;
  /* only where rows, as near to the motion as they are, may come nearer than they did */
  double tick = brute->motion->plan->job->cell->tick, apart = view->accel * tick * tick / 8;
  if (look.distance - view->limit - apart < least->rows && brute_on_rows(brute, t, &on_rows)) {
    double distance = brute_distance(solid, view->metal, brute_in_part(brute, on_rows));
    least->rows = fmin(least->rows, distance - view->limit);
  }
  return look;
}

static inline void brute_halve(const struct brute_view *view, double ta, struct brute_look a,
                               double tb, struct brute_look b) {
  struct brute *brute = view->brute;
  double dx = b.pose.x - a.pose.x, dy = b.pose.y - a.pose.y, dz = b.pose.z - a.pose.z, h = tb - ta;
  double moved = sqrt(dx * dx + dy * dy + dz * dz) + view->lever * fabs(b.pose.head - a.pose.head);
  double lower = (a.distance + b.distance - moved) / 2 - view->accel * h * h / 8;
  lower = fmax(lower, 0) - view->limit;
  bool short_enough = h < brute->motion->plan->job->cell->tick / 1000;
  if (lower >= brute->least[view->group].motion - brute->fine || short_enough) {
    brute->hidden[view->group] = fmin(brute->hidden[view->group], lower);
    return;
  }
  double t = (ta + tb) / 2;
  struct brute_look middle = brute_look(view, t);
  brute_halve(view, ta, a, t, middle);
  brute_halve(view, t, middle, tb, b);
}

/* Every piece in steps of `step` s; halved further where asked. */
static inline void brute_walk(struct brute_view *view, double step, bool halve) {
  struct brute *brute = view->brute;
  struct brute_look before = {0};
  for (size_t p = 0; p < brute->piece_count; p++) {
    view->piece = &brute->pieces[p];
    double t0 = view->piece->t0, t1 = view->piece->t1;
    int steps = (int)fmax(1, ceil((t1 - t0) / step));
    if (p == 0 || brute->pieces[p - 1].t1 != t0)
      before = brute_look(view, t0);
    for (int i = 1; i <= steps; i++) {
      double ta = t0 + (i - 1) * (t1 - t0) / steps, tb = t0 + i * (t1 - t0) / steps;
      struct brute_look now = brute_look(view, tb);
      if (halve)
        brute_halve(view, ta, before, tb, now);
      before = now;
    }
  }
}

static inline void brute_take_pieces(struct brute *brute, const struct phase *phase) {
  struct piece_iter iter;
  struct piece piece;
  brute->piece_count = 0;
  piece_iter_begin(&iter, brute->motion, phase);
  while (piece_iter_next(&iter, &piece)) {
    if (brute->piece_count == brute->piece_room) {
      brute->piece_room = 2 * brute->piece_room + 64;
      brute->pieces = realloc(brute->pieces, brute->piece_room * sizeof piece);
      assert_non_null(brute->pieces);
    }
    brute->pieces[brute->piece_count++] = piece;
  }
  piece_iter_release(&iter);
}

static inline void brute_phase(struct brute *brute, size_t at, bool halve) {
  const struct cell *cell = brute->motion->plan->job->cell;
  const struct axis_limits *axis = cell->axis;
  double level = hypot(axis[AXIS_X].accel, axis[AXIS_Y].accel);
  brute_take_pieces(brute, &brute->motion->phases[at]);
  for (int group = 0; group < BRUTE_GROUPS; group++) {
    double limit = brute_limit(brute, at, (enum brute_group)group);
    if (isinf(limit))
      continue;
    struct brute_metal *metal = brute_metal_at(brute, at, group == BRUTE_ELECTRODE);
    for (size_t i = 0; i < brute->solid_count[group]; i++) {
      double lever = brute->solids[group][i].lever;
      struct brute_view view = {.brute = brute,
                                .group = (enum brute_group)group,
                                .index = i,
                                .metal = metal,
                                .limit = limit,
                                .lever = lever,
                                .accel = hypot(level, axis[AXIS_Z].accel) +
                                         lever * axis[AXIS_HEAD].accel};
      memset(brute->solids[group][i].warm, 0, sizeof brute->solids[group][i].warm);
      brute_walk(&view, halve ? 0.5 : 3.0, halve);
    }
  }
}

/* The whole motion: once in wide steps, so that something near the least is known, then in halves.
 */
static inline void brute_run(struct brute *brute) {
  for (int halve = 0; halve < 2; halve++)
    for (size_t at = 0; at < brute->motion->phase_count; at++)
      brute_phase(brute, at, halve);
  for (int group = 0; group < BRUTE_GROUPS; group++) {
    struct brute_least *least = &brute->least[group];
    if (!least->judged)
      continue;
    /* what hides in time, and between the points of the clouds */
    double h = brute->part->spacing, axis = brute->nearest_axis[group] - h;
    double r = fmin(brute->part->least_radius, 1e9), cloud = h / 2;
    if (axis > 0)
      cloud = fmin(cloud, h * h / 8 * (1 / axis + 1 / r));
    least->bound = fmax(0, least->motion - brute->hidden[group]) + cloud;
  }
}

#endif
