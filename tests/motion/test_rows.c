/* Whole motions of random jobs, judged from rows alone: the tip computed back from x, y, z and head
 * lies on its locus, the torch stands on the wall, no axis passes its limits in first, second or
 * third differences from tick to tick, the pool keeps its speed, laps close, and the arc is out in
 * zones, which are crossed on the locus.  Where the tip sways: how far to either side of the lap's
 * centre line, how often and for how long at the ends, and that no zone is swayed into.
 *
 * The loci are written here anew from plain geometry (circle, stadium, rounded rectangle), not
 * taken from src/shape. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/motion.h"
#include "lap_asked.h"
#include "support/close.h"
#include "support/random.h"

struct made {
  struct arena *arena;
  struct source_set *sources;
  struct diag_list *diags;
  struct cell cell;
  struct procedure procedures[2];
  struct shape wall;
  struct volume volume;
  struct envelope envelope;
  struct layer layers[2];
  struct overlay overlay, *sequence[1];
  struct zone zones[3];
  struct sector sectors[3];
  struct box box; /* the wall's */
  struct job job;
};

static double deg(double angle) {
  return angle * NUM_PI / 180;
}

static void cell_make(struct made *m, struct random *random) {
  static const double ticks_ms[] = {1, 2, 4, 8, 10, 20};
  struct cell *cell = &m->cell;
  cell->tick_us = (int64_t)(1000 * ticks_ms[random_whole(random, 0, 5)]);
  cell->tick = (double)cell->tick_us / 1e6;
  cell->park = (vec3){150, -250, 1050};
  double accel = random_between(random, 300, 1500), jerk = random_between(random, 4000, 20000);
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++)
    cell->axis[axis] =
        (struct axis_limits){.travel = {-2000, 2000}, .speed = 200, .accel = accel, .jerk = jerk};
  cell->axis[AXIS_HEAD] = (struct axis_limits){.endless = true,
                                               .speed = deg(72),
                                               .accel = deg(random_between(random, 100, 400)),
                                               .jerk = deg(random_between(random, 1500, 6000))};
  cell->reach = random_between(random, 20, 60);
  cell->drop = 300;
  cell->electrode_extension = 8;
  cell->correction = 1;
}

static struct procedure procedure_make(struct random *random) {
  return (struct procedure){.name = "p",
                            .process = PROCESS_GTAW,
                            .current = 200,
                            .voltage = 11,
                            .travel_speed = random_between(random, 1.5, 4),
                            .wire_diameter = 1.2,
                            .wire_feed_speed = 25,
                            .wire_density = 0.00844,
                            .bead_width = 8,
                            .arc_length = random_between(random, 2, 4),
                            .preflow = random_between(random, 0, 1),
                            .postflow = 1,
                            .upslope = random_between(random, 0, 1),
                            .downslope = random_between(random, 0, 3),
                            .start_current = 20,
                            .final_current = 20,
                            .travel_start_delay = random_between(random, 0, 0.5),
                            .wire_start_delay = random_between(random, 0, 1),
                            .downslope_travel = random_whole(random, 0, 2) > 0,
                            .tie_in = random_between(random, 2, 12),
                            .angle_tolerance = deg(3)};
}

static void shape_random(struct made *m, struct random *random) {
  struct shape *wall = &m->wall;
  *wall = (struct shape){
      .name = "wall", .has_dimensions = true, .has_centre = true, .fit_tolerance = 0.5};
  wall->kind = (enum shape_kind)random_whole(random, SHAPE_ROUND, SHAPE_RECTANGLE);
  wall->centre = (vec2){random_between(random, -30, 30), random_between(random, -30, 30)};
  wall->turned = deg(random_between(random, -180, 180));
  wall->width = random_between(random, 60, 160);
  wall->diameter = wall->width;
  wall->length = wall->width + random_between(random, 1, 120);
  wall->corner = random_between(random, 14, wall->width / 2 - 0.5);
  bool is_rectangle = wall->kind == SHAPE_RECTANGLE;
  double r = is_rectangle ? wall->corner : wall->width / 2;
  m->box =
      wall->kind == SHAPE_ROUND
          ? (struct box){.r = r, .is_round = true}
          : (struct box){wall->length / 2 - r, is_rectangle ? wall->width / 2 - r : 0, r, false};
}

