/* verify.c - the whole way: job, header, rows, verdict. */
#include "borelay/verify.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/num.h"
#include "borelay/resolve.h"
#include "borelay/rows.h"
#include "verify/collide.h"
#include "verify/identity.h"
#include "verify/verdict.h"

static const char *const MODES[] = {"weld", "rehearsal", "resume"};

static enum verify_end tell_unreadable(const char *path, int error) {
  fprintf(stderr, "borelay: cannot read %s: %s\n", path, strerror(error));
  return VERIFY_FILE_FAILED;
}

/* -- a row ------------------------------------------------------------------------------------ */

static void judge_park(struct judge *judge, const struct borelay_row *row, const struct head *head,
                       bool is_last) {
  const struct cell *cell = judge->job->cell;
  vec3 park = cell->park;
  double turns = (head->angle - cell->park_head) / NUM_TURN;
  double whole = is_last && cell->axis[AXIS_HEAD].endless ? floor(turns + 0.5) : 0;
  double off =
      fmax(fabs(head->h.x - park.x), fmax(fabs(head->h.y - park.y), fabs(head->h.z - park.z)));
  if (off > 2 * ROUND_MM || fabs(turns - whole) * NUM_TURN > 2 * ROUND_RAD)
    finding_fault(judge->findings, CHECK_ORDER, (int64_t)row->index,
                  "the %s row is not at the cell's park position", is_last ? "last" : "first");
}

static void judge_row(struct judge *judge, const struct block *block, size_t i, uint64_t rows) {
  const struct borelay_row *row = &block->rows[i];
  struct head head = block_head(block, i);
  uint64_t faults = calm_faults(judge);
  run_row(judge, row, &head);
  setpoints_row(judge, row);
  if (row->index == 0 || row->index + 1 == rows)
    judge_park(judge, row, &head, row->index != 0);
  judge->before = *row;
  judge->head_before = head;
  calm_after_row(judge, faults);
}

/* How many rows from i on repeat the row before them, the stream's last row left out. */
static size_t count_repeats(const struct judge *judge, const struct block *block, size_t from,
                            uint64_t rows) {
  size_t i = from;
  const struct borelay_row *before = from > 0 ? &block->rows[from - 1] : &judge->before;
  for (; i < block->count && block->rows[i].index + 1 < rows; i++) {
    if (!block->repeats[i] && !row_repeats(&block->rows[i], before))
      break;
    before = &block->rows[i];
  }
  return i - from;
}

static void judge_block(struct judge *judge, struct block *block, uint64_t rows) {
  if (block->count == 0)
    return;
  block_fill(block, judge->job->cell, &judge->stack->lie);
  axes_block(&judge->axes, block);
  collide_block(judge->collide, block);
  for (size_t i = 0; i < block->count;) {
    size_t repeats = judge->calm.is_calm ? count_repeats(judge, block, i, rows) : 0;
    size_t end = i + repeats;
    while (i < end) {
      size_t done = calm_rows(judge, block, i, end - i);
      if (done > 0) {
        i += done;
        judge->before = block->rows[i - 1];
        judge->head_before = block_head(block, i - 1);
      } else {
        judge_row(judge, block, i++, rows);
      }
    }
    if (i < block->count)
      judge_row(judge, block, i++, rows);
  }
  block->count = 0;
}

static void judge_end(struct judge *judge) {
  const struct lay_stack *stack = judge->stack;
  if (judge->run.active)
    run_close(judge, &judge->before, &judge->head_before);
  if (judge->lay)
    cover_close(judge);
  if (judge->before.overlay != 0)
    finding_fault(judge->findings, CHECK_ORDER, (int64_t)judge->before.index,
                  "the last row still leads to overlay %u", judge->before.overlay);
  if (!judge->lay || judge->lay + 1 != stack->items + stack->count)
    finding_fault(
        judge->findings, CHECK_ORDER, FINDING_NO_ROW, "the stream ends before overlay %u, layer %u",
        judge->lay ? judge->lay[1].overlay_number : 1, judge->lay ? judge->lay[1].layer_number : 1);
}

/* -- a stream --------------------------------------------------------------------------------- */

static void begin(struct judge *judge, const struct rows *rows, const struct source_set *sources) {
  const struct borelay_header *header = &rows->reader.header;
  size_t length;
  const char *lines = rows_header_text(rows, &length);
  identity_judge(judge, sources, header, lines, length);
  judge->mode = header->mode; /* what follows is judged as what it is */
  judge->has_process = judge->is_timed = header->mode != BORELAY_REHEARSAL;
  judge->collide = collide_new(judge->arena, judge->job, judge->stack, judge->findings,
                               header->mode == BORELAY_RESUME);
  job_judge(judge);
}

