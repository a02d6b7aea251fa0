/* motion_data.c - the whole motion in closed form, so that the page shows the head where the stream
 * has it at any time, by the formula of path.h and not between samples.
 *
 * Pieces recur: a lap is like the lap before, a sway like the sway before, only later, a turn
 * further, a little less deep.  So a piece is written as a step: how it runs, and by how much the
 * start of the next one differs from its own.  Starts are whole numbers of small units, so that
 * their sums are exact and nothing drifts; docs/report.md tells what rounding costs. */
#include <inttypes.h>
#include <stdlib.h>

#include "borelay/digits.h"
#include "report/parts.h"
#include "report/text_set.h"

enum { TEXT_ROOM = 512, TIME_DECIMALS = 8, TURN_DECIMALS = 9, RISE_DECIMALS = 7 };

struct start { /* of a piece, in whole units */
  int64_t t, turn, head, z;
};
struct steps {
  struct text_set rates, curves, steps;
  size_t *order; /* the step of each piece */
  size_t count, room;
};

static struct start start_of(const struct piece *piece) {
  const struct curve *curve = &piece->curve;
  return (struct start){
      digits_scale(piece->t0, TIME_DECIMALS), digits_scale(curve->turn.c0, TURN_DECIMALS),
      digits_scale(curve->head.c0, TURN_DECIMALS), digits_scale(curve->z.c0, RISE_DECIMALS)};
}

/* is_line, centre x y, direction x y (or radius, 0), rho, coefficients 1..3 of turn, head and z.
 * Ten digits: 1e-7 mm of a metre. */
static size_t curve_index(struct steps *steps, const struct curve *c) {
  char text[TEXT_ROOM];
  double a = c->is_line ? c->direction.x : c->radius, b = c->is_line ? c->direction.y : 0;
  snprintf(text, sizeof text,
           "[%d,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,"
           "%.10g]",
           c->is_line, c->centre.x, c->centre.y, a, b, c->rho, c->turn.c1, c->turn.c2, c->turn.c3,
           c->head.c1, c->head.c2, c->head.c3, c->z.c1, c->z.c2, c->z.c3);
  return text_set_index(&steps->curves, text);
}

/* The coefficients of q; the first is often no more than what rounding left. */
static size_t rate_index(struct steps *steps, struct cubic q) {
  char text[TEXT_ROOM];
  double first = q.c0 < 1e-9 && q.c0 > -1e-9 ? 0 : q.c0;
  snprintf(text, sizeof text, "[%.10g,%.10g,%.10g,%.10g]", first, q.c1, q.c2, q.c3);
  return text_set_index(&steps->rates, text);
}

static void step_add(struct steps *steps, const struct piece *piece, const struct piece *next) {
  char text[TEXT_ROOM];
  struct start from = start_of(piece), to = start_of(next);
  snprintf(text, sizeof text, "[%zu,%zu,%" PRId64 ",%" PRId64 ",%" PRId64 ",%" PRId64 "]",
           rate_index(steps, piece->q), curve_index(steps, &piece->curve), to.t - from.t,
           to.turn - from.turn, to.head - from.head, to.z - from.z);
  if (steps->count == steps->room) {
    steps->room = steps->room ? 2 * steps->room : 1024;
    steps->order = report_grow(steps->order, steps->room, sizeof *steps->order);
  }
  steps->order[steps->count++] = text_set_index(&steps->steps, text);
}

/* Gives the first piece. */
static struct piece steps_gather(struct steps *steps, const struct motion *motion) {
  struct piece first = {.t0 = 0}, before = first, piece;
  bool is_first = true;
  for (size_t i = 0; i < motion->phase_count; i++) {
    struct piece_iter iter;
    piece_iter_begin(&iter, motion, &motion->phases[i]);
    while (piece_iter_next(&iter, &piece)) {
      if (is_first)
        first = piece;
      else
        step_add(steps, &before, &piece);
      is_first = false;
      before = piece;
    }
    piece_iter_release(&iter);
  }
  step_add(steps, &before, &before);
  return first;
}