static void job_random(struct made *m, struct random *random) {
  memset(m, 0, sizeof *m);
  m->arena = arena_new();
  m->sources = source_set_new(m->arena);
  m->diags = diag_list_new(m->arena, m->sources);
  cell_make(m, random);
  shape_random(m, random);
  m->volume = (struct volume){.is_free = true, .shape = &m->wall, .depths = {0, 200}};
  m->envelope = (struct envelope){.name = "e", .volumes = &m->volume, .volume_count = 1};
  double lo = random_between(random, 10, 40);
  for (int k = 0; k < 2; k++) {
    m->procedures[k] = procedure_make(random);
    m->layers[k] = (struct layer){.procedure = &m->procedures[k],
                                  .overlap = random_between(random, 0.3, 0.55),
                                  .depths = {lo, lo + random_between(random, 8.5, 25)},
                                  .deeper = random_whole(random, 0, 1) > 0,
                                  .clockwise = random_whole(random, 0, 1) > 0};
  }
  m->overlay = (struct overlay){.name = "o",
                                .wall = &m->wall,
                                .pattern = (enum pattern)random_whole(random, 0, 2),
                                .layers = m->layers,
                                .layer_count = (size_t)random_whole(random, 1, 2),
                                .start = START_ALONG,
                                .start_value = random_between(random, 0, 400),
                                .retract = random_between(random, 1, 6)};
  if (m->overlay.pattern != PATTERN_STEPPED && random_whole(random, 0, 1)) {
    m->overlay.has_stagger = true;
    m->overlay.stagger.value = random_between(random, 0, 50);
  }
  m->sequence[0] = &m->overlay;
  m->job = (struct job){.cell = &m->cell,
                        .envelope = &m->envelope,
                        .sequence = m->sequence,
                        .overlay_count = 1,
                        .at = {100, 50, 240},
                        .safe_height = 60,
                        .turned = deg(random_between(random, -180, 180))};
}

/* After everything else, so that the jobs are those of the same numbers without sway. */
static void sway_random(struct made *m, struct random *random) {
  for (int k = 0; k < 2; k++) {
    struct oscillation *sway = &m->procedures[k].oscillation;
    sway->width = random_between(random, 1, 6);
    sway->frequency = random_between(random, 0.4, 1.6);
    sway->dwell =
        random_whole(random, 0, 3) ? random_between(random, 0, 0.25) / sway->frequency : 0;
    m->layers[k].depths.hi += sway->width;
  }
}

/* One to three zones, off or (the first of them) on. */
static void zones_random(struct made *m, struct random *random) {
  size_t count = (size_t)random_whole(random, 1, 3);
  for (size_t i = 0; i < count; i++) {
    struct zone *zone = &m->zones[i];
    *zone = (struct zone){.name = "z", .is_on = i == 0 && random_whole(random, 0, 2) == 0};
    double from = random_between(random, -400, 400);
    int kind = random_whole(random, 0, 3);
    if (kind <= 1) {
      zone->has_angles = true;
      zone->angles = (struct range){deg(from), deg(from + random_between(random, 5, 200))};
    } else {
      zone->has_cross_bore = true;
      zone->bore_diameter = random_between(random, 4, zone->is_on ? 90 : 60);
      zone->bore_depth = random_between(random, 5, 60);
      zone->bore_toward = deg(from);
      zone->margin = random_between(random, 0, 1);
    }
    if (kind == 1) {
      zone->has_depths = true;
      zone->depths.lo = random_between(random, 0, 50);
      zone->depths.hi = zone->depths.lo + random_between(random, 1, 30);
    }
  }
  m->overlay.zones = m->zones;
  m->overlay.zone_count = count;
  /* Turns have to be won back, now and then in the middle of a lap. */
  if (m->overlay.pattern == PATTERN_RINGS && random_whole(random, 0, 1)) {
    m->cell.axis[AXIS_HEAD].endless = false;
    m->cell.axis[AXIS_HEAD].travel =
        (struct range){deg(-290), deg(random_between(random, 90, 300))};
  }
}

