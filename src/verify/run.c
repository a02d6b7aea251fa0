/* run.c - the order of runs, layers, waits and phases, and how long each lasts. */
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>

#include "verify/judge.h"

static const char *const PHASES[] = {"move", "touch",     "preflow",  "upslope",
                                     "weld", "downslope", "postflow", "wait"};

int64_t ticks_for(double seconds, double tick) {
  double ticks = ceil(seconds / tick - 1e-9); /* 1.5 s / 8 ms is rounded in a double */
  return ticks > 0 ? (int64_t)ticks : 0;
}

static bool is_run_phase(uint8_t phase) {
  return phase != BORELAY_MOVE && phase != BORELAY_WAIT;
}

/* Ticks that the procedure gives a phase; weld: at least its delay and a tick of travel. */
static int64_t phase_ticks(const struct procedure *p, uint8_t phase, double tick) {
  switch (phase) {
  case BORELAY_TOUCH:
    return ticks_for(p->touch_time, tick);
  case BORELAY_PREFLOW:
    return ticks_for(p->preflow, tick);
  case BORELAY_UPSLOPE:
    return ticks_for(p->upslope, tick);
  case BORELAY_WELD_PHASE:
    return ticks_for(p->travel_start_delay, tick) + 1;
  case BORELAY_DOWNSLOPE:
    return ticks_for(p->downslope, tick);
  case BORELAY_POSTFLOW:
    return ticks_for(p->postflow, tick);
  default:
    return 0;
  }
}

/* -- phases ----------------------------------------------------------------------------------- */

/* The phase that has to follow one of a run; BORELAY_PHASE_COUNT: a move or wait. */
static uint8_t next_phase(const struct procedure *p, uint8_t phase, double tick) {
  for (int next = phase + 1; next <= BORELAY_POSTFLOW; next++)
    if (phase_ticks(p, (uint8_t)next, tick) > 0)
      return (uint8_t)next;
  return BORELAY_PHASE_COUNT;
}

static void end_phase(struct judge *judge, int64_t row) {
  struct run *run = &judge->run;
  int64_t lasted = row - run->phase_from;
  int64_t asked = phase_ticks(judge->lay->procedure, run->phase, judge->tick);
  bool is_weld = run->phase == BORELAY_WELD_PHASE;
  if (judge->is_timed && (is_weld ? lasted < asked : lasted != asked))
    finding_fault(judge->findings, CHECK_ORDER, row,
                  "%s lasted %" PRId64 " tick%s, the procedure gives it %s%" PRId64,
                  PHASES[run->phase], lasted, lasted == 1 ? "" : "s", is_weld ? "at least " : "",
                  asked);
}

static void enter_phase(struct judge *judge, const struct borelay_row *row) {
  struct run *run = &judge->run;
  int64_t index = (int64_t)row->index;
  const struct procedure *p = judge->lay->procedure;
  /* a move is before the first of a run's phases */
  uint8_t asked = next_phase(p, run->phase, judge->tick);
  if (asked != row->phase)
    finding_fault(judge->findings, CHECK_ORDER, index, "%s comes where %s is asked for",
                  PHASES[row->phase], asked < BORELAY_PHASE_COUNT ? PHASES[asked] : "a move");
  run->phase = row->phase;
  run->phase_from = index;
  if (row->phase == BORELAY_WELD_PHASE)
    run->full = index;
}

/* H and the head stand still in all phases but these. */
bool run_may_travel(const struct judge *judge, int64_t row) {
  const struct run *run = &judge->run;
  const struct procedure *p = judge->lay->procedure;
  if (run->phase == BORELAY_WELD_PHASE)
    return !judge->is_timed || row - run->full > ticks_for(p->travel_start_delay, judge->tick);
  return run->phase == BORELAY_DOWNSLOPE && p->downslope_travel;
}

/* In the last decimal: the largest step of H or the head. */
static int64_t step_of(const struct borelay_row *row, const struct borelay_row *b) {
  int64_t most = llabs(row->x_nm - b->x_nm),
          each[3] = {llabs(row->y_nm - b->y_nm), llabs(row->z_nm - b->z_nm),
                     llabs(row->head_udeg - b->head_udeg)};
  for (int i = 0; i < 3; i++)
    most = each[i] > most ? each[i] : most;
  return most;
}

bool run_stands(const struct borelay_row *row, const struct borelay_row *before) {
  return step_of(row, before) <= 1; /* each row is rounded by half of it */
}

