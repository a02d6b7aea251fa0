/* diag.h - what is told to the author of a job file.
 *
 * A diagnostic is a record: severity, code, place, message, notes at other
 * places, at most one line of help.  Stages add records and go on; the pipeline
 * prints them sorted by place at the end, twenty at most. */
#ifndef BORELAY_DIAG_H
#define BORELAY_DIAG_H

#include <stdbool.h>
#include <stdio.h>

#include "borelay/source.h"

enum diag_code {
#define DIAG(name, number, summary) DIAG_##name,
#include "borelay/diag_codes.def"
#undef DIAG
  DIAG_CODE_COUNT
};

struct diag;
struct diag_list;

struct diag_list *diag_list_new(struct arena *arena, const struct source_set *sources);

/* Messages are in the words of the trade, begin in lower case, end without a
 * full stop, and give what was found and what is wanted with figures and units.
 * The returned record is for diag_note() and diag_help(); never NULL. */
struct diag *diag_error(struct diag_list *list, enum diag_code code, span at, const char *format,
                        ...) __attribute__((format(printf, 4, 5), cold));
struct diag *diag_warning(struct diag_list *list, enum diag_code code, span at, const char *format,
                          ...) __attribute__((format(printf, 4, 5), cold));
void diag_note(struct diag *diag, span at, const char *format, ...)
    __attribute__((format(printf, 3, 4), cold));
void diag_help(struct diag *diag, const char *format, ...)
    __attribute__((format(printf, 2, 3), cold));

size_t diag_error_count(const struct diag_list *list);
size_t diag_warning_count(const struct diag_list *list);

/* Prints all, sorted by file and place, told once; after twenty errors a line
 * that counts the rest.  Layout: docs/messages.md. */
void diag_print(const struct diag_list *list, FILE *to);

/* For programs: record k of diag_count(), sorted as printed. */
struct diag_view {
  bool is_error;
  enum diag_code what;
  const char *code; /* "E0312" or "W0104" */
  span at;
  const char *message;
  const char *help; /* or NULL */
};
size_t diag_count(const struct diag_list *list);
struct diag_view diag_view_get(const struct diag_list *list, size_t index);

/* Its notes one by one, from 0.  False behind the last. */
struct diag_note_view {
  span at; /* file 0: no place */
  const char *text;
};
bool diag_note_get(const struct diag_list *list, size_t index, size_t note,
                   struct diag_note_view *view);

/* The table of codes. */
struct diag_code_info {
  int number;          /* 312 */
  bool is_warning;     /* W0405; else E0312 */
  const char *summary; /* one line, in lower case, without a full stop */
};
struct diag_code_info diag_code_info_get(enum diag_code code);

#endif