/* One to three sectors, apart from one another by more than their ramps. */
static void sectors_random(struct made *m, struct random *random) {
  size_t count = (size_t)random_whole(random, 1, 3);
  double perimeter = box_perimeter(&m->box), room = perimeter / (double)count;
  double at = random_between(random, -perimeter, perimeter);
  for (size_t i = 0; i < count; i++) {
    struct sector *sector = &m->sectors[i];
    double ramp = random_between(random, 3, 0.2 * room), lo = at + (double)i * room;
    *sector = (struct sector){.name = "s", .has_ramp = true, .ramp = {false, ramp}};
    sector->along = (struct range){lo, lo + random_between(random, 1.05 * ramp, 0.78 * room)};
    sector->has_current = random_whole(random, 0, 1);
    sector->current = random_between(random, 150, 240);
    sector->has_voltage = random_whole(random, 0, 1);
    sector->voltage = random_between(random, 9, 13);
    sector->has_travel_speed = random_whole(random, 0, 3) > 0;
    sector->travel_speed = random_between(random, 1.5, 4);
    sector->has_wire_feed_speed = random_whole(random, 0, 1);
    sector->wire_feed_speed = random_between(random, 15, 30);
  }
  m->overlay.sectors = m->sectors;
  m->overlay.sector_count = count;
}

/* -- loci by plain geometry ---------------------------------------------------------------------
 */

struct foot {
  double distance; /* from the contour, negative inside */
  vec2 normal;     /* of the nearest place on the wall, into the metal */
  double s;        /* of that place */
};

/* All three kinds are a box with corner radius r: half sides a, b without the corners. */
static struct foot foot_on_wall(const struct made *m, vec2 at) {
  const struct shape *w = &m->wall;
  double turn = m->job.turned + (w->kind == SHAPE_ROUND ? 0 : w->turned);
  double r = m->box.r, a = m->box.a, b = m->box.b;
  double c0 = cos(m->job.turned), s0 = sin(m->job.turned);
  double cx = m->job.at.x + c0 * w->centre.x - s0 * w->centre.y;
  double cy = m->job.at.y + s0 * w->centre.x + c0 * w->centre.y;
  double c = cos(turn), s = sin(turn), dx = at.x - cx, dy = at.y - cy;
  double x = c * dx + s * dy, y = -s * dx + c * dy;
  double nx, ny, distance;
  double ox = fabs(x) - a, oy = fabs(y) - b;
  if (ox > 0 && oy > 0) {
    double h = hypot(ox, oy);
    distance = h - r;
    nx = copysign(ox / h, x), ny = copysign(oy / h, y);
  } else if (ox > oy) {
    distance = ox - r;
    nx = copysign(1, x), ny = 0;
  } else {
    distance = oy - r;
    nx = 0, ny = copysign(1, y);
  }
  return (struct foot){distance, {c * nx - s * ny, s * nx + c * ny}, box_s(&m->box, x, y, nx, ny)};
}

static vec2 wall_centre(const struct made *m) {
  double c = cos(m->job.turned), s = sin(m->job.turned);
  return (vec2){m->job.at.x + c * m->wall.centre.x - s * m->wall.centre.y,
                m->job.at.y + s * m->wall.centre.x + c * m->wall.centre.y};
}

/* mm by which a place of the wall lies inside the zone (angles: across their nearer ray). */
static double inside_zone(const struct made *m, const struct zone *zone, vec2 at, double depth) {
  vec2 centre = wall_centre(m), arm = {at.x - centre.x, at.y - centre.y};
  double margin = zone->is_on ? -zone->margin : zone->margin, inside = INFINITY;
  if (zone->has_angles) {
    double angle = atan2(arm.y, arm.x) - m->job.turned - zone->angles.lo;
    angle -= 2 * NUM_PI * floor(angle / (2 * NUM_PI));
    double wide = zone->angles.hi - zone->angles.lo, out = hypot(arm.x, arm.y);
    double in = fmin(angle, wide - angle); /* < 0: outside, by the nearer ray */
    if (in < 0)
      in = -fmin(angle - wide, 2 * NUM_PI - angle);
    inside = fmin(inside, out * sin(fmax(fmin(in, NUM_PI / 2), -NUM_PI / 2)));
  }
  if (zone->has_depths)
    inside = fmin(inside, fmin(depth - zone->depths.lo, zone->depths.hi - depth) + margin);
  if (zone->has_cross_bore) {
    double toward = zone->bore_toward + m->job.turned, c = cos(toward), s = sin(toward);
    double u = arm.x * c + arm.y * s, v = arm.y * c - arm.x * s, w = depth - zone->bore_depth;
    double off = sqrt(v * v + w * w + (u < 0 ? u * u : 0));
    inside = fmin(inside, zone->bore_diameter / 2 + margin - off);
  }
  return inside;
}

