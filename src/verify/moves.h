/* moves.h - the ways of the head with the arc off: docs/semantics.md, Motion, Order.
 *
 * Between two runs, and to and from park: backed off along the normal, crossed at safe height, down
 * and up at the entry, in along the normal.  Nothing is kept of a way but where it last bent. */
#ifndef VERIFY_MOVES_H
#define VERIFY_MOVES_H

#include "borelay_reader.h"
#include "verify/head.h"
#include "verify/lay.h"

struct judge;

enum { MOVES_BENDS = 8 };
/* mm: places this near to one another are one: five times what the tip may be off its locus */
#define MOVES_PLACE 0.005
/* mm: two rows that are each rounded by half of the last decimal are at one place */
#define MOVES_SAME 2e-6

/* Where the way last bent, and the straight that it has gone since then. */
struct bends {
  struct head at[MOVES_BENDS]; /* the nth at n % MOVES_BENDS */
  size_t count;
  struct head last; /* the row before */
  double length;    /* of the straight from the last bend to it */
};

/* While the tip is below safe height the head goes level or upright. */
enum moves_way { MOVES_STANDS, MOVES_LEVEL, MOVES_UPRIGHT };

/* Where the tip was off the contour. */
struct off_contour {
  int64_t row;
  struct head at;
  double inside; /* mm from the wall */
};

/* Between two runs of an overlay, backed off: moves_between.c. */
struct between {
  bool is_judged;
  const struct wall *wall; /* of which `widest` is known; NULL: none yet */
  double widest;           /* an offset below it comes near to no other part of the wall */
  struct range contour;    /* tip from the wall while it is on the backed-off contour, mm */
  bool was_on, is_bent;    /* at the row before; since it left the contour last */
  size_t bends;            /* when it did */
  size_t crossings;        /* times that it came back to it */
  bool has_open;           /* a bend off it is to be judged when the next one is known */
  size_t open;
  struct off_contour open_at;
  struct off_contour off, stray;
  bool has_strayed, passes_entry;
  double s, way;       /* place; way along the contour, mm, signed */
  struct range ways;   /* so far */
  struct range height; /* z of the tip */
};

struct moves {
  bool is_under_way;
  const struct lay *from; /* the layer that was left; NULL: park */
  const struct lay *to;   /* as the labels say; NULL: park */
  bool is_first;          /* from park to the first run */
  struct head start;
  vec2 normal; /* of the wall there */
  struct bends bends;
  /* along the normal first */
  bool is_off, has_strayed;
  int64_t stray_row;
  double stray_out; /* how far off the wall it went sideways */
  bool waits_aside;
  /* or along the tip's locus, over a zone */
  bool crosses;
  double s, sigma;
  /* from park, to it, and from overlay to overlay */
  enum moves_way way;
  struct head anchor; /* where this way began */
  bool is_above, has_risen;
  struct bends above; /* since it came up to safe height */
  bool is_bent;
  struct between between;
  size_t bends_seen;
  bool has_open; /* the last of them, on a level way, is to be judged when the next one is known */
  size_t open;
  int64_t open_row;
  bool has_bend; /* a level way bent where only a turn before the next run may */
  struct head bend;
  int64_t bend_row;
  unsigned told;  /* faults of the way below safe height */
  bool has_level; /* it went level at another depth than that of the start of the way */
  double level;   /* H there */
  int64_t level_row;
  bool has_down; /* down at the next entry, with this angle of the head */
  double down_angle;
  int64_t down_row;
  double up_angle; /* the head's on the last way up */
};

/* The first row of a stream, or the first behind a run. */
void moves_begin(struct judge *judge, const struct borelay_row *row, const struct head *head);
/* A row of a move or a wait. */
void moves_row(struct judge *judge, const struct borelay_row *row, const struct head *head);
/* The first row of a run of this layer and path; lay NULL: the last row of the stream. */
void moves_end(struct judge *judge, const struct borelay_row *row, const struct head *head,
               const struct lay *lay, size_t path);

/* -- moves_entry.c: the ways that no wall leads: above safe height, at an entry, to the wall. */
void moves_free_begin(struct judge *judge, const struct head *head);
void moves_free_row(struct judge *judge, int64_t row, const struct head *before,
                    const struct head *head);
void moves_free_end(struct judge *judge, int64_t row, const struct head *head);
/* H at the overlay's entry, moved back along the torch as far as the tip needs to keep its room
 * from the wall: least .. most, as clad counts or not. */
bool is_at_entry(const struct judge *judge, const struct lay *lay, double least, double most,
                 const struct head *head);
/* -- moves_between.c: from run to run of an overlay, from the place backed off on. */
void between_begin(struct judge *judge, const struct head *head);
void between_row(struct judge *judge, int64_t row, const struct head *head);
void between_end(struct judge *judge, int64_t row, const struct head *head);
/* As far off the layer's wall as its runs are backed off; true too where that is not told by the
 * distance. */
bool is_backed_off(struct judge *judge, const struct lay *lay, const struct head *head);
void bends_begin(struct bends *bends, const struct head *head);
void bends_row(const struct judge *judge, struct bends *bends, const struct head *head);
/* How far that bend, one of the last, lies beside the straight from the one before it to `next`:
 * where two straights lead on almost alike a bend is seen late, and is none. */
double bends_aside(const struct judge *judge, const struct bends *bends, size_t index,
                   const struct head *next);

#endif