static void judge_standing(struct judge *judge, const struct borelay_row *row) {
  if (!run_stands(row, &judge->before))
    finding_fault(judge->findings, CHECK_ORDER, (int64_t)row->index,
                  "the head moves by %.6f in %s, where it stands",
                  (double)step_of(row, &judge->before) * 1e-6, PHASES[judge->before.phase]);
}

/* -- runs and layers -------------------------------------------------------------------------- */

static void judge_first(struct judge *judge, const struct borelay_row *row, const struct lay *lay) {
  if (judge->mode == BORELAY_RESUME || lay == judge->stack->items)
    return;
  finding_fault(judge->findings, CHECK_ORDER, (int64_t)row->index,
                "the first run is of overlay %u, layer %u", lay->overlay_number, lay->layer_number);
}

static int64_t wait_asked(const struct judge *judge, const struct lay *lay, size_t path) {
  const struct lay *last = judge->lay;
  const struct overlay *overlay = lay->overlay;
  if (!last || last->overlay_number != lay->overlay_number)
    return 0;
  bool is_layer = last != lay;
  bool is_ring = overlay->pattern == PATTERN_RINGS && (is_layer || path != judge->path);
  if (!is_layer && !is_ring)
    return 0;
  double least = fmax(is_layer ? overlay->wait_layers : 0, is_ring ? overlay->wait_laps : 0);
  int64_t ticks = ticks_for(least, judge->tick);
  return ticks > 1 ? ticks : 1;
}

static void judge_wait(struct judge *judge, const struct borelay_row *row, const struct lay *lay,
                       size_t path) {
  int64_t asked = wait_asked(judge, lay, path);
  if (!judge->is_timed && asked > 1)
    asked = 1;
  if (judge->waited < asked)
    finding_fault(judge->findings, CHECK_ORDER, (int64_t)row->index,
                  "a wait of %" PRId64 " tick%s before layer %u, lap %u; asked for: %" PRId64,
                  judge->waited, judge->waited == 1 ? "" : "s", row->layer, row->lap, asked);
}

static void judge_labels(struct judge *judge, const struct borelay_row *row) {
  if (judge->has_labels && (judge->last_overlay != row->overlay ||
                            judge->last_layer != row->layer || judge->last_lap != row->lap))
    finding_fault(judge->findings, CHECK_ORDER, (int64_t)row->index,
                  "the moves said overlay %u, layer %u, lap %u; the run is of %u, %u, %u",
                  judge->last_overlay, judge->last_layer, judge->last_lap, row->overlay, row->layer,
                  row->lap);
}

/* In every row: the line of the overlay's head; in a run: its own overlay and layer, and before it
 * travels the lap with which it begins (later laps are told by the place: course.c). */
static void judge_row_labels(struct judge *judge, const struct borelay_row *row) {
  int64_t index = (int64_t)row->index;
  const struct job *job = judge->job;
  if (row->overlay >= 1 && row->overlay <= job->overlay_count &&
      row->line != job->sequence[row->overlay - 1]->line)
    finding_fault(judge->findings, CHECK_ORDER, index,
                  "line %u is told, the overlay's head is in line %u", row->line,
                  job->sequence[row->overlay - 1]->line);
  if (!judge->run.active)
    return;
  const struct lay *lay = judge->lay;
  bool is_other = row->overlay != lay->overlay_number || row->layer != lay->layer_number;
  bool stays = row->phase == BORELAY_POSTFLOW && judge->before.phase == BORELAY_POSTFLOW;
  uint32_t lap = stays ? judge->before.lap : judge->run.lap;
  if (is_other || ((stays || row->phase < BORELAY_WELD_PHASE) && row->lap != lap))
    finding_fault(judge->findings, CHECK_ORDER, index,
                  "overlay %u, layer %u, lap %u are told in a run of %u, %u, %u", row->overlay,
                  row->layer, row->lap, lay->overlay_number, lay->layer_number, lap);
}

static void open_layer(struct judge *judge, const struct borelay_row *row, const struct lay *lay) {
  if (judge->lay)
    cover_close(judge);
  if (!judge->lay)
    judge_first(judge, row, lay);
  else if (lay != judge->lay + 1)
    finding_fault(judge->findings, CHECK_ORDER, (int64_t)row->index,
                  "overlay %u, layer %u follows overlay %u, layer %u", lay->overlay_number,
                  lay->layer_number, judge->lay->overlay_number, judge->lay->layer_number);
  judge->room = arc_room_make(judge->arena, lay->overlay, lay->wall);
  cover_open(judge, lay);
}

