/* How a diagnostic looks:
 *
 *   bore.lay:14:16: error[E0312]: travel_speed wants a speed; this is a length
 *      14 |   travel_speed 180 mm
 *         |                ^~~~~~
 *   cells.lay:3:9: note: ...
 *   help: write `180 mm/min`
 *
 * The line is shown as cells, one a code point, so that the mark stands under the
 * place: tabs are spread to spaces, and what a terminal would obey or could not show
 * becomes U+FFFD.  Of a long line the part around the place is shown. */
#include <string.h>

#include "base/diag_list.h"
#include "borelay/arena.h"
#include "borelay/utf8.h"

enum { MOST_OF_A_KIND = 20, TAB_STOP = 8, WIDEST = 110, LEAD = 40, GUTTER = 5 };

/* One code point of a line, or a byte that is none: its bytes and where it stands. */
struct cell {
  uint32_t begin;
  uint32_t bytes;
  uint32_t column; /* from 0, tabs counted as spread */
  bool is_shown;
};

/* Not sent to a terminal: controls, and marks that turn the direction of writing. */
static bool is_harmless(uint32_t code) {
  bool is_control = code < 0x20 || (code >= 0x7F && code < 0xA0);
  bool turns = (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
  return !is_control && !turns;
}

static struct cell cell_at(const struct source *source, uint32_t at, uint32_t line_end,
                           uint32_t column) {
  uint32_t code = 0;
  uint32_t bytes = (uint32_t)utf8_read(source->text + at, source->text + line_end, &code);
  return (struct cell){.begin = at,
                       .bytes = bytes ? bytes : 1,
                       .column = column,
                       .is_shown = bytes > 0 && is_harmless(code)};
}

static uint32_t cell_width(const struct source *source, struct cell cell) {
  return source->text[cell.begin] == '\t' ? TAB_STOP - cell.column % TAB_STOP : 1;
}

static void print_cell(FILE *to, const struct source *source, struct cell cell) {
  const uint8_t *p = source->text + cell.begin;
  if (*p == '\t')
    fprintf(to, "%*s", (int)cell_width(source, cell), "");
  else if (cell.is_shown)
    fwrite(p, 1, cell.bytes, to);
  else
    fputs("\xEF\xBF\xBD", to);
}

struct line {
  const struct source *source;
  uint32_t begin, end; /* without CR LF */
};

static struct line line_around(const struct source *source, uint32_t offset) {
  struct line line = {.source = source, .begin = offset, .end = offset};
  while (line.begin > 0 && source->text[line.begin - 1] != '\n')
    line.begin--;
  while (line.end < source->length && source->text[line.end] != '\n')
    line.end++;
  if (line.end > line.begin && source->text[line.end - 1] == '\r')
    line.end--;
  if (line.begin == 0 && line.end >= 3 && memcmp(source->text, "\xEF\xBB\xBF", 3) == 0)
    line.begin = 3;
  return line;
}

/* Columns, from 0 and with tabs spread, of the marked stretch and of the line's end. */
struct columns {
  uint32_t mark_begin, mark_end, end;
};

static struct columns columns_of(struct line line, span at) {
  struct columns columns = {.mark_begin = UINT32_MAX, .mark_end = UINT32_MAX};
  uint32_t column = 0;
  for (uint32_t i = line.begin; i < line.end;) {
    struct cell cell = cell_at(line.source, i, line.end, column);
    i += cell.bytes;
    column += cell_width(line.source, cell);
    if (columns.mark_begin == UINT32_MAX && i > at.begin)
      columns.mark_begin = cell.column;
    if (columns.mark_end == UINT32_MAX && i >= at.end)
      columns.mark_end = column;
  }
  columns.end = column;
  if (columns.mark_begin == UINT32_MAX)
    columns.mark_begin = column;
  if (columns.mark_end == UINT32_MAX)
    columns.mark_end = column;
  if (columns.mark_end <= columns.mark_begin)
    columns.mark_end = columns.mark_begin + 1;
  return columns;
}

/* The columns that are shown: all, or WIDEST of them with the mark's begin inside. */
struct window {
  uint32_t begin, end;
  bool cut_before, cut_after;
};

static struct window window_of(struct columns columns) {
  struct window window = {.begin = 0, .end = columns.end};
  if (columns.end > WIDEST) {
    if (columns.mark_begin > WIDEST - LEAD)
      window.begin = columns.mark_begin - LEAD;
    if (columns.end - window.begin > WIDEST)
      window.end = window.begin + WIDEST;
  }
  window.cut_before = window.begin > 0;
  window.cut_after = window.end < columns.end;
  return window;
}

static void print_line(FILE *to, struct line line, struct window window) {
  uint32_t column = 0;
  if (window.cut_before)
    fputs("...", to);
  for (uint32_t i = line.begin; i < line.end;) {
    struct cell cell = cell_at(line.source, i, line.end, column);
    i += cell.bytes;
    column += cell_width(line.source, cell);
    if (cell.column >= window.begin && cell.column < window.end)
      print_cell(to, line.source, cell);
    else if (column > window.begin && cell.column < window.begin)
      fprintf(to, "%*s", (int)(column - window.begin), ""); /* a tab's rest */
  }
  fputs(window.cut_after ? "...\n" : "\n", to);
}

static void print_mark(FILE *to, struct columns columns, struct window window) {
  uint32_t lead = columns.mark_begin - window.begin + (window.cut_before ? 3 : 0);
  uint32_t end = columns.mark_end;
  if (window.cut_after && end > window.end)
    end = window.end;
  fprintf(to, "%*s^", (int)lead, "");
  for (uint32_t i = columns.mark_begin + 1; i < end; i++)
    fputc('~', to);
  fputc('\n', to);
}

static void print_snippet(FILE *to, const struct source *source, uint32_t line_number, span at) {
  struct line line = line_around(source, at.begin < source->length ? at.begin : source->length);
  struct columns columns = columns_of(line, at);
  struct window window = window_of(columns);
  int digits = snprintf(NULL, 0, "%lu", (unsigned long)line_number);
  int gutter = digits > GUTTER ? digits : GUTTER;
  if (line.begin == line.end) { /* nothing to the right of the bar, no blank either */
    fprintf(to, "%*lu |\n", gutter, (unsigned long)line_number);
  } else {
    fprintf(to, "%*lu | ", gutter, (unsigned long)line_number);
    print_line(to, line, window);
  }
  fprintf(to, "%*s | ", gutter, "");
  print_mark(to, columns, window);
}

static void print_told(FILE *to, const struct source_set *sources, span at, const char *title,
                       const char *text) {
  if (at.file == 0) {
    fprintf(to, "%s: %s\n", title, text);
    return;
  }
  const struct source *source = source_get(sources, at.file);
  struct source_place place = source_place_get(sources, at.file, at.begin);
  fprintf(to, "%s:%lu:%lu: %s: %s\n", source->path, (unsigned long)place.line,
          (unsigned long)place.column, title, text);
  print_snippet(to, source, place.line, at);
}

static void print_diag(FILE *to, const struct source_set *sources, const struct diag *diag) {
  const char *title = arena_format(diag->arena, "%s[%s]", diag->is_error ? "error" : "warning",
                                   diag_code_text(diag));
  print_told(to, sources, diag->at, title, diag->message);
  for (const struct diag_note *note = diag->notes; note; note = note->next)
    print_told(to, sources, note->at, "note", note->text);
  if (diag->help)
    fprintf(to, "help: %s\n", diag->help);
}

static void print_rest(FILE *to, size_t errors, size_t warnings) {
  if (errors + warnings == 0)
    return;
  fputs("and ", to);
  if (errors > 0)
    fprintf(to, "%zu more error%s", errors, errors == 1 ? "" : "s");
  if (errors > 0 && warnings > 0)
    fputs(" and ", to);
  if (warnings > 0)
    fprintf(to, "%zu more warning%s", warnings, warnings == 1 ? "" : "s");
  fputc('\n', to);
}

void diag_print(const struct diag_list *list, FILE *to) {
  size_t errors = 0, warnings = 0;
  for (size_t i = 0; i < list->count; i++) {
    const struct diag *diag = list->items[i];
    size_t *told = diag->is_error ? &errors : &warnings;
    if ((*told)++ < MOST_OF_A_KIND)
      print_diag(to, list->sources, diag);
  }
  print_rest(to, errors > MOST_OF_A_KIND ? errors - MOST_OF_A_KIND : 0,
             warnings > MOST_OF_A_KIND ? warnings - MOST_OF_A_KIND : 0);
}
