/* values_data.c - current, voltage and wire of the rows of a phase, as few straight lines.
 *
 * Every row's values are looked at.  A line goes on from its beginning as long as one slope keeps
 * it within the tolerance of every row's value; then the next begins where it ends (the swinging
 * door of E. H. Bristol, US patent 4,669,097, from memory, with its end put on the line so that
 * what was promised holds).  What only switches begins a new line. */
#include <inttypes.h>
#include <math.h>

#include "borelay/tick.h"
#include "report/parts.h"

enum { LINED = 3 }; /* current, voltage, wire */

static const double TOLERANCE[LINED] = {0.02, 0.002, 0.0002}; /* A, V, mm/s: below a row's digits */

struct row {
  int64_t tick;
  double lined[LINED], wire_current;
  bool avc;
};
struct door {
  FILE *to;
  const char *between;
  struct row from;                  /* where the line begins */
  double least[LINED], most[LINED]; /* slopes, per tick */
};

static struct row row_at(const struct motion *motion, const struct phase *phase, int64_t tick) {
  struct tick_values values = tick_phase_values(motion, phase, tick);
  return (struct row){
      tick, {values.current, values.voltage, values.wire}, values.wire_current, values.avc};
}

static void line_begin(struct door *door, struct row from) {
  door->from = from;
  for (int i = 0; i < LINED; i++) {
    door->least[i] = -INFINITY;
    door->most[i] = INFINITY;
  }
  fprintf(door->to, "%s[%" PRId64 ",%.8g,%.8g,%.8g,%.8g,%d]", door->between, from.tick,
          from.lined[0], from.lined[1], from.lined[2], from.wire_current, from.avc);
  door->between = ",";
}

/* Narrows the door by a row; false: no slope suits it too. */
static bool door_passes(struct door *door, const struct row *row) {
  double least[LINED], most[LINED], ticks = (double)(row->tick - door->from.tick);
  for (int i = 0; i < LINED; i++) {
    double rise = row->lined[i] - door->from.lined[i];
    least[i] = fmax(door->least[i], (rise - TOLERANCE[i]) / ticks);
    most[i] = fmin(door->most[i], (rise + TOLERANCE[i]) / ticks);
    if (least[i] > most[i])
      return false;
  }
  for (int i = 0; i < LINED; i++) {
    door->least[i] = least[i];
    door->most[i] = most[i];
  }
  return true;
}

/* Where the line is at a row that it passes: as near to its values as the door allows. */
static struct row line_end(const struct door *door, struct row row) {
  double ticks = (double)(row.tick - door->from.tick);
  for (int i = 0; i < LINED && ticks > 0; i++) {
    double slope = (row.lined[i] - door->from.lined[i]) / ticks;
    slope = fmin(fmax(slope, door->least[i]), door->most[i]);
    row.lined[i] = door->from.lined[i] + slope * ticks;
  }
  return row;
}

static void row_take(struct door *door, const struct row *before, const struct row *row) {
  bool switches = row->wire_current != before->wire_current || row->avc != before->avc;
  if (!switches && door_passes(door, row))
    return;
  if (before->tick > door->from.tick)
    line_begin(door, line_end(door, *before));
  if (switches)
    line_begin(door, *row);
  else
    door_passes(door, row); /* from the row before: one slope always suits */
}

void put_phase_values(FILE *to, const struct motion *motion, const struct phase *phase) {
  struct door door = {.to = to, .between = ""};
  struct row before = row_at(motion, phase, phase->tick0);
  fputc('[', to);
  line_begin(&door, before);
  for (int64_t tick = phase->tick0 + 1; tick < phase->tick0 + phase->ticks; tick++) {
    struct row row = row_at(motion, phase, tick);
    row_take(&door, &before, &row);
    before = row;
  }
  if (before.tick > door.from.tick)
    line_begin(&door, line_end(&door, before));
  fputc(']', to);
}
