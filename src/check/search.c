/* search.c - depth first, the more promising half first, so that the best rises early. */
#include "check/search.h"

#include <math.h>
#include <string.h>

/* Of a tolerance: far above what rounding makes of a bound or a value. */
static const double SURE_PART = 0.1;

/* Halving this often goes below the doubles' resolution of any stretch; it is never reached unless
 * a bound does not converge, and then the bound itself is taken, on the safe side. */
enum { DEEPEST = 48 };

void search_begin(struct search *search, size_t count) {
  *search = (struct search){.count = count};
  for (size_t i = 0; i < count; i++)
    search->best[i].value = -HUGE_VAL;
}

/* What is no number is more than any: no verdict may rest on it. */
static bool is_more(double value, double than) {
  return !(value <= than);
}

void search_raise(struct search *search, size_t i, double value, double t,
                  const struct phase *phase) {
  if (is_more(value, search->best[i].value))
    search->best[i] = (struct peak){isnan(value) ? HUGE_VAL : value, t, phase};
}

void search_look(struct search *search, const double *values, double t, const struct phase *phase) {
  for (size_t i = 0; i < search->count; i++)
    search_raise(search, i, values[i], t, phase);
}

static void look(struct search *search, const struct subject *subject, double t) {
  double values[SEARCH_MOST];
  subject->values(subject->context, t, values);
  search_look(search, values, t, subject->phase);
}

double search_room(const struct search *search, const double *bounds) {
  double most = 0;
  for (size_t i = 0; i < search->count; i++) {
    double r = (bounds[i] - search->best[i].value) / search->tolerance[i];
    if (r > most)
      most = r;
  }
  return most;
}

struct half {
  double ta, tb, bounds[SEARCH_MOST];
};

static void take_unknown(struct search *search, const struct subject *subject,
                         const struct half *whole) {
  for (size_t i = 0; i < search->count; i++)
    if (isnan(whole->bounds[i]))
      search_raise(search, i, HUGE_VAL, whole->ta, subject->phase);
}

static void halve(struct search *search, const struct subject *subject, const struct half *whole,
                  int depth) {
  take_unknown(search, subject, whole);
  if (search_room(search, whole->bounds) <= 1)
    return;
  double mid = whole->ta + (whole->tb - whole->ta) / 2;
  look(search, subject, mid);
  if (depth == DEEPEST || mid <= whole->ta || mid >= whole->tb) {
    search_look(search, whole->bounds, mid, subject->phase);
    return;
  }
  struct half halves[2] = {{.ta = whole->ta, .tb = mid}, {.ta = mid, .tb = whole->tb}};
  for (int i = 0; i < 2; i++)
    subject->bounds(subject->context, halves[i].ta, halves[i].tb, halves[i].bounds);
  int first = search_room(search, halves[1].bounds) > search_room(search, halves[0].bounds);
  halve(search, subject, &halves[first], depth + 1);
  halve(search, subject, &halves[1 - first], depth + 1);
}

void search_stretch(struct search *search, const struct subject *subject, double ta, double tb) {
  double bounds[SEARCH_MOST];
  subject->bounds(subject->context, ta, tb, bounds);
  search_bounded(search, subject, ta, tb, bounds);
}

void search_inside(struct search *search, const struct subject *subject, double ta, double tb,
                   const double *bounds) {
  if (search_is_settled(search, bounds))
    return;
  struct half whole = {.ta = ta, .tb = tb};
  memcpy(whole.bounds, bounds, search->count * sizeof *bounds);
  halve(search, subject, &whole, 0);
}

void search_bounded(struct search *search, const struct subject *subject, double ta, double tb,
                    const double *bounds) {
  look(search, subject, ta);
  look(search, subject, tb);
  search_inside(search, subject, ta, tb, bounds);
}

bool search_is_settled(const struct search *search, const double *bounds) {
  for (size_t i = 0; i < search->count; i++)
    if (is_more(bounds[i], search->best[i].value + search->tolerance[i]))
      return false;
  return true;
}

bool search_may_raise(const struct search *search, const double *bounds) {
  for (size_t i = 0; i < search->count; i++)
    if (is_more(bounds[i] + SURE_PART * search->tolerance[i], search->best[i].value))
      return true;
  return false;
}
