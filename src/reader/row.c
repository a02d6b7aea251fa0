/* row.c - may a row stand where it stands?  docs/stream-format.md, "What a reader refuses". */
#include "parts.h"

bool borelay_own_fits(int64_t value, unsigned bits) {
  uint64_t size = value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
  return !(size >> bits);
}

/* Figures that have a sign, and how many bits each has besides. */
enum { SIGNED = 64 };
static const uint8_t BITS[FIGURE_COUNT] = {
    [FIGURE_T] = 63,
    [FIGURE_X] = SIGNED | BORELAY_LENGTH_BITS,
    [FIGURE_Y] = SIGNED | BORELAY_LENGTH_BITS,
    [FIGURE_Z] = SIGNED | BORELAY_LENGTH_BITS,
    [FIGURE_HEAD] = SIGNED | 63,
    [FIGURE_PHASE] = 3,
    [FIGURE_ARC] = 1,
    [FIGURE_CURRENT] = 24,
    [FIGURE_VOLTAGE] = 24,
    [FIGURE_WIRE] = SIGNED | 31,
    [FIGURE_WIRE_CURRENT] = 24,
    [FIGURE_GAS] = 1,
    [FIGURE_AVC] = 1,
    [FIGURE_OVERLAY] = 32,
    [FIGURE_LAYER] = 32,
    [FIGURE_LAP] = 32,
    [FIGURE_LINE] = 32,
};

static bool figures_fit(const int64_t *figure) {
  for (unsigned i = 0; i < FIGURE_COUNT; i++)
    if (!borelay_own_fits(figure[i], BITS[i] & 63) || (figure[i] < 0 && !(BITS[i] & SIGNED)))
      return false;
  return true;
}

#define AFTER(phase) (1u << (phase))
/* What may begin a run, and what may end it. */
#define BEGIN                                                                                      \
  (AFTER(BORELAY_TOUCH) | AFTER(BORELAY_PREFLOW) | AFTER(BORELAY_UPSLOPE) |                        \
   AFTER(BORELAY_WELD_PHASE))
#define PAUSE (AFTER(BORELAY_MOVE) | AFTER(BORELAY_WAIT))

static const uint8_t MAY_FOLLOW[BORELAY_PHASE_COUNT] = {
    BEGIN | PAUSE,                                                               /* move */
    BEGIN,                                                                       /* touch */
    AFTER(BORELAY_PREFLOW) | AFTER(BORELAY_UPSLOPE) | AFTER(BORELAY_WELD_PHASE), /* preflow */
    AFTER(BORELAY_UPSLOPE) | AFTER(BORELAY_WELD_PHASE),                          /* upslope */
    AFTER(BORELAY_WELD_PHASE) | AFTER(BORELAY_DOWNSLOPE) | AFTER(BORELAY_POSTFLOW) | PAUSE,
    AFTER(BORELAY_DOWNSLOPE) | AFTER(BORELAY_POSTFLOW) | PAUSE,
    AFTER(BORELAY_POSTFLOW) | PAUSE,
    BEGIN | PAUSE, /* wait */
};

static enum borelay_error process_judge(const struct borelay_row *row, bool may_burn) {
  bool is_arc_phase = row->phase >= BORELAY_UPSLOPE && row->phase <= BORELAY_DOWNSLOPE;
  bool is_gas_phase = row->phase >= BORELAY_PREFLOW && row->phase <= BORELAY_POSTFLOW;
  bool welds = row->arc && row->phase == BORELAY_WELD_PHASE;
  bool draws_back = row->arc && row->phase == BORELAY_DOWNSLOPE;
  if (row->arc != (is_arc_phase && may_burn) ||
      (!row->arc && (row->current_100ma || row->voltage_10mv)))
    return BORELAY_ERROR_ARC;
  if ((row->gas && !(is_gas_phase && may_burn)) || (row->arc && !row->gas))
    return BORELAY_ERROR_GAS;
  if ((row->wire_um_s > 0 && !welds) || (row->wire_um_s < 0 && !draws_back) ||
      (row->wire_current_100ma && row->wire_um_s <= 0))
    return BORELAY_ERROR_WIRE;
  return row->avc && !welds ? BORELAY_ERROR_AVC : BORELAY_OK;
}

static enum borelay_error labels_judge(const struct borelay_reader *reader) {
  const struct borelay_row *row = &reader->row;
  bool none = !row->overlay;
  if (none != !row->layer || none != !row->lap || none != !row->line ||
      row->overlay > reader->header.overlays || (reader->own.is_past_labels && !none) ||
      (none && row->arc))
    return BORELAY_ERROR_LABEL;
  return BORELAY_OK;
}

/* The header's figure and the row's are rounded each on its own. */
static bool is_head_end(const struct borelay_reader *reader) {
  uint64_t off = (uint64_t)reader->row.head_udeg - (uint64_t)reader->header.head_end_udeg;
  return off + 1 <= 2;
}

static enum borelay_error row_judge(const struct borelay_reader *reader) {
  const struct borelay_row *row = &reader->row;
  uint64_t rows = reader->header.rows;
  if (row->index >= rows)
    return BORELAY_ERROR_ROWS;
  if (!(MAY_FOLLOW[reader->own.phase] >> row->phase & 1))
    return BORELAY_ERROR_PHASE;
  bool is_last = row->index + 1 == rows;
  if (is_last && (row->arc || row->gas || row->wire_um_s))
    return BORELAY_ERROR_LAST_ROW;
  if (is_last && !is_head_end(reader))
    return BORELAY_ERROR_HEADER;
  enum borelay_error error =
      process_judge(row, !is_last && reader->header.mode != BORELAY_REHEARSAL);
  return error != BORELAY_OK ? error : labels_judge(reader);
}

static void row_fill(struct borelay_reader *reader) {
  struct borelay_row *row = &reader->row;
  const int64_t *figure = reader->own.figure;
  row->index = reader->own.rows;
  row->t_us = row->index * reader->header.tick_us;
  row->x_nm = figure[FIGURE_X];
  row->y_nm = figure[FIGURE_Y];
  row->z_nm = figure[FIGURE_Z];
  row->head_udeg = figure[FIGURE_HEAD];
  row->wire_um_s = (int32_t)figure[FIGURE_WIRE];
  row->current_100ma = (uint32_t)figure[FIGURE_CURRENT];
  row->wire_current_100ma = (uint32_t)figure[FIGURE_WIRE_CURRENT];
  row->voltage_10mv = (uint32_t)figure[FIGURE_VOLTAGE];
  row->overlay = (uint32_t)figure[FIGURE_OVERLAY];
  row->layer = (uint32_t)figure[FIGURE_LAYER];
  row->lap = (uint32_t)figure[FIGURE_LAP];
  row->line = (uint32_t)figure[FIGURE_LINE];
  row->phase = (uint8_t)figure[FIGURE_PHASE];
  row->arc = figure[FIGURE_ARC];
  row->gas = figure[FIGURE_GAS];
  row->avc = figure[FIGURE_AVC];
}

enum borelay_event borelay_own_row(struct borelay_reader *reader) {
  enum borelay_error error = BORELAY_ERROR_RANGE;
  if (figures_fit(reader->own.figure)) {
    row_fill(reader);
    error = row_judge(reader);
  }
  if (error != BORELAY_OK)
    return borelay_own_fail(reader, error, reader->own.place);
  reader->own.phase = reader->row.phase;
  reader->own.is_past_labels = !reader->row.overlay;
  reader->own.rows++;
  return BORELAY_ROW;
}