/* mm by which the arc would be somewhere where it may not; negative: so much to spare. */
static double forbidden(const struct made *m, vec2 at, double depth) {
  double off = -INFINITY, on = -INFINITY;
  bool any_on = false;
  for (size_t i = 0; i < m->overlay.zone_count; i++) {
    double inside = inside_zone(m, &m->zones[i], at, depth);
    if (m->zones[i].is_on) {
      any_on = true;
      on = fmax(on, inside);
    } else {
      off = fmax(off, inside);
    }
  }
  return any_on ? fmax(off, -on) : off;
}

/* -- judging ------------------------------------------------------------------------------------
 */

struct judge {
  const struct made *m;
  const struct motion *motion;
  double last[3][AXIS_COUNT]; /* the three rows before */
  int64_t rows;
  double worst[AXIS_COUNT][4];
  double tip_off, angle_off, speed_off;
  double values_off;           /* of what is asked for at the place, as a share of it */
  double in_zone, out_of_zone; /* with the arc on; crossing: by how much it leaves the zones */
};

static void judge_differences(struct judge *j, const double now[AXIS_COUNT]) {
  double T = j->m->cell.tick;
  const struct axis_limits *head = &j->m->cell.axis[AXIS_HEAD];
  if (!head->endless)
    assert_true(now[AXIS_HEAD] >= head->travel.lo - 1e-9 &&
                now[AXIS_HEAD] <= head->travel.hi + 1e-9);
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    double a = now[axis], b = j->last[0][axis], c = j->last[1][axis], d = j->last[2][axis];
    if (j->rows >= 1)
      j->worst[axis][1] = fmax(j->worst[axis][1], fabs(a - b) / T);
    if (j->rows >= 2)
      j->worst[axis][2] = fmax(j->worst[axis][2], fabs(a - 2 * b + c) / (T * T));
    if (j->rows >= 3)
      j->worst[axis][3] = fmax(j->worst[axis][3], fabs(a - 3 * b + 3 * c - d) / (T * T * T));
  }
  memmove(j->last[1], j->last[0], 2 * sizeof j->last[0]);
  memcpy(j->last[0], now, sizeof j->last[0]);
  j->rows++;
}

static void judge_tip(struct judge *j, const struct phase *phase, const double now[AXIS_COUNT]) {
  const struct plan_layer *layer = phase->plan_layer;
  struct foot foot;
  double c = cos(now[AXIS_HEAD]), s = sin(now[AXIS_HEAD]);
  vec2 tip = {now[0] + j->m->cell.reach * c, now[1] + j->m->cell.reach * s};
  foot = foot_on_wall(j->m, tip);
  double wanted = layer->offset + layer->procedure->arc_length;
  bool crosses = phase->kind == PHASE_MOVE;
  double tip_off = fabs(foot.distance + wanted);
  if (crosses)
    assert_true(tip_off <= 0.1); /* joints may be rounded by so much */
  else
    j->tip_off = fmax(j->tip_off, tip_off);
  double off =
      fabs(atan2(c * foot.normal.y - s * foot.normal.x, c * foot.normal.x + s * foot.normal.y));
  if (!crosses)
    j->angle_off = fmax(j->angle_off, off - layer->procedure->angle_tolerance);
  vec2 wall = {tip.x + wanted * foot.normal.x, tip.y + wanted * foot.normal.y};
  double depth = j->m->job.at.z + j->m->cell.drop - now[AXIS_Z];
  double in = forbidden(j->m, wall, depth);
  if (crosses)
    j->out_of_zone = fmax(j->out_of_zone, -in);
  else
    j->in_zone = fmax(j->in_zone, in);
}

static void phase_rows(struct judge *j, const struct phase *phase) {
  struct piece_iter iter;
  struct piece piece;
  double T = j->m->cell.tick;
  int64_t k = phase->tick0, end = phase->tick0 + phase->ticks;
  double t_last = (double)k * T;
  piece_iter_begin(&iter, j->motion, phase);
  while (piece_iter_next(&iter, &piece)) {
    assert_close(piece.t0, t_last, 1e-9, 0);
    assert_true(piece.t1 >= piece.t0);
    t_last = piece.t1;
    for (; k < end && (double)k * T < piece.t1; k++) {
      struct pose pose = piece_at(&piece, (double)k * T);
      double now[AXIS_COUNT] = {pose.x, pose.y, pose.z, pose.head};
      judge_differences(j, now);
      if (phase->arc || phase->move == MOVE_CROSS)
        judge_tip(j, phase, now);
    }
  }
  piece_iter_release(&iter);
  assert_int_equal(k, end);
  assert_close(t_last, (double)end * T, 1e-9, 0);
}

