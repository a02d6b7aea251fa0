/* search.h - the largest values of several quantities over continuous time, by branch and bound.
 *
 * A quantity is known at an instant, and bounded from above over a stretch.  A stretch on which no
 * bound passes its best so far by more than its tolerance is done with; another is halved.  So in
 * the end nothing anywhere lies above best + tolerance, and best was really reached.  A lap that
 * repeats an earlier one is done with at once wherever its bounds are close.  A value or bound that
 * is no number counts as infinite, so that no limit is kept by it. */
#ifndef CHECK_SEARCH_H
#define CHECK_SEARCH_H

#include <stdbool.h>
#include <stddef.h>

struct phase;

enum { SEARCH_MOST = 16 };

struct peak {
  double value; /* -infinite before the first look */
  double t;     /* s, where */
  const struct phase *phase;
};

struct search {
  size_t count;
  double tolerance[SEARCH_MOST]; /* > 0 each */
  struct peak best[SEARCH_MOST];
};

/* What is sought in; context is handed through. */
struct subject {
  void (*values)(const void *context, double t, double *values);
  void (*bounds)(const void *context, double ta, double tb, double *bounds);
  const void *context;
  const struct phase *phase;
};

void search_begin(struct search *search, size_t count);
/* Raises best[i] where ta <= t <= tb holds more. */
void search_stretch(struct search *search, const struct subject *subject, double ta, double tb);
/* The same, the bounds over the whole of it being known. */
void search_bounded(struct search *search, const struct subject *subject, double ta, double tb,
                    const double *bounds);
/* What is known at one instant. */
void search_look(struct search *search, const double *values, double t, const struct phase *phase);
/* The same as search_bounded() where both ends were looked at. */
void search_inside(struct search *search, const struct subject *subject, double ta, double tb,
                   const double *bounds);
/* By how many tolerances the bounds leave room for more than the best; <= 1: none worth a search.
 */
double search_room(const struct search *search, const double *bounds);
/* Is there no room for more than a tolerance above the best? */
bool search_is_settled(const struct search *search, const double *bounds);
/* Is there room for anything above the best, be it by rounding?  Where not, a search would leave
 * everything as it is. */
bool search_may_raise(const struct search *search, const double *bounds);
/* Raises best[i] to a value found otherwise. */
void search_raise(struct search *search, size_t i, double value, double t,
                  const struct phase *phase);

#endif
