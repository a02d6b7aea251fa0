/* keys.h - the tables of keys: everything that a block may hold, known in this one place.
 *
 * The tables drive reading, checks, defaults, messages and help.  A key's value lands in
 * a draft (keys_drafts.h) at an offset; offsets count from 1 so that 0 means "none". */
#ifndef RESOLVE_KEYS_H
#define RESOLVE_KEYS_H

#include <stdbool.h>
#include <stddef.h>

#include "resolve/resolver.h"

enum key_type {
  KEY_NUMBER,          /* double */
  KEY_WHOLE,           /* size_t */
  KEY_POINT2,          /* vec2 */
  KEY_POINT3,          /* vec3 */
  KEY_RANGE,           /* struct range */
  KEY_LENGTH_OR_ANGLE, /* double; flag: bool, true for an angle */
  KEY_WORD,            /* enum, first_word + place in words */
  KEY_SWITCH,          /* bool, place in words: 0 or 1 */
  KEY_STRING,          /* const char *, as written; text: const char *, escapes resolved */
  KEY_NAME,            /* const void *, what the named block was built to */
  KEY_NAMES,           /* a list of names, read by the block's own builder */
  KEY_POINTS           /* a point; repeatable, and read by the block's own builder */
};

/* What values a key takes, in the base units of dimension.h. */
enum allowed {
  ALLOWED_ANY,
  ALLOWED_POSITIVE,
  ALLOWED_NOT_NEGATIVE,
  ALLOWED_SHARE,       /* 0 <= x < 1 */
  ALLOWED_RATIO,       /* 0 <= x <= 1 */
  ALLOWED_TICK,        /* 1 ms to 100 ms */
  ALLOWED_LAYERS,      /* 1 to 1000 */
  ALLOWED_STRAIGHT,    /* 1 or 2 */
  ALLOWED_TILT,        /* 0 < x <= 45 deg */
  ALLOWED_ABOVE_FREEZE /* not below absolute zero */
};
struct bounds {
  const char *text; /* "more than 0"; "" where anything goes */
  double low, high;
  bool low_open, high_open;
};
extern const struct bounds all_bounds[];
static inline const struct bounds *bounds_get(enum allowed allowed) {
  return &all_bounds[allowed];
}

/* Of keys in one group a block takes those of one side only; 0: in no group. */
enum group {
  GROUP_NONE,
  GROUP_STEP,    /* overlap, pitch */
  GROUP_START,   /* start_angle, start_along, start_straight */
  GROUP_SIZE,    /* dimensions, touches: copied ones give way, but both may stand together */
  GROUP_OUTLINE, /* from, line, bend */
  GROUP_PLACE    /* of a sector: angles, along */
};
/* The side of keys and blocks that make one whole: any of them given, all copied ones give way. */
enum { SIDE_WHOLE = 0 };

struct key {
  const char *name;
  enum key_type type;
  enum quantity quantity;
  const char *words;        /* separated by blanks, in the order in which they land */
  const char *need;         /* "required", "optional", or the default as written */
  double default_number;    /* where default_unit is not NULL */
  const char *default_unit; /* "" for a pure number */
  int default_word;         /* KEY_WORD, KEY_SWITCH: place in words, where has_default_word */
  bool has_default_word;
  bool is_missed; /* something is done where it is absent: it is required or has a default */
  enum allowed allowed;
  const char *help;
  size_t at, has, flag, text; /* offset + 1 in the part's target */
  int first_word;
  bool repeatable;
  bool one_is_upper; /* KEY_RANGE: one value is the upper end, the lower is -infinity */
  enum group group;
  int side;
  enum decl_kind refers; /* KEY_NAME, KEY_NAMES */
};

extern const char need_required[]; /* "required" */
#define REQUIRED .need = need_required, .is_missed = true
#define OPTIONAL .need = "optional"
#define DEFAULT(number, unit)                                                                      \
  .need = #number " " unit, .default_number = (number), .default_unit = (unit), .is_missed = true
#define DEFAULT_NUMBER(number)                                                                     \
  .need = #number, .default_number = (number), .default_unit = "", .is_missed = true
#define DEFAULT_WORD(word, place)                                                                  \
  .need = #word, .default_word = (place), .has_default_word = true, .is_missed = true
#define DEFAULT_EMPTY       .need = "\"\"", .is_missed = true /* of a string */
#define OFFSET(type, field) (offsetof(type, field) + 1)

static inline bool key_has_default(const struct key *key) {
  return key->default_unit || key->has_default_word || key->type == KEY_STRING;
}

struct key_table {
  const struct key *keys;
  size_t count;
};
#define KEY_TABLE(keys)                                                                            \
  { keys, sizeof(keys) / sizeof *(keys) }

/* One table and where its target lies in the block's draft. */
struct key_part {
  const struct key_table *table;
  size_t target;
};

enum naming {
  NAMING_NONE,
  NAMING_OPTIONAL,
  NAMING_REQUIRED,
  NAMING_FIXED,  /* one of block_kind.names */
  NAMING_NUMBER, /* layer 2 */
  NAMING_SHAPE,  /* the name refers to a shape; dots allowed */
  NAMING_TITLE
};

struct block_kind {
  const char *name;    /* as help shows it: "shape round" */
  const char *word;    /* in the source: "shape" */
  const char *variant; /* of a shape: "round"; otherwise NULL */
  enum naming naming;
  const char *names; /* NAMING_FIXED: separated by blanks */
  bool is_required;  /* as an inner block (each of names where these are fixed) */
  bool is_repeatable;
  enum group group; /* of an inner block that is no key besides */
  int side;
  const char *help;
  struct key_part parts[3];              /* ends at a NULL table */
  const struct block_kind *const *inner; /* ends at NULL; may be NULL */
};
enum { KEY_PARTS = 3 };

extern const struct block_kind cell_block, procedure_block, envelope_block, overlay_block,
    job_block;
extern const struct block_kind round_block, racetrack_block, rectangle_block, outline_block;
extern const struct block_kind touch_block, zone_block, sector_block;
extern const struct key_table layer_keys, fit_keys;

/* All kinds of top-level blocks, shapes by variant, ending at NULL. */
extern const struct block_kind *const all_blocks[];

/* NULL when the block has no such key. */
const struct key *key_find(const struct block_kind *kind, const char *name);
struct placed_key {
  const struct key *key;
  size_t place; /* among all keys of the block's tables, counted from 0; without a key 0 */
};
struct placed_key key_place(const struct block_kind *kind, const char *name);
/* The same, faster where the same name at the same address was looked up lately.  The name lives as
 * long as r: it is the program's, or the tree's. */
static inline struct placed_key key_get(struct resolver *r, const struct block_kind *kind,
                                        const char *name) {
  const struct known *all = known_get(r);
  size_t at = address_place((uintptr_t)name + 16 * (uintptr_t)kind, all->key_bits);
  struct known_key *known = &all->keys[at];
  if (known->kind != kind || known->name != name) {
    struct placed_key found = key_place(kind, name);
    *known = (struct known_key){.kind = kind, .name = name, .key = found.key, .place = found.place};
  }
  return (struct placed_key){known->key, known->place};
}
size_t key_count(const struct block_kind *kind);
/* By word and name; NULL when the block holds no such block. */
const struct block_kind *inner_find(const struct block_kind *kind, const char *word,
                                    const char *name);
bool inner_word_exists(const struct block_kind *kind, const char *word);

/* Words separated by blanks. */
int word_place(const char *words, const char *word); /* -1: not there */
size_t word_count(const char *words);
const char *word_get(struct arena *arena, const char *words, size_t index);

#endif
