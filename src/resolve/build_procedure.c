/* The procedure: what its defaults take from other keys. */
#include "resolve/build.h"

/* Share of the welding current at both slopes' ends where none is given. */
static const double slope_share = 0.1;

static void limits_read(struct reading *procedure, struct procedure *out) {
  const struct flat *flat = inner_get(procedure->flat, "limit", NULL);
  if (!flat)
    return;
  struct reading limit = block_read(procedure->r, flat, out, false);
  out->limit_origin = origin_make(procedure->r, &limit, NULL);
  if (!limit.is_whole)
    reading_fail(procedure);
}

/* Two dwells and two crossings are one sway: something has to be left for the crossings. */
static bool dwell_leaves_time(const struct reading *reading,
                              const struct oscillation *oscillation) {
  double period = 1 / oscillation->frequency;
  if (2 * oscillation->dwell < period)
    return true;
  struct diag *diag = diag_error(
      reading->r->diags, DIAG_DWELL_LONG, reading_at(reading, "dwell"),
      "two dwells of %.6g s leave no time to cross: at %.6g Hz a whole sway takes %.6g s",
      oscillation->dwell, oscillation->frequency, period);
  diag_note(diag, reading_at(reading, "frequency"), "the frequency is given here");
  diag_help(diag, "dwell for less than %.6g s, or sway more slowly than %.6g Hz", period / 2,
            0.5 / oscillation->dwell);
  return false;
}

static void oscillation_read(struct reading *procedure, struct procedure *out) {
  const struct flat *flat = inner_get(procedure->flat, "oscillation", NULL);
  if (!flat)
    return;
  struct reading oscillation = block_read(procedure->r, flat, out, false);
  out->oscillation.origin = origin_make(procedure->r, &oscillation, NULL);
  if (!oscillation.is_whole || !dwell_leaves_time(&oscillation, &out->oscillation))
    reading_fail(procedure);
}

const struct procedure *procedure_build(struct resolver *r, const struct decl *decl,
                                        const struct flat *flat) {
  struct procedure *out = arena_alloc(r->arena, 1, sizeof *out);
  struct reading procedure = block_read(r, flat, out, false);
  out->name = decl->full_name;
  out->origin = origin_make(r, &procedure, NULL);
  out->limit_origin = (struct origin){.head = out->origin.head};
  if (!reading_is_given(&procedure, "start_current"))
    out->start_current = slope_share * out->current;
  if (!reading_is_given(&procedure, "final_current"))
    out->final_current = slope_share * out->current;
  limits_read(&procedure, out);
  oscillation_read(&procedure, out);
  return procedure.is_whole ? out : NULL;
}
