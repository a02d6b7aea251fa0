/* editor.h - job files in an editor, by the Language Server Protocol, version 3.17. */
#ifndef BORELAY_EDITOR_H
#define BORELAY_EDITOR_H

#include <stdbool.h>

struct arena;
struct outcome;
struct source_set;

/* The stages, given from outside: the job at path over the sources, which hold what the editor has
 * not saved.  whole: false ends behind the plan.  Whatever is found wrong is in outcome->diags; all
 * of it in the arena. */
typedef void editor_examine(struct arena *arena, struct source_set *sources, const char *path,
                            bool whole, struct outcome *outcome);

enum editor_end {
  EDITOR_DONE,     /* asked to shut down, then to exit */
  EDITOR_CUT_OFF,  /* exit, or the end of the input, without being asked to shut down */
  EDITOR_NO_OUTPUT /* nobody takes what is said */
};

/* Reads requests from one descriptor and writes answers to the other, to the end.  Nothing else is
 * written to it.  Messages that are none are answered as such; nothing that can be read ends it. */
enum editor_end editor_serve(int from, int to, editor_examine *examine);

#endif
