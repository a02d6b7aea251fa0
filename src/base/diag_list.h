/* The records behind diag.h, shared by diag.c and diag_print.c. */
#ifndef BASE_DIAG_LIST_H
#define BASE_DIAG_LIST_H

#include "borelay/diag.h"

struct diag_note {
  span at;
  const char *text;
  struct diag_note *next;
};

struct diag {
  struct arena *arena;
  bool is_error;
  enum diag_code code;
  span at;
  const char *message;
  struct diag_note *notes; /* in the order added */
  struct diag_note **notes_end;
  const char *help; /* or NULL */
};

struct diag_list {
  struct arena *arena;
  const struct source_set *sources;
  struct diag **items; /* always sorted as printed, no two the same */
  size_t count;
  size_t room;
  size_t errors;
};

/* "E0312": text of the code, for a record. */
const char *diag_code_text(const struct diag *diag);

#endif
