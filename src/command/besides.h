/* besides.h - what a command writes besides what it prints: the paths of its options, and whether
 * they go together. */
#ifndef BORELAY_BESIDES_H
#define BORELAY_BESIDES_H

#include "command/findings.h"

struct besides {
  const char *summary, *sarif, *depfile; /* NULL: not asked for; "-": standard output */
};

/* Takes the option's value; false: it is none of them. */
bool besides_take(struct besides *besides, int code);
/* Something of it goes to standard output, which then holds nothing else. */
bool besides_streams(const struct besides *besides);
/* No two of them lead to one file, nor does one to any of `others`, which may be NULL; those may
 * lead to one another. */
enum status besides_check(const struct besides *besides, const char *command,
                          const char *const *others, size_t count);

/* Writes them and the outputs of the command itself as findings_give() does.  summary: its text;
 * rule: with its target left open; both NULL where there is none to write.  The target is the first
 * output, else the summary, else the rule's own place. */
enum status besides_give(const struct besides *besides, struct sarif *findings,
                         const struct output *own, size_t own_count, const char *summary,
                         struct depfile *rule, enum status status);

#endif
