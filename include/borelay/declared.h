/* declared.h - what a job declares, block by block and key by key, each value worked out and in the
 * unit that its author wrote.
 *
 * A read-only view made from the tables of keys: a key that joins a table is in it by itself.  It
 * is there for a job that was refused too, as far as its files could be read. */
#ifndef BORELAY_DECLARED_H
#define BORELAY_DECLARED_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/source.h"

struct arena;
struct resolver;

enum declared_kind {
  DECLARED_BROKEN, /* has an error; text: as written */
  DECLARED_NUMBER,
  DECLARED_POINT,
  DECLARED_RANGE,  /* x[0] is -INFINITY where only an upper limit is given */
  DECLARED_STRING, /* text: between the quotes, as written */
  DECLARED_WORD,   /* text */
  DECLARED_NAMES,  /* of other blocks, one or several */
  DECLARED_RULE    /* left to a default that is no fixed value; text: in words, "2 bead widths" */
};

struct declared_value {
  enum declared_kind kind;
  int count;        /* of x */
  double x[3];      /* in the base units: mm, s, rad, A, V, g, degC */
  bool is_angle;    /* of a key that takes a length or an angle, and others: measured as an angle */
  bool is_reading;  /* a temperature: it has no share of another */
  const char *unit; /* the one it was written in, else the usual one; NULL: a pure number */
  const char *text;
  const char *const *names; /* as the job reaches them */
  size_t name_count;
};

struct declared_key {
  const char *name;   /* "" : of a statement that recurs, and of a param: its one value */
  const char *refers; /* kind of the blocks that it names, "procedure"; else NULL */
  bool is_given;      /* else a default, or what the outer block says */
  struct declared_value value;
  span at; /* where it is given; else the block's head */
};

struct declared_block {
  const char *word;    /* "shape" */
  const char *name;    /* as the job reaches it; NULL: none */
  const char *variant; /* of a shape: "round" */
  const char *refers; /* kind of the block that the name names, "shape" in `free bore`; else NULL */
  bool is_ordered;    /* its place among its like has a meaning */
  bool fills_up;      /* what it does not give is as the outer block says: `layer 2` */
  bool is_optional;   /* left out, it says what an empty one says */
  bool is_used;       /* the job reaches it, or there is no job */
  span head;
  struct declared_key *keys;
  size_t key_count;
  struct declared_block *inner;
  size_t inner_count;
};

struct declared {
  struct declared_block
      *blocks; /* top-level blocks, and params as blocks with the keys "", range */
  size_t count;
  bool has_job;
};

/* resolver: as job_resolve_kept() gives it. */
const struct declared *declared_make(struct arena *arena, struct resolver *resolver);

/* A figure in a unit of the language; NULL: as it is. */
double declared_written(const char *unit, double inside);
/* The same for a difference of two: a unit's offset drops out. */
double declared_written_step(const char *unit, double inside);
/* Two figures are one: they differ by no more than working out the same in other units does. */
bool declared_figures_equal(double a, double b);

#endif