/* The values that a row has are those of its place; a run that begins or ends within a ramp has
 * those a run-up and a run-down farther in, and is not looked at there. */
static void judge_values(struct judge *j, const struct phase *phase, int64_t tick,
                         const struct asked_values *asked) {
  struct run_info info = phase_run_info(j->motion, phase);
  double t = (double)tick * j->m->cell.tick;
  if (t < info.travel_t0 + 2 * info.run_up + 0.1 || t > info.travel_t1 - 2 * info.run_down - 0.1)
    return;
  struct lap_values row = run_values_at(j->motion, phase, t);
  double off = fmax(fabs(row.current / asked->current - 1), fabs(row.voltage / asked->voltage - 1));
  off = fmax(off, fabs(row.travel_speed / asked->speed - 1));
  j->values_off = fmax(off, fmax(j->values_off, fabs(row.wire_feed_speed / asked->wire - 1)));
}

/* Wire over a run, and over any part of it, is the sum over its rows. */
static void judge_wire(struct judge *j, const struct phase *phase) {
  double T = j->m->cell.tick, sum = 0, part = 0;
  int64_t from = phase->tick0 + phase->ticks / 3, to = phase->tick0 + phase->ticks * 2 / 3;
  for (int64_t k = phase->tick0; k < phase->tick0 + phase->ticks; k++) {
    double wire = phase_wire_speed(j->motion, phase, k) * T;
    sum += wire;
    part += k >= from && k < to ? wire : k == to ? wire / 4 : 0;
  }
  double t0 = (double)phase->tick0 * T, t1 = (double)(phase->tick0 + phase->ticks) * T;
  assert_close(run_wire_fed(j->motion, phase, t0, t1), sum, 1e-9, 1e-10);
  assert_close(run_wire_fed(j->motion, phase, (double)from * T, ((double)to + 0.25) * T), part,
               1e-7, 1e-9);
  if (sum < 1)
    return;
  double when = run_wire_time(j->motion, phase, sum / 2);
  assert_close(run_wire_fed(j->motion, phase, t0, when), sum / 2, 1e-7, 1e-9);
}

/* Pool's way while travelling at full current equals the plan's legs; its mean speed over any 0.5
 * mm outside run-up and run-down lies within 1 % of what is asked for there: the time that it
 * takes, and the time that it would take at the speeds asked for from place to place.  The pool is
 * the tip seen along the normal of the wall. */
static void judge_pool(struct judge *j, const struct phase *phase) {
  struct run_info info = phase_run_info(j->motion, phase);
  const struct plan_layer *layer = phase->plan_layer;
  double T = j->m->cell.tick, from = info.travel_t0 + info.run_up;
  double to = info.run_down_in_weld ? info.weld_end - info.run_down : info.weld_end;
  int64_t k0 = (int64_t)ceil(from / T), k1 = (int64_t)floor(to / T), n = k1 - k0 + 1;
  if (n < 3)
    return;
  double *way = calloc((size_t)n, sizeof *way); /* time asked for, s */
  struct piece_iter iter;
  struct piece piece;
  int64_t k = k0;
  vec3 last = {0, 0, 0};
  struct asked_values before = {0};
  piece_iter_begin(&iter, j->motion, phase);
  while (piece_iter_next(&iter, &piece)) {
    for (; k <= k1 && (double)k * T <= piece.t1; k++) {
      if ((double)k * T < piece.t0)
        continue;
      struct pose pose = piece_at(&piece, (double)k * T);
      vec2 tip = {pose.x + j->m->cell.reach * cos(pose.head),
                  pose.y + j->m->cell.reach * sin(pose.head)};
      struct foot foot = foot_on_wall(j->m, tip);
      double g = layer->procedure->arc_length;
      /* A swaying pool has its speed along the lap; turns sink too little to tell. */
      double z = layer->procedure->oscillation.width > 0 ? 0 : pose.z;
      vec3 pool = {tip.x + g * foot.normal.x, tip.y + g * foot.normal.y, z};
      struct asked_values asked =
          lap_asked(&j->m->box, &j->m->overlay, layer->procedure, layer->offset, foot.s);
      if (k > k0)
        way[k - k0] = way[k - k0 - 1] + sqrt((pool.x - last.x) * (pool.x - last.x) +
                                             (pool.y - last.y) * (pool.y - last.y) +
                                             (pool.z - last.z) * (pool.z - last.z)) /
                                            ((asked.speed + before.speed) / 2);
      last = pool;
      before = asked;
      judge_values(j, phase, k, &asked);
    }
  }
  piece_iter_release(&iter);
  int64_t window = (int64_t)ceil(0.5 / layer->values_least.travel_speed / T);
  for (int64_t i = 0; i + window < n; i++)
    j->speed_off = fmax(j->speed_off, fabs((way[i + window] - way[i]) / ((double)window * T) - 1));
  free(way);
}

