/* units.h - the one table of units. */
#ifndef RESOLVE_UNITS_H
#define RESOLVE_UNITS_H

#include <stddef.h>

#include "resolve/resolver.h"

/* Value inside = (written - offset) * numerator / denominator, in the base units of
 * dimension.h.  Kept as a fraction because 180 mm/min is then exactly 3 mm/s. */
struct unit {
  const char *name;
  const char *words; /* as it is read out */
  enum quantity quantity;
  double numerator, denominator;
  double offset; /* degF only */
};

/* NULL when no unit has that name. */
const struct unit *unit_find(const char *name);
/* The same, faster where the name at the same address was looked up lately, as those that the lexer
 * gives mostly were.  The name lives as long as r. */
static inline const struct unit *unit_get(struct resolver *r, const char *name) {
  const struct known *all = known_get(r);
  struct known_unit *known = &all->units[address_place((uintptr_t)name, all->unit_bits)];
  if (known->name != name)
    *known = (struct known_unit){.name = name, .unit = unit_find(name)};
  return known->unit;
}
size_t unit_count(void);
const struct unit *unit_at(size_t index);

static inline double unit_to_inside(const struct unit *unit, double written) {
  return (written - unit->offset) * unit->numerator / unit->denominator;
}
double unit_from_inside(const struct unit *unit, double inside);

#endif
