/* laid_job.h - whole jobs from their text or file to what lies on the wall, and quadrature of it by
 * the GNU Scientific Library (QAGS, QAGP of QUADPACK: R. Piessens and others, Springer 1983). */
#ifndef TESTS_BUILDUP_LAID_JOB_H
#define TESTS_BUILDUP_LAID_JOB_H

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <stdio.h>
#include <unistd.h>

#include "borelay/buildup.h"
#include "borelay/resolve.h"
#include "buildup/pour.h"
#include "support/told.h"

struct laid {
  struct told told;
  const struct plan *plan;
  const struct motion *motion; /* NULL: refused */
};

static inline struct laid lay_file(const char *path) {
  struct laid made = {.told = told_begin()};
  const char *unreadable = NULL;
  const struct job *job =
      job_resolve(made.told.arena, made.told.sources, made.told.diags, path, NULL, 0, &unreadable);
  if (job)
    made.plan = plan_make(made.told.arena, job, made.told.diags);
  if (made.plan)
    made.motion = motion_make(made.told.arena, made.plan, made.told.diags);
  return made;
}

static inline struct laid lay_text(const char *text) {
  char path[] = "/tmp/borelay_buildup_XXXXXX";
  int descriptor = mkstemp(path);
  assert_true(descriptor >= 0);
  FILE *file = fdopen(descriptor, "w");
  fputs(text, file);
  fclose(file);
  struct laid made = lay_file(path);
  unlink(path);
  return made;
}

/* mm3 of wire that the rows of one layer feed, less what they draw back. */
static inline double wire_of_rows(const struct motion *motion, size_t overlay,
                                  const struct plan_layer *layer) {
  double sum = 0, tick = motion->plan->job->cell->tick;
  const struct procedure *p = layer->procedure;
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    if (phase->plan_layer != layer || phase->overlay != (int32_t)overlay + 1)
      continue;
    if (phase->kind != PHASE_WELD && phase->kind != PHASE_DOWNSLOPE)
      continue;
    double run = 0; /* each run by itself: so many rows are added to no large sum */
    for (int64_t k = 0; k < phase->ticks; k++)
      run += phase_wire_speed(motion, phase, phase->tick0 + k);
    sum += run * tick;
  }
  return sum * NUM_PI / 4 * p->wire_diameter * p->wire_diameter;
}

/* -- places between which the metal along the wall is smooth ------------------------------------
 */

struct breaks {
  double *at;
  size_t count, room;
};

static inline void breaks_add(struct breaks *breaks, double at) {
  if (breaks->count == breaks->room) {
    breaks->room = 2 * breaks->room + 64;
    breaks->at = realloc(breaks->at, breaks->room * sizeof *breaks->at);
    assert_non_null(breaks->at);
  }
  breaks->at[breaks->count++] = at;
}

static inline int breaks_order(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

/* lambda and the pool's edges about it, as places of the contour. */
static inline void breaks_add_lambda(struct breaks *breaks, const struct pour *pour,
                                     double lambda) {
  for (int edge = -1; edge <= 1; edge += 2) {
    double at = lambda + edge * pour->half, turns;
    int dir = pour->layer->dir * (at < 0 ? -1 : 1);
    double s = contour_advance(pour->contour, pour->layer->offset, pour->s_start, dir, fabs(at));
    breaks_add(breaks, contour_wrap(pour->contour, s, &turns));
  }
}

static inline double lambda_of_length(const struct pour *pour, double length) {
  size_t i = 0;
  while (i + 1 < pour->leg_count && pour->leg_length[i + 1] <= length)
    i++;
  double a = pour->leg_length[i], b = pour->leg_length[i + 1];
  double la = pour->leg_lambda[i], lb = pour->leg_lambda[i + 1];
  return length >= b ? lb + length - b : la + (length - a) / (b - a) * (lb - la);
}

static inline struct breaks breaks_of_layer(struct arena *arena, const struct motion *motion,
                                            size_t overlay, const struct plan_layer *layer) {
  struct breaks breaks = {0};
  const struct contour *contour = motion->plan->overlays[overlay].contour;
  breaks_add(&breaks, 0);
  breaks_add(&breaks, contour->perimeter);
  for (size_t i = 0; i < contour->count; i++)
    breaks_add(&breaks, contour->segs[i].s0);
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    if (phase->kind != PHASE_WELD || phase->plan_layer != layer ||
        phase->overlay != (int32_t)overlay + 1)
      continue;
    struct pour pour = pour_make(arena, motion, phase);
    breaks_add_lambda(&breaks, &pour, pour.begin);
    breaks_add_lambda(&breaks, &pour, pour.end);
    for (size_t k = 0; k < pour.leg_count; k++)
      breaks_add_lambda(&breaks, &pour, pour.leg_lambda[k + 1]);
    for (size_t k = 0; k < pour.stretch_count; k++)
      breaks_add_lambda(&breaks, &pour, lambda_of_length(&pour, pour.stretches[k].length.c0));
  }
  qsort(breaks.at, breaks.count, sizeof *breaks.at, breaks_order);
  return breaks;
}

struct line_job {
  const struct buildup *buildup;
  const struct contour *contour;
  size_t layer;
  double offset;
};

/* Metal per length of the shape. */
static inline double line_at(double s, void *data) {
  const struct line_job *job = data;
  double turns, at = contour_wrap(job->contour, s, &turns);
  const struct contour_seg *seg = &job->contour->segs[contour_seg_at(job->contour, at)];
  double stretch = seg->turn == 0 ? 1 : 1 - seg->turn * job->offset / seg->radius;
  return stretch * buildup_line(job->buildup, job->layer, at);
}

static inline double quadrature(double (*f)(double, void *), void *data, double from, double to,
                                double tolerance) {
  gsl_function function = {f, data};
  gsl_integration_workspace *space = gsl_integration_workspace_alloc(200);
  double value = 0, error = 0;
  gsl_error_handler_t *before = gsl_set_error_handler_off();
  gsl_integration_qags(&function, from, to, tolerance, 1e-10, 200, space, &value, &error);
  gsl_set_error_handler(before);
  gsl_integration_workspace_free(space);
  return value;
}

static inline double quadrature_over(double (*f)(double, void *), void *data,
                                     const struct breaks *breaks, double tolerance) {
  double sum = 0;
  for (size_t i = 0; i + 1 < breaks->count; i++)
    if (breaks->at[i + 1] - breaks->at[i] > 1e-9)
      sum += quadrature(f, data, breaks->at[i], breaks->at[i + 1], tolerance);
  return sum;
}

#endif