/* -- sway ---------------------------------------------------------------------------------------
 */

/* Rows of one weld phase, as far as the tip travels: how much deeper it is than the centre line. */
struct swaying {
  const struct procedure *procedure;
  double tick, deeper; /* of the row before */
  double most, least;
  double at_end_from;     /* t at which it came to an end of the sway; < 0: it is at none */
  double passed, through; /* t at which it went through the centre line, deeper: now, last */
  double period_off, dwell_short, dwell_long; /* s */
  int sways, ends;
};

/* mm: roundings of the slope's ends move the centre line by less. */
static const double SWAY_SURE = 0.002;

static void sway_row(struct swaying *s, double t, double deeper) {
  const struct oscillation *o = &s->procedure->oscillation;
  s->most = fmax(s->most, deeper);
  s->least = fmin(s->least, deeper);
  /* Whole crossings only: the first one comes from the centre line, the last goes back to it. */
  if (deeper <= -o->width / 4)
    s->passed = -1;
  else if (s->deeper < 0 && deeper >= 0 && s->passed < 0)
    s->passed = t - s->tick * deeper / (deeper - s->deeper);
  if (deeper >= o->width / 4 && s->passed >= 0 && isfinite(s->passed)) {
    if (s->through >= 0)
      s->period_off = fmax(s->period_off, fabs(s->passed - s->through - 1 / o->frequency));
    s->through = s->passed;
    s->passed = HUGE_VAL; /* until it has been at the other side */
    s->sways++;
  }
  bool at_end = fabs(deeper) >= o->width / 2 - SWAY_SURE;
  if (at_end && s->at_end_from < 0)
    s->at_end_from = t;
  if (!at_end && s->at_end_from >= 0) {
    double stayed = t - s->at_end_from; /* off by two rows at most */
    s->dwell_short = fmax(s->dwell_short, o->dwell - stayed);
    s->dwell_long = fmax(s->dwell_long, stayed - o->dwell);
    s->at_end_from = -1;
    s->ends++;
  }
  s->deeper = deeper;
}

/* Length of the wall's contour, `inside` mm inside it. */
static double contour_around(const struct shape *w, double inside) {
  if (w->kind == SHAPE_ROUND)
    return 2 * NUM_PI * (w->diameter / 2 - inside);
  double r = w->kind == SHAPE_RACETRACK ? w->width / 2 : w->corner;
  return 2 * (w->length + w->width) - 8 * r + 2 * NUM_PI * (r - inside);
}

/* Centre line of an unbroken spiral or ring, `way` along it on the level: turns sink evenly. */
static double centre_depth(const struct made *m, const struct plan_layer *layer,
                           const struct plan_run *run, double way) {
  double turn = contour_around(&m->wall, layer->offset);
  size_t leg = (size_t)fmax(floor(way / turn), 0);
  if (leg >= run->leg_count)
    leg = run->leg_count - 1;
  double share = fmin(fmax(way / turn - (double)leg, 0), 1);
  const struct plan_leg *at = &run->legs[leg];
  return at->depth_from + share * (at->depth_to - at->depth_from);
}

