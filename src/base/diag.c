/* Records of what is told to the author.  The list is kept in the order of printing:
 * stages mostly go through a file from top to bottom, so a new record is nearly
 * always put at the end, and what is not finds its place by halving. */
#include "borelay/diag.h"

#include <assert.h>
#include <stdarg.h>
#include <string.h>

#include "base/diag_list.h"
#include "borelay/arena.h"

static const struct diag_code_info codes[] = {
#define DIAG(name, number, summary)   {number, false, summary},
#define DIAG_W(name, number, summary) {number, true, summary},
#include "borelay/diag_codes.def"
#undef DIAG
};

struct diag_code_info diag_code_info_get(enum diag_code code) {
  assert(code < DIAG_CODE_COUNT);
  return codes[code];
}

struct diag_list *diag_list_new(struct arena *arena, const struct source_set *sources) {
  struct diag_list *list = arena_alloc(arena, 1, sizeof *list);
  list->arena = arena;
  list->sources = sources;
  return list;
}

static int compare_numbers(uint32_t a, uint32_t b) {
  return (a > b) - (a < b);
}

/* By place, an error before a warning, then by code and words. */
static int compare(const struct diag *a, const struct diag *b) {
  int by[] = {
      compare_numbers(a->at.file, b->at.file),       compare_numbers(a->at.begin, b->at.begin),
      compare_numbers(a->at.end, b->at.end),         (int)b->is_error - (int)a->is_error,
      codes[a->code].number - codes[b->code].number, strcmp(a->message, b->message),
  };
  for (size_t i = 0; i < sizeof by / sizeof *by; i++)
    if (by[i] != 0)
      return by[i];
  return 0;
}

/* Behind all that come before it, and behind the same one. */
static size_t place_of(const struct diag_list *list, const struct diag *diag) {
  size_t low = 0, high = list->count;
  if (high > 0 && compare(list->items[high - 1], diag) <= 0)
    return high;
  while (low < high) {
    size_t middle = low + (high - low) / 2;
    if (compare(list->items[middle], diag) <= 0)
      low = middle + 1;
    else
      high = middle;
  }
  return low;
}

/* A record that is there already is not put in again; the caller's copy takes the
 * notes and help given afterwards, unseen. */
static void insert(struct diag_list *list, struct diag *diag) {
  size_t place = place_of(list, diag);
  if (place > 0 && compare(list->items[place - 1], diag) == 0)
    return;
  if (list->count == list->room) {
    size_t room = list->room ? list->room * 2 : 16;
    list->items = arena_grow(list->arena, list->items, list->count, room, sizeof(void *));
    list->room = room;
  }
  memmove(list->items + place + 1, list->items + place, (list->count - place) * sizeof(void *));
  list->items[place] = diag;
  list->count++;
  list->errors += diag->is_error;
}

__attribute__((format(printf, 5, 0))) static struct diag *tell(struct diag_list *list,
                                                               bool is_error, enum diag_code code,
                                                               span at, const char *format,
                                                               va_list arguments) {
  struct diag *diag = arena_alloc(list->arena, 1, sizeof *diag);
  *diag = (struct diag){.arena = list->arena, .is_error = is_error, .code = code, .at = at};
  diag->notes_end = &diag->notes;
  diag->message = arena_format_list(list->arena, format, arguments);
  insert(list, diag);
  return diag;
}

struct diag *diag_error(struct diag_list *list, enum diag_code code, span at, const char *format,
                        ...) {
  va_list arguments;
  va_start(arguments, format);
  struct diag *diag = tell(list, true, code, at, format, arguments);
  va_end(arguments);
  return diag;
}

struct diag *diag_warning(struct diag_list *list, enum diag_code code, span at, const char *format,
                          ...) {
  va_list arguments;
  va_start(arguments, format);
  struct diag *diag = tell(list, false, code, at, format, arguments);
  va_end(arguments);
  return diag;
}

void diag_note(struct diag *diag, span at, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  struct diag_note *note = arena_alloc(diag->arena, 1, sizeof *note);
  note->at = at;
  note->text = arena_format_list(diag->arena, format, arguments);
  va_end(arguments);
  *diag->notes_end = note;
  diag->notes_end = &note->next;
}

void diag_help(struct diag *diag, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  diag->help = arena_format_list(diag->arena, format, arguments);
  va_end(arguments);
}

size_t diag_error_count(const struct diag_list *list) {
  return list->errors;
}
size_t diag_warning_count(const struct diag_list *list) {
  return list->count - list->errors;
}
size_t diag_count(const struct diag_list *list) {
  return list->count;
}

const char *diag_code_text(const struct diag *diag) {
  return arena_format(diag->arena, "%c%04d", diag->is_error ? 'E' : 'W', codes[diag->code].number);
}

struct diag_view diag_view_get(const struct diag_list *list, size_t index) {
  assert(index < list->count);
  const struct diag *diag = list->items[index];
  return (struct diag_view){.is_error = diag->is_error,
                            .what = diag->code,
                            .code = diag_code_text(diag),
                            .at = diag->at,
                            .message = diag->message,
                            .help = diag->help};
}

bool diag_note_get(const struct diag_list *list, size_t index, size_t note,
                   struct diag_note_view *view) {
  assert(index < list->count);
  const struct diag_note *at = list->items[index]->notes;
  while (at && note-- > 0)
    at = at->next;
  if (at)
    *view = (struct diag_note_view){.at = at->at, .text = at->text};
  return at != NULL;
}