/* The row that the reader has just told, and those that it has at hand. */
static void gather(struct block *block, struct rows *rows) {
  size_t from = block->count + 1;
  block->repeats[block->count] = false;
  block->rows[block->count++] = rows->reader.row;
  block->count += rows_more(rows, block->rows + from, BLOCK_ROWS - from);
  for (size_t i = from; i < block->count; i++)
    block->repeats[i] = true;
}

/* false: the stream breaks off, and that is told. */
static bool walk(struct judge *judge, struct rows *rows, const struct source_set *sources) {
  struct block *block = arena_alloc(judge->arena, 1, sizeof *block);
  for (;;) {
    enum borelay_event event = rows_next(rows);
    const struct borelay_reader *reader = &rows->reader;
    if (event == BORELAY_ROW) {
      gather(block, rows);
      if (block->count == BLOCK_ROWS)
        judge_block(judge, block, reader->header.rows);
    } else if (event == BORELAY_HEADER) {
      begin(judge, rows, sources);
    } else if (event == BORELAY_END) {
      judge_block(judge, block, reader->header.rows);
      judge_end(judge);
      return true;
    } else if (event == BORELAY_ERROR) {
      judge_block(judge, block, reader->header.rows);
      rows_tell_error(rows, stderr);
      return false;
    }
  }
}

static enum verify_end give_verdict(const struct verify_request *request, const struct judge *judge,
                                    const struct rows *rows) {
  const struct findings *findings = judge->findings;
  const struct borelay_header *header = &rows->reader.header;
  struct verdict_head head = {request->stream_path, judge->job->title_text, MODES[header->mode],
                              header->rows, (double)header->duration_us * 1e-6};
  bool holds = findings_hold(findings), made = true;
  verdict_faults(findings, request->stream_path, stderr);
  if (request->json)
    made = verdict_json(findings, &head, stdout);
  else if (!request->quiet || !holds)
    verdict_table(findings, &head, stdout);
  if (!made || fflush(stdout) != 0 || ferror(stdout)) {
    fprintf(stderr, "borelay: cannot write standard output\n");
    return VERIFY_FILE_FAILED;
  }
  return holds ? VERIFY_HOLDS : VERIFY_FAULTY;
}

static enum verify_end judge_stream(struct arena *arena, const struct verify_request *request,
                                    const struct job *job, const struct source_set *sources) {
  struct lay_stack stack = lay_stack_make(arena, job);
  if (!stack.is_whole) {
    fprintf(stderr, "borelay: %s: %s\n", request->job_path,
            stack.is_unmet ? "no layers and overlap meet what it requires"
                           : "the touches or an outline give no wall");
    return VERIFY_FAULTY;
  }
  struct findings *findings = arena_alloc(arena, 1, sizeof *findings);
  struct judge *judge = arena_alloc(arena, 1, sizeof *judge);
  *judge = (struct judge){.arena = arena,
                          .job = job,
                          .stack = &stack,
                          .findings = findings,
                          .mode = request->mode,
                          .tick = job->cell->tick};
  findings->tick = job->cell->tick;
  axes_watch(&judge->axes, job->cell, findings);
  struct rows rows;
  enum verify_end end = VERIFY_FAULTY;
  bool whole = rows_open(&rows, request->stream_path, true)
                   ? walk(judge, &rows, sources)
                   : (rows_tell_error(&rows, stderr), false);
  if (whole)
    end = give_verdict(request, judge, &rows);
  else if (rows.error)
    end = VERIFY_FILE_FAILED;
  else
    verdict_faults(findings, request->stream_path, stderr);
  rows_close(&rows);
  return end;
}

enum verify_end verify_stream(const struct verify_request *request) {
  struct arena *arena = arena_new();
  struct source_set *sources = source_set_new(arena);
  struct diag_list *diags = diag_list_new(arena, sources);
  const char *unreadable = NULL;
  enum verify_end end = VERIFY_FAULTY;
  const struct job *job = job_resolve(arena, sources, diags, request->job_path, request->settings,
                                      request->setting_count, &unreadable);
  int error = errno;
  if (!request->quiet || !job)
    diag_print(diags, stderr);
  if (unreadable)
    end = tell_unreadable(unreadable, error);
  else if (job)
    end = judge_stream(arena, request, job, sources);
  arena_free(arena);
  return end;
}