static void judge_sway(const struct judge *j, const struct phase *phase, uint64_t number) {
  const struct made *m = j->m;
  const struct plan_layer *layer = phase->plan_layer;
  struct run_info info = phase_run_info(j->motion, phase);
  struct swaying s = {.procedure = layer->procedure,
                      .tick = m->cell.tick,
                      .at_end_from = -1,
                      .passed = HUGE_VAL,
                      .through = -1,
                      .dwell_short = -HUGE_VAL,
                      .dwell_long = -HUGE_VAL};
  struct piece_iter iter;
  struct piece piece;
  int64_t k = phase->tick0;
  double way = 0;
  vec2 last = {0, 0};
  piece_iter_begin(&iter, j->motion, phase);
  while (piece_iter_next(&iter, &piece))
    for (; (double)k * s.tick < piece.t1 && k < phase->tick0 + phase->ticks; k++) {
      struct pose pose = piece_at(&piece, (double)k * s.tick);
      vec2 tip = {pose.x + m->cell.reach * cos(pose.head), pose.y + m->cell.reach * sin(pose.head)};
      struct foot foot = foot_on_wall(m, tip);
      double g = layer->procedure->arc_length;
      vec2 pool = {tip.x + g * foot.normal.x, tip.y + g * foot.normal.y};
      if (k > phase->tick0)
        way += hypot(pool.x - last.x, pool.y - last.y);
      last = pool;
      double depth = m->job.at.z + m->cell.drop - pose.z;
      sway_row(&s, (double)k * s.tick, depth - centre_depth(m, layer, info.run, way));
    }
  piece_iter_release(&iter);
  const struct oscillation *o = &layer->procedure->oscillation;
  double cross = 0.5 / o->frequency - o->dwell, time = info.weld_end - info.travel_t0;
  /* Rows, and what the crossing is slow at its ends: 16/3 y^3 < 0.002 mm of width. */
  double slow = 2.2 * cross * cbrt(SWAY_SURE / (16.0 / 3 * o->width)) + 3 * s.tick;
  bool reached =
      fabs(s.most - o->width / 2) <= SWAY_SURE && fabs(s.least + o->width / 2) <= SWAY_SURE;
  /* Rows may pass an end without a dwell by half a tick. */
  double peak = 16.0 / 3 * o->width * pow(s.tick / cross, 3);
  if (o->dwell < s.tick)
    reached =
        s.most >= o->width / 2 - SWAY_SURE - peak && s.least <= -o->width / 2 + SWAY_SURE + peak;
  bool often = s.sways >= (int)floor(time * o->frequency) - 4 && s.period_off <= 2e-3;
  bool stays = s.dwell_short <= 2 * s.tick + 1e-9 && s.dwell_long <= slow + 1e-9;
  if (reached && often && stays && s.most <= o->width / 2 + SWAY_SURE)
    return;
  print_error(
      "job %llu: sways from %g to %g mm of %g, %d times in %g s at %g Hz, periods off by %g s, "
      "dwell of %g s short by %g, long by %g (tick %g)\n",
      (unsigned long long)number, s.least, s.most, o->width, s.sways, time, o->frequency,
      s.period_off, o->dwell, s.dwell_short, s.dwell_long, s.tick);
  fail();
}

