/* text_set.h - texts that recur, each kept once. */
#ifndef REPORT_TEXT_SET_H
#define REPORT_TEXT_SET_H

#include <stddef.h>
#include <stdio.h>

struct text_set {
  char **texts;
  size_t count, room;
  size_t *slots; /* hash table of places in texts, from 1; 0: free */
  size_t slot_count;
};

/* Where the text stands in the set, added if it is new. */
size_t text_set_index(struct text_set *set, const char *text);
/* A JSON array of the texts as they are, in the order in which they came. */
void text_set_put(FILE *to, const struct text_set *set);
void text_set_release(struct text_set *set);

#endif
