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

static enum verify_end tell_failure(const struct verify_request *request, const char *doing,
                                    const char *path, int error) {
  char text[4608];
  snprintf(text, sizeof text, "cannot %s %.4000s: %s", doing, path, strerror(error));
  fprintf(stderr, "borelay: %s\n", text);
  if (request->sarif)
    sarif_fail(request->sarif, text);
  return VERIFY_FILE_FAILED;
}

/* The job has no stream that could be judged. */
static enum verify_end tell_no_job(const struct verify_request *request, const char *why) {
  fprintf(stderr, "borelay: %s: %s\n", request->job_path, why);
  if (request->sarif)
    sarif_add(request->sarif, &(struct sarif_finding){.rule = "job",
                                                      .about = "a job that no stream can be of",
                                                      .message = why,
                                                      .path = request->job_path});
  return VERIFY_FAULTY;
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
  run_turned(judge, block, i, i + 1);
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
        run_turned(judge, block, i, i + done);
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
  axes_rest(&judge->axes, &judge->before);
  if (judge->run.active)
    run_close(judge, &judge->before, &judge->head_before);
  if (judge->lay)
    cover_close(judge);
  moves_end(judge, &judge->before, &judge->head_before, NULL, 0);
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
  else if (!request->wordless && (!request->quiet || !holds))
    verdict_table(findings, &head, stdout);
  if (made && request->summary)
    made = verdict_json(findings, &head, request->summary);
  if (!made)
    return tell_failure(request, "write", "standard output", ENOMEM);
  if (fflush(stdout) != 0 || ferror(stdout))
    return tell_failure(request, "write", "standard output", errno ? errno : EIO);
  return holds ? VERIFY_HOLDS : VERIFY_FAULTY;
}

/* Line of a text stream on which row 0 stands; 0: there is none. */
static uint64_t first_row_line(const struct rows *rows) {
  const struct borelay_header *header = &rows->reader.header;
  size_t length;
  if (header->binary || header->text_to == 0)
    return 0;
  uint64_t line = 2; /* behind that of the column names */
  const char *text = rows_header_text(rows, &length);
  for (size_t i = 0; i < length; i++)
    line += text[i] == '\n';
  return line;
}

static void add_reading_error(struct sarif *sarif, const struct rows *rows, const char *path) {
  char text[4608];
  if (rows->error) {
    snprintf(text, sizeof text, "cannot read %.4000s: %s", path ? path : "standard input",
             strerror(rows->error));
    sarif_fail(sarif, text);
    return;
  }
  const struct borelay_reader *reader = &rows->reader;
  snprintf(text, sizeof text, "row %llu, byte %llu", (unsigned long long)reader->error_row,
           (unsigned long long)reader->error_at);
  sarif_add(sarif, &(struct sarif_finding){.rule = "stream",
                                           .about = "the form of a stream",
                                           .message = rows_error_text(reader->error),
                                           .path = path,
                                           .name = text});
}

static void gather_findings(const struct verify_request *request, const struct findings *findings,
                            const struct rows *rows, bool is_whole) {
  const char *path = strcmp(request->stream_path, "-") == 0 ? NULL : request->stream_path;
  if (!request->sarif)
    return;
  if (!is_whole)
    add_reading_error(request->sarif, rows, path);
  verdict_sarif(findings, path, first_row_line(rows), request->sarif);
}

static enum verify_end judge_stream(struct arena *arena, const struct verify_request *request,
                                    const struct job *job, const struct source_set *sources) {
  struct lay_stack stack = lay_stack_make(arena, job);
  if (!stack.is_whole)
    return tell_no_job(request, stack.is_unmet ? "no layers and overlap meet what it requires"
                                               : "the touches or an outline give no wall");
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
  gather_findings(request, findings, &rows, whole);
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
  if (request->sarif)
    sarif_add_diags(request->sarif, sources, diags, NULL);
  if (unreadable)
    end = tell_failure(request, "read", unreadable, error);
  else if (job)
    end = judge_stream(arena, request, job, sources);
  arena_free(arena);
  return end;
}
