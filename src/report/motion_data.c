/* motion_data.c - the whole motion in closed form, so that the page shows the head where the stream
 * has it at any time, by the formula of path.h and not between samples. */
#include <inttypes.h>

#include "report/curves.h"
#include "report/parts.h"

/* A piece: t0, the four coefficients of q, its curve, and where turn, head and z begin. */
static void put_piece(FILE *to, struct curve_set *curves, const struct piece *piece) {
  const struct curve *curve = &piece->curve;
  fprintf(to, "[%.12g,%.10g,%.10g,%.10g,%.10g,%zu,%.12g,%.12g,%.10g]", piece->t0, piece->q.c0,
          piece->q.c1, piece->q.c2, piece->q.c3, curve_set_index(curves, curve), curve->turn.c0,
          curve->head.c0, curve->z.c0);
}

static void put_pieces(FILE *to, const struct motion *motion, struct curve_set *curves) {
  const char *between = "";
  fputs("\"pieces\":[", to);
  for (size_t i = 0; i < motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, motion, &motion->phases[i]);
    while (piece_iter_next(&iter, &piece)) {
      fputs(between, to);
      put_piece(to, curves, &piece);
      between = ",\n";
    }
    piece_iter_release(&iter);
  }
  fputs("]", to);
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

/* Only what travels with the arc on has laps of its own and wire; a postflow has the last lap. */
static void put_phase(FILE *to, const struct motion *motion, const struct phase *phase) {
  int64_t lap = phase->lap;
  if (phase->kind == PHASE_POSTFLOW && phase->plan_layer) {
    const struct plan_run *run = &phase->plan_layer->runs[phase->run];
    lap = run->legs[run->leg_count - 1].lap;
  }
  fprintf(to, "[%d,%d,%" PRId64 ",%" PRId32 ",%" PRId32 ",%" PRId64 ",%d,%d,%.10g,%.10g",
          (int)phase->kind, (int)phase->move, phase->tick0, phase->overlay, phase->layer, lap,
          phase->arc, phase->gas, phase->current_from, phase->current_to);
  if (phase->kind == PHASE_WELD || phase->kind == PHASE_DOWNSLOPE) {
    const struct wire_times *wire = &phase->wire;
    fprintf(to, ",%" PRId64 ",%" PRId64 ",%" PRId64 ",%.10g,%" PRId64 ",", wire->feed0, wire->feed1,
            wire->retract_ticks, wire->retract_last, wire->avc0);
    put_legs(to, motion, phase);
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
  struct curve_set curves = {.count = 0};
  fprintf(to, "{\"tick_s\":%.10g,\"ticks\":%" PRId64 ",", motion->plan->job->cell->tick,
          motion->ticks);
  put_names(to);
  fputs(",\n\"phases\":[", to);
  for (size_t i = 0; i < motion->phase_count; i++) {
    fputs(i > 0 ? ",\n" : "", to);
    put_phase(to, motion, &motion->phases[i]);
  }
  fputs("],\n", to);
  put_pieces(to, motion, &curves);
  fputs(",\n\"curves\":", to);
  curve_set_put(to, &curves);
  fputs("}", to);
  curve_set_release(&curves);
}