static void put_pieces(FILE *to, const struct motion *motion) {
  struct steps steps = {.count = 0};
  struct piece first = steps_gather(&steps, motion);
  struct start start = start_of(&first);
  fprintf(to,
          "\"decimals\":[%d,%d,%d,%d],\n\"start\":[%" PRId64 ",%" PRId64 ",%" PRId64 ",%" PRId64
          "],\n\"rates\":",
          TIME_DECIMALS, TURN_DECIMALS, TURN_DECIMALS, RISE_DECIMALS, start.t, start.turn,
          start.head, start.z);
  text_set_put(to, &steps.rates);
  fputs(",\n\"curves\":", to);
  text_set_put(to, &steps.curves);
  fputs(",\n\"steps\":", to);
  text_set_put(to, &steps.steps);
  fputs(",\n\"pieces\":[", to);
  for (size_t i = 0; i < steps.count; i++)
    fprintf(to, "%s%zu", i > 0 ? "," : "", steps.order[i]);
  fputs("]", to);
  free(steps.order);
  text_set_release(&steps.rates);
  text_set_release(&steps.curves);
  text_set_release(&steps.steps);
}

static size_t leg_at_tick(const struct motion *motion, const struct phase *phase, int64_t tick) {
  return run_leg_at(motion, phase, (double)tick * motion->plan->job->cell->tick);
}

/* First tick after `from` with a leg later than that of `from`; the phase's end where none is. */
static int64_t leg_end(const struct motion *motion, const struct phase *phase, int64_t from) {
  int64_t low = from, high = phase->tick0 + phase->ticks;
  size_t leg = leg_at_tick(motion, phase, from);
  while (high - low > 1) {
    int64_t middle = low + (high - low) / 2;
    if (leg_at_tick(motion, phase, middle) > leg)
      high = middle;
    else
      low = middle;
  }
  return high;
}

/* Laps of a travelling phase: first tick, lap, 1 on a step of `stepped`. */
static void put_legs(FILE *to, const struct motion *motion, const struct phase *phase) {
  const struct plan_run *run = &phase->plan_layer->runs[phase->run];
  const char *between = "";
  fputc('[', to);
  for (int64_t tick = phase->tick0; tick < phase->tick0 + phase->ticks;
       tick = leg_end(motion, phase, tick)) {
    const struct plan_leg *leg = &run->legs[leg_at_tick(motion, phase, tick)];
    fprintf(to, "%s[%" PRId64 ",%" PRId64 ",%d]", between, tick, leg->lap, leg->is_step);
    between = ",";
  }
  fputc(']', to);
}

/* Only what travels with the arc on has laps of its own; a postflow has the last lap. */
static void put_phase(FILE *to, const struct motion *motion, const struct phase *phase) {
  int64_t lap = phase->lap;
  bool travels = phase->kind == PHASE_WELD || phase->kind == PHASE_DOWNSLOPE;
  if (phase->kind == PHASE_POSTFLOW && phase->plan_layer) {
    const struct plan_run *run = &phase->plan_layer->runs[phase->run];
    lap = run->legs[run->leg_count - 1].lap;
  }
  fprintf(to, "[%d,%d,%" PRId64 ",%" PRId32 ",%" PRId32 ",%" PRId64 ",%d,%d,", (int)phase->kind,
          (int)phase->move, phase->tick0, phase->overlay, phase->layer, lap, phase->arc,
          phase->gas);
  if (travels)
    put_legs(to, motion, phase);
  else
    fputs("[]", to);
  if (phase->arc) {
    fputc(',', to);
    put_phase_values(to, motion, phase);
  }
  fputc(']', to);
}

static void put_names(FILE *to) {
  fputs("\"phase_names\":[", to);
  for (int i = 0; i < PHASE_KIND_COUNT; i++)
    fprintf(to, "%s\"%s\"", i > 0 ? "," : "", phase_name((enum phase_kind)i));
  fputs("],\"move_names\":[\"\"", to);
  for (int i = MOVE_NONE + 1; i < MOVE_KIND_COUNT; i++)
    fprintf(to, ",\"%s\"", move_name((enum move_kind)i));
  fputs("]", to);
}

void put_motion_data(FILE *to, const struct motion *motion) {
  fprintf(to, "{\"tick_s\":%.10g,\"ticks\":%" PRId64 ",", motion->plan->job->cell->tick,
          motion->ticks);
  put_names(to);
  fputs(",\n\"phases\":[", to);
  for (size_t i = 0; i < motion->phase_count; i++) {
    fputs(i > 0 ? ",\n" : "", to);
    put_phase(to, motion, &motion->phases[i]);
  }
  fputs("],\n", to);
  put_pieces(to, motion);
  fputs("}", to);
}
