/* Two streams compared, for people. */
#include <inttypes.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/motion.h"
#include "compare/streams.h"

enum { SHOWN = 20 };

static void print_answer(const struct streams *streams, FILE *to) {
  if (streams_are_same(streams))
    fputs("SAME", to);
  else if (streams_act_same(streams) && streams->rows_differ == 0)
    fputs("DIFFERENT: in the header only; every row is the same", to);
  else if (streams_act_same(streams))
    fputs("DIFFERENT: in header lines or labels only; the machine does the same", to);
  else
    fputs("DIFFERENT", to);
  fputc('\n', to);
}

static void print_side(const char *name, const struct stream_side *side, FILE *to) {
  const struct borelay_header *header = &side->header;
  fprintf(to, "  %-7s %s  %s, %s, %" PRIu64 " rows, %.3f s\n", name, side->path,
          header->binary ? "binary" : "text", mode_name((enum stream_mode)header->mode),
          header->rows, (double)header->duration_us * 1e-6);
}

static void print_lines(const struct streams *streams, FILE *to) {
  if (streams->line_count > 0)
    fputs("\nHeader\n", to);
  for (size_t i = 0; i < streams->line_count; i++) {
    const struct line_change *change = &streams->lines[i];
    fprintf(to, "  %s\n", change->key);
    fprintf(to, "    before  %s\n", change->before ? change->before : "not there");
    fprintf(to, "    after   %s\n", change->after ? change->after : "not there");
  }
}

static const char *rows_text(struct arena *arena, uint64_t count) {
  return arena_format(arena, "%" PRIu64 " row%s", count, count == 1 ? "" : "s");
}

static void print_columns(const struct streams *streams, FILE *to) {
  uint64_t before = streams->sides[0].header.rows, after = streams->sides[1].header.rows;
  double tick = streams->sides[0].header.tick_us * 1e-6;
  if (streams->rows_differ == 0 && before == after)
    return;
  fprintf(to, "\nRows of one number: %" PRIu64 " of %" PRIu64 " differ\n", streams->rows_differ,
          streams->rows_compared);
  if (before != after)
    fprintf(to, "  %s has %s more\n", before > after ? "before" : "after",
            rows_text(streams->arena, before > after ? before - after : after - before));
  if (streams->rows_differ > 0)
    fprintf(to, "  %-15s %10s %10s %12s  %12s %-5s %10s\n", "column", "rows", "first", "at s",
            "largest", "", "row");
  for (int i = 0; i < COLUMN_COUNT; i++) {
    const struct column_change *change = &streams->columns[i];
    if (change->rows == 0)
      continue;
    fprintf(to, "  %-15s %10" PRIu64 " %10" PRIu64 " %12.3f", COLUMNS[i].name, change->rows,
            change->first, (double)change->first * tick);
    if (COLUMNS[i].unit)
      fprintf(to, "  %12.6g %-5s %10" PRIu64, change->largest, COLUMNS[i].unit,
              change->largest_row);
    fputc('\n', to);
  }
}

static void print_stretch(struct arena *arena, const struct stretch_change *change, FILE *to) {
  const struct row_stretch *before = change->before, *after = change->after;
  if (before)
    fprintf(to, "  %-52s", stream_stretch_text(arena, before));
  else if (after)
    fprintf(to, "  %-52s", stream_stretch_text(arena, after));
  if (before && after && before->count == after->count)
    fprintf(to, " %s, of other values\n", rows_text(arena, after->count));
  else if (before && after)
    fprintf(to, " %" PRIu64 " -> %s\n", before->count, rows_text(arena, after->count));
  else if (before)
    fprintf(to, " gone, %s from row %" PRIu64 "\n", rows_text(arena, before->count), before->first);
  else if (after)
    fprintf(to, " new, %s from row %" PRIu64 "\n", rows_text(arena, after->count), after->first);
}

static void print_stretches(struct arena *arena, const struct streams *streams, FILE *to) {
  if (streams->stretch_count == 0)
    return;
  fprintf(to, "\nStretches that differ, whatever their time: %zu of %zu\n", streams->stretch_count,
          streams->sides[1].stretch_count);
  for (size_t i = 0; i < streams->stretch_count && i < SHOWN; i++)
    print_stretch(arena, &streams->stretches[i], to);
  if (streams->stretch_count > SHOWN)
    fprintf(to, "  and %zu more\n", streams->stretch_count - SHOWN);
}

static void print_tip(struct arena *arena, const char *what, const struct streams *streams,
                      const struct apart *apart, FILE *to) {
  if (!apart->is_there)
    return;
  if (apart->distance < APART_SURE) {
    fprintf(to, "  arc %-3s  the same to %.2f mm\n", what, APART_SURE);
    return;
  }
  const struct row_stretch *stretch = stream_stretch_at(&streams->sides[apart->side], apart->t);
  fprintf(to, "  arc %-3s  %.2f mm  %s, %s, depth %.2f mm, at %.2f s\n", what, apart->distance,
          apart->side == 0 ? "before" : "after", stream_stretch_text(arena, stretch), -apart->at.z,
          apart->t);
}

void streams_print(const struct streams *streams, FILE *to) {
  struct arena *arena = arena_new();
  print_answer(streams, to);
  print_side("before", &streams->sides[0], to);
  print_side("after", &streams->sides[1], to);
  print_lines(streams, to);
  print_columns(streams, to);
  print_stretches(arena, streams, to);
  if (streams->tip_on.is_there || streams->tip_off.is_there) {
    fputs("\nLargest distance between the two ways of the tip, on the part\n", to);
    print_tip(arena, "on", streams, &streams->tip_on, to);
    print_tip(arena, "off", streams, &streams->tip_off, to);
  }
  arena_free(arena);
}