static bool open_run(struct judge *judge, const struct borelay_row *row, const struct head *head) {
  const struct lay *lay = lay_find(judge->stack, row->overlay, row->layer);
  bool is_lap = lay && row->lap >= 1 && lay_lap_path(lay, row->lap) < lay_path_count(lay);
  if (!is_lap) {
    finding_fault(judge->findings, CHECK_ORDER, (int64_t)row->index,
                  "the job has no overlay %u, layer %u, lap %u", row->overlay, row->layer,
                  row->lap);
    return false;
  }
  size_t path = lay_lap_path(lay, row->lap);
  judge_wait(judge, row, lay, path);
  judge_labels(judge, row);
  moves_end(judge, row, head, lay, path);
  bool is_new = lay != judge->lay;
  if (is_new)
    open_layer(judge, row, lay);
  else if (path < judge->path)
    finding_fault(judge->findings, CHECK_ORDER, (int64_t)row->index, "lap %u comes after lap %zu",
                  row->lap, judge->path + 1);
  judge->run = (struct run){.active = true,
                            .phase = BORELAY_MOVE,
                            .path = path,
                            .lap = row->lap,
                            .began = (int64_t)row->index,
                            .turned_from = head->angle,
                            .turned = {head->angle, head->angle},
                            .owed = judge->owed,
                            .weld_end = NAN};
  if (is_new || path != judge->path)
    judge->gone = 0;
  judge->lay = lay;
  judge->path = path;
  judge->waited = 0;
  pace_open(judge);
  sway_open(judge);
  return true;
}

void run_turned(struct judge *judge, const struct block *block, size_t from, size_t to) {
  struct range *turned = &judge->run.turned;
  if (!judge->run.active || judge->job->cell->axis[AXIS_HEAD].endless)
    return;
  for (size_t i = from; i < to; i++) {
    turned->lo = fmin(turned->lo, block->angle[i]);
    turned->hi = fmax(turned->hi, block->angle[i]);
  }
}

void run_close(struct judge *judge, const struct borelay_row *row, const struct head *head) {
  struct run *run = &judge->run;
  if (!run->active)
    return;
  int64_t index = (int64_t)row->index;
  end_phase(judge, index);
  uint8_t next = next_phase(judge->lay->procedure, run->phase, judge->tick);
  if (next < BORELAY_PHASE_COUNT)
    finding_fault(judge->findings, CHECK_ORDER, index, "a move comes where %s is asked for",
                  PHASES[next]);
  course_row(judge, row, head);
  course_end(judge, index);
  pace_close(judge);
  sway_close(judge);
  judge->owed = run->owed;
  moves_begin(judge, row, head);
  run->active = false;
}

static void keep_labels(struct judge *judge, const struct borelay_row *row) {
  if (judge->has_labels && judge->before.overlay != 0 && !judge->run.active &&
      (judge->last_overlay != row->overlay || judge->last_layer != row->layer ||
       judge->last_lap != row->lap) &&
      judge->before.phase != BORELAY_POSTFLOW && !is_run_phase(judge->before.phase))
    finding_fault(judge->findings, CHECK_ORDER, (int64_t)row->index,
                  "overlay, layer and lap change between two moves to one run");
  judge->has_labels = true;
  judge->last_overlay = row->overlay;
  judge->last_layer = row->layer;
  judge->last_lap = row->lap;
}

void run_row(struct judge *judge, const struct borelay_row *row, const struct head *head) {
  finding_judged(judge->findings, CHECK_ORDER);
  bool stood = judge->run.active ? !run_may_travel(judge, (int64_t)row->index)
                                 : judge->before.phase == BORELAY_WAIT;
  if (row->index > 0 && stood)
    judge_standing(judge, row);
  if (!is_run_phase(row->phase)) {
    run_close(judge, row, head);
    if (row->index == 0)
      moves_begin(judge, row, head);
    moves_row(judge, row, head);
    judge->waited += row->phase == BORELAY_WAIT;
    keep_labels(judge, row);
    judge_row_labels(judge, row);
    return;
  }
  if (!judge->run.active && !open_run(judge, row, head))
    return;
  if (row->phase != judge->run.phase) {
    if (judge->run.phase != BORELAY_MOVE)
      end_phase(judge, (int64_t)row->index);
    enter_phase(judge, row);
  }
  judge->has_labels = false;
  judge_row_labels(judge, row);
  course_row(judge, row, head);
}
