/* Where the ramps between sectors lie on a run: see course.h. */
#include <math.h>

#include "borelay/arena.h"
#include "motion/course.h"
#include "motion/track.h"

/* The places of a run from its start on, sigma being mm of contour, as q. */
struct walk {
  const struct track *track;
  const struct plan_layer *layer;
  const struct plan_run *run;
  size_t leg;     /* that holds the last place asked for */
  double leg_end; /* sigma */
};

static double level_length(const struct track *track, double s_a, double s_b) {
  return contour_offset_length(track->contour, track->pool_offset, fmin(s_a, s_b), fmax(s_a, s_b));
}

/* mm by which the pool's path from sigma `from` to `to` of the run is longer than level for the
 * steps of the laps, also of those that lie outside the run: what is asked for at a place does not
 * depend on where the arc was lit. */
static double steps_add(const struct walk *walk, double from, double to) {
  const struct track *track = walk->track;
  const struct plan_path *path = &walk->layer->paths[walk->run->path];
  double sum = 0, begin = -walk->run->from, start = track->legs[0].s0;
  for (size_t i = 0; i < path->leg_count && begin < to; i++) {
    const struct plan_leg *leg = &path->legs[i];
    double a = fmax(begin, from), b = fmin(begin + leg->s_length, to);
    double s0 = start + track->dir * begin;
    begin += leg->s_length;
    if (!leg->is_step || a >= b)
      continue;
    double whole = level_length(track, s0, s0 + track->dir * leg->s_length);
    double part = level_length(track, start + track->dir * a, start + track->dir * b);
    sum += part * (num_hypot(whole, leg->depth_to - leg->depth_from) / whole - 1);
  }
  return sum;
}

/* Places are asked for in rising order; behind the last leg it goes on as the laps do. */
static double walk_to(struct walk *walk, double sigma) {
  const struct track *track = walk->track;
  while (walk->leg + 1 < track->leg_count && sigma > walk->leg_end)
    walk->leg_end += track->legs[++walk->leg].s_length;
  const struct track_leg *leg = &track->legs[walk->leg];
  double s_end = leg->s0 + track->dir * leg->s_length;
  double s = s_end + track->dir * (sigma - walk->leg_end);
  if (sigma > walk->leg_end)
    return leg->q0 + leg->length + level_length(track, s_end, s) +
           steps_add(walk, walk->leg_end, sigma);
  double left = leg->flat > 0 ? level_length(track, s, s_end) / leg->flat : 0;
  return leg->q0 + fmax(leg->length - left, 0);
}

/* The layer's changes in the order in which the run meets them; at: sigma, within one turn. */
struct met {
  const struct lap_change *change;
  double at, length;
};

static struct met *changes_meet(struct arena *arena, const struct track *track,
                                const struct plan_layer *layer) {
  struct met *met = arena_alloc(arena, layer->change_count, sizeof *met);
  for (size_t i = 0; i < layer->change_count; i++) {
    const struct lap_change *change = &layer->changes[i];
    double start = track->legs[0].s0, turns;
    double way = track->dir > 0 ? change->from - start : start - change->to;
    struct met here = {change, contour_wrap(track->contour, way, &turns),
                       change->to - change->from};
    size_t k = i;
    for (; k > 0 && met[k - 1].at > here.at; k--)
      met[k] = met[k - 1];
    met[k] = here;
  }
  return met;
}

/* sigma_a: where it begins, negative where the run begins within it. */
static void change_add(struct course *course, struct walk *walk, const struct met *met,
                       double sigma_a) {
  const struct track *track = walk->track;
  struct course_change added = {.change = met->change, .backward = track->dir < 0, .u1 = 1};
  double start = track->legs[0].s0, end = sigma_a + met->length;
  added.q0 = walk_to(walk, fmax(sigma_a, 0));
  added.q1 = walk_to(walk, end);
  struct lap_values a = course_from(&added), b = course_to(&added);
  if (sigma_a < 0) {
    double over = level_length(track, start + track->dir * sigma_a, start);
    double whole =
        over + level_length(track, start, start + track->dir * end) + steps_add(walk, sigma_a, end);
    over += steps_add(walk, sigma_a, 0);
    added.u0 = change_share(a.travel_speed, b.travel_speed, over / whole);
    a = course_from(&added);
  }
  if (!(added.q1 > added.q0))
    return;
  if (course->count == 0) {
    course->first = a;
    added.t0 = added.q0 / a.travel_speed;
  } else {
    const struct course_change *last = &course->changes[course->count - 1];
    added.t0 = last->t1 + (added.q0 - last->q1) / a.travel_speed;
  }
  added.t1 = added.t0 + change_time(a.travel_speed, b.travel_speed, added.q1 - added.q0);
  course->changes[course->count++] = added;
}

static double legs_way(const struct track *track) {
  double way = 0;
  for (size_t i = 0; i < track->leg_count; i++)
    way += track->legs[i].s_length;
  return way;
}

/* Contour length on which the pool goes `length` level behind the legs. */
static double way_beyond(const struct track *track, double length) {
  if (length <= 0)
    return 0;
  return track_leg_extend(track, &track->legs[track->leg_count - 1], length).s_length;
}

struct course course_make(struct arena *arena, const struct track *track,
                          const struct plan_layer *layer, const struct plan_run *run,
                          double beyond) {
  struct course course = {.first = layer->values,
                          .hi = (double)INFINITY,
                          .pace = 1,
                          .sway = &layer->procedure->oscillation};
  size_t per_turn = layer->change_count;
  if (per_turn == 0)
    return course;
  double turn = track->contour->perimeter, way = legs_way(track) + way_beyond(track, beyond);
  struct met *met = changes_meet(arena, track, layer);
  size_t turns = (size_t)ceil(way / turn) + 1;
  course.changes = arena_alloc(arena, turns * per_turn + 1, sizeof *course.changes);
  struct walk walk = {track, layer, run, 0, track->legs[0].s_length};
  const struct met *last = &met[per_turn - 1]; /* may be under way at the start */
  course.first = track->dir > 0 ? last->change->after : last->change->before;
  if (last->at + last->length > turn)
    change_add(&course, &walk, last, last->at - turn);
  for (size_t k = 0; k < turns; k++)
    for (size_t i = 0; i < per_turn; i++)
      if (met[i].at + (double)k * turn < way)
        change_add(&course, &walk, &met[i], met[i].at + (double)k * turn);
  return course;
}