static bool judge_job(uint64_t number, struct made *m) {
  const struct plan *plan = plan_make(m->arena, &m->job, m->diags);
  const struct motion *motion = plan ? motion_make(m->arena, plan, m->diags) : NULL;
  if (!motion)
    return false;
  struct judge j = {.m = m, .motion = motion, .in_zone = -INFINITY, .out_of_zone = -INFINITY};
  for (size_t i = 0; i < motion->phase_count; i++) {
    if (i > 0)
      assert_int_equal(motion->phases[i].tick0,
                       motion->phases[i - 1].tick0 + motion->phases[i - 1].ticks);
    phase_rows(&j, &motion->phases[i]);
    bool sways = m->procedures[0].oscillation.width > 0;
    bool is_stepped = m->overlay.pattern == PATTERN_STEPPED;
    if (motion->phases[i].kind == PHASE_WELD && !(sways && is_stepped))
      judge_pool(&j, &motion->phases[i]);
    if (motion->phases[i].kind == PHASE_WELD && m->overlay.sector_count > 0)
      judge_wire(&j, &motion->phases[i]);
    /* Where the speed changes a crossing is even with the way, and a little uneven in time. */
    bool is_even = !is_stepped && m->overlay.zone_count == 0 && m->overlay.sector_count == 0;
    if (motion->phases[i].kind == PHASE_WELD && sways && is_even)
      judge_sway(&j, &motion->phases[i], number);
  }
  static const char *const names[] = {"x", "y", "z", "head"};
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    const struct axis_limits *limit = &m->cell.axis[axis];
    double rounding = 1e-11 / pow(m->cell.tick, 3); /* of doubles, third difference */
    double limits[4] = {0, limit->speed, limit->accel, limit->jerk};
    for (int k = 1; k <= 3; k++)
      if (!(j.worst[axis][k] <= limits[k] * (1 + 1e-6) + rounding)) {
        print_error(
            "job %llu: axis %s, derivative %d: %.9g of %.9g (tick %g, kind %d, pattern %d)\n",
            (unsigned long long)number, names[axis], k, j.worst[axis][k], limits[k], m->cell.tick,
            (int)m->wall.kind, (int)m->overlay.pattern);
        fail();
      }
  }
  if (!(j.speed_off <= 0.01)) {
    print_error("job %llu: pool's speed off by %g %% (kind %d, pattern %d)\n",
                (unsigned long long)number, 100 * j.speed_off, (int)m->wall.kind,
                (int)m->overlay.pattern);
    fail();
  }
  /* Here the way is measured level; over a step it is longer, and ramps are even with that. */
  if (!(j.values_off <= (m->overlay.pattern == PATTERN_STEPPED ? 1e-2 : 1e-3))) {
    print_error("job %llu: values off by %g of what the place asks for (kind %d, pattern %d)\n",
                (unsigned long long)number, j.values_off, (int)m->wall.kind,
                (int)m->overlay.pattern);
    fail();
  }
  if (!(j.tip_off <= 1e-6) || !(j.angle_off <= 0)) {
    print_error("job %llu: tip off by %g mm, torch past its tolerance by %g rad (kind %d)\n",
                (unsigned long long)number, j.tip_off, j.angle_off, (int)m->wall.kind);
    fail();
  }
  /* Joints may be rounded by 0.1 mm; a swaying tip leaves a zone's edge to its sway. */
  double beyond = 0.1;
  for (int k = 0; k < 2; k++)
    beyond = fmax(beyond, 0.1 + m->procedures[k].oscillation.width / 2);
  if (!(j.in_zone <= 0.005) || !(j.out_of_zone <= beyond)) {
    print_error("job %llu: arc on %g mm inside a zone, out %g mm outside (kind %d, pattern %d)\n",
                (unsigned long long)number, j.in_zone, j.out_of_zone, (int)m->wall.kind,
                (int)m->overlay.pattern);
    fail();
  }
  return true;
}

/* Numbers first .. first + count - 1; those of `least` must be accepted. */
static void judge_jobs(uint64_t first, uint64_t count, bool zones, bool sways, bool sectors,
                       int least) {
  const char *only = getenv("BORELAY_TEST_JOB");
  int judged = 0, refused = 0;
  for (uint64_t number = first; number < first + count; number++) {
    if (only && number != strtoull(only, NULL, 10))
      continue;
    struct random random = {20260000 + number};
    struct made m;
    job_random(&m, &random);
    if (zones)
      zones_random(&m, &random);
    if (sways)
      sway_random(&m, &random);
    if (sectors)
      sectors_random(&m, &random);
    if (judge_job(number, &m)) {
      judged++;
    } else {
      refused++;
      if (only)
        diag_print(m.diags, stderr);
    }
    arena_free(m.arena);
  }
  print_message("%d random jobs judged, %d refused (seeds from %d)\n", judged, refused,
                (int)(20260000 + first));
  if (!only)
    assert_true(judged >= least);
}

static void test_random_jobs(void **state) {
  (void)state;
  judge_jobs(0, 120, false, false, false, 100);
}

/* Many are refused: what zones leave is often too short for its slopes. */
static void test_random_jobs_with_zones(void **state) {
  (void)state;
  judge_jobs(1000, 70, true, false, false, 40);
}

/* Some ask for more than axis z has. */
static void test_random_jobs_that_sway(void **state) {
  (void)state;
  judge_jobs(2000, 30, false, true, false, 20);
  judge_jobs(3000, 16, true, true, false, 8);
}

static void test_random_jobs_with_sectors(void **state) {
  (void)state;
  judge_jobs(4000, 30, false, false, true, 20);
  judge_jobs(5000, 20, true, false, true, 8);
  judge_jobs(7000, 12, false, true, true, 6);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_random_jobs), cmocka_unit_test(test_random_jobs_with_sectors),
      cmocka_unit_test(test_random_jobs_with_zones), cmocka_unit_test(test_random_jobs_that_sway)};
  return cmocka_run_group_tests_name("rows", tests, NULL, NULL);
}
