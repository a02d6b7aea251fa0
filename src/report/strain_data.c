/* strain_data.c - how much of its limits each axis uses over time, for the charts.
 *
 * The duration is cut into bins of whole ticks.  Each holds an upper bound on speed and
 * acceleration as shares of their limits, from enclosures of the closed form, so that no peak hides
 * between two points of a chart; the bound is at most REFINED of the limit above the truth.  A step
 * in speed where pieces meet counts over one tick, as in docs/semantics.md, "Motion". */
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>

#include "report/parts.h"

enum { BINS_MOST = 720, HALVINGS_MOST = 12 };
static const double REFINED = 0.005;

struct strain {
  const struct motion *motion;
  const struct cell *cell;
  int64_t bin_ticks;
  size_t count;
  double (*bins)[AXIS_COUNT][2]; /* shares: speed, acceleration */
};

static double share(const struct cell *cell, int axis, int k, double value) {
  const struct axis_limits *limits = &cell->axis[axis];
  return fabs(value) / (k == 0 ? limits->speed : limits->accel);
}

static void raise_to(double *most, double value) {
  if (value > *most)
    *most = value;
}

static bool is_sharp(const struct cell *cell, const struct jet_range *over, const struct jet *at) {
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    for (int k = 0; k < 2; k++) {
      const struct range *d = &over->d[axis][k + 1];
      double most = fmax(fabs(d->lo), fabs(d->hi));
      if (share(cell, axis, k, most) > share(cell, axis, k, at->d[axis][k + 1]) + REFINED)
        return false;
    }
  return true;
}

static void add_stretch(const struct strain *strain, const struct piece *piece, double ta,
                        double tb, double (*bin)[2], int halvings) {
  struct jet_range over = piece_jet_range(piece, ta, tb);
  double middle = ta + 0.5 * (tb - ta);
  struct jet at = piece_jet(piece, middle);
  if (halvings > 0 && !is_sharp(strain->cell, &over, &at)) {
    add_stretch(strain, piece, ta, middle, bin, halvings - 1);
    add_stretch(strain, piece, middle, tb, bin, halvings - 1);
    return;
  }
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    for (int k = 0; k < 2; k++) {
      const struct range *d = &over.d[axis][k + 1];
      raise_to(&bin[axis][k], share(strain->cell, axis, k, fmax(fabs(d->lo), fabs(d->hi))));
    }
}

static double bin_start(const struct strain *strain, size_t bin) {
  return (double)((int64_t)bin * strain->bin_ticks) * strain->cell->tick;
}

static size_t bin_at(const struct strain *strain, double t) {
  double at = floor(t / ((double)strain->bin_ticks * strain->cell->tick));
  return at < 0 ? 0 : at >= (double)strain->count ? strain->count - 1 : (size_t)at;
}

static void add_piece(const struct strain *strain, const struct piece *piece) {
  for (size_t bin = bin_at(strain, piece->t0); bin < strain->count; bin++) {
    double ta = fmax(piece->t0, bin_start(strain, bin));
    double tb = fmin(piece->t1, bin_start(strain, bin + 1));
    if (bin_start(strain, bin) >= piece->t1)
      break;
    if (tb > ta)
      add_stretch(strain, piece, ta, tb, strain->bins[bin], HALVINGS_MOST);
  }
}

static void add_step(const struct strain *strain, const struct piece *before,
                     const struct piece *after) {
  struct jet a = piece_jet(before, before->t1), b = piece_jet(after, after->t0);
  double(*bin)[2] = strain->bins[bin_at(strain, after->t0)];
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    raise_to(&bin[axis][1],
             share(strain->cell, axis, 1, (b.d[axis][1] - a.d[axis][1]) / strain->cell->tick));
}

static void gather(const struct strain *strain) {
  const struct motion *motion = strain->motion;
  struct piece piece, before;
  bool has_before = false;
  for (size_t i = 0; i < motion->phase_count; i++) {
    struct piece_iter iter;
    piece_iter_begin(&iter, motion, &motion->phases[i]);
    while (piece_iter_next(&iter, &piece)) {
      add_piece(strain, &piece);
      if (has_before)
        add_step(strain, &before, &piece);
      before = piece;
      has_before = true;
    }
    piece_iter_release(&iter);
  }
}

/* Tenths of a per cent, rounded up. */
static void put_axis(FILE *to, const struct strain *strain, int axis, int k) {
  fputs(axis > 0 ? ",\n[" : "[", to);
  for (size_t bin = 0; bin < strain->count; bin++)
    fprintf(to, "%s%d", bin > 0 ? "," : "", (int)ceil(1000 * strain->bins[bin][axis][k] - 1e-6));
  fputc(']', to);
}

static void put_shares(FILE *to, const struct strain *strain, int k) {
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    put_axis(to, strain, axis, k);
}

void put_strain_data(FILE *to, const struct motion *motion) {
  struct strain strain = {.motion = motion, .cell = motion->plan->job->cell};
  strain.bin_ticks = (motion->ticks + BINS_MOST - 1) / BINS_MOST;
  if (strain.bin_ticks < 1)
    strain.bin_ticks = 1;
  strain.count = (size_t)((motion->ticks + strain.bin_ticks - 1) / strain.bin_ticks);
  if (strain.count == 0)
    strain.count = 1;
  strain.bins = report_alloc(strain.count, sizeof *strain.bins);
  gather(&strain);
  fprintf(to, "{\"bin_s\":%.10g,\"speed\":[", bin_start(&strain, 1));
  put_shares(to, &strain, 0);
  fputs("],\n\"accel\":[", to);
  put_shares(to, &strain, 1);
  fputs("]}", to);
  free(strain.bins);
}
