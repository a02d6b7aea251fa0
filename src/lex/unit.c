/* The words that are units, after a number or a point.  Their dimensions and factors are
 * src/resolve's; here only their spelling counts. */
#include <string.h>
#include <strings.h>

#include "borelay/suggest.h"
#include "borelay/token.h"
#include "lex/scanner.h"

/* As in grammar/job.re, which finds them in a text. */
static const char *const units[] = {
    "mm",    "cm",    "m",        "um",    "in",   "deg",    "rad",    "turn",   "s",
    "ms",    "min",   "h",        "Hz",    "mm/s", "mm/min", "m/s",    "m/min",  "in/min",
    "deg/s", "rad/s", "turn/min", "mm/s2", "m/s2", "mm/s3",  "deg/s2", "deg/s3", "A",
    "V",     "kJ/mm", "kJ/in",    "J/mm",  "degC", "degF",   "L/min",  "ft3/h",  "g/cm3",
    "kg/m3", "g",     "kg",       "lb",    "%",
};
enum { UNIT_COUNT = sizeof units / sizeof *units };

size_t unit_fit(const char *text, const char **unit) {
  const uint8_t *begin = (const uint8_t *)text, *behind = begin;
  const char *found = unit_scan(begin, &behind);
  if (!found)
    return 0;
  *unit = found;
  return (size_t)(behind - begin);
}

const char *unit_word(size_t index) {
  return index < UNIT_COUNT ? units[index] : NULL;
}

/* What units are called and shortened to elsewhere, by itself or in a compound. */
static const struct {
  const char *word, *unit;
} other_words[] = {{"inch", "in"},
                   {"inches", "in"},
                   {"millimeter", "mm"},
                   {"millimeters", "mm"},
                   {"millimetre", "mm"},
                   {"millimetres", "mm"},
                   {"micron", "um"},
                   {"microns", "um"},
                   {"milimeter", "mm"},
                   {"milimetre", "mm"},
                   {"degree", "deg"},
                   {"degrees", "deg"},
                   {"sec", "s"},
                   {"second", "s"},
                   {"seconds", "s"},
                   {"minute", "min"},
                   {"minutes", "min"},
                   {"hour", "h"},
                   {"hours", "h"},
                   {"amp", "A"},
                   {"amps", "A"},
                   {"ampere", "A"},
                   {"amperes", "A"},
                   {"volt", "V"},
                   {"volts", "V"},
                   {"percent", "%"},
                   {"celsius", "degC"},
                   {"fahrenheit", "degF"},
                   {"C", "degC"},
                   {"F", "degF"},
                   {"ipm", "in/min"},
                   {"rpm", "turn/min"},
                   {"cfh", "ft3/h"},
                   {"lpm", "L/min"},
                   {"mm/sec", "mm/s"},
                   {"m/sec", "m/s"},
                   {"mm/minute", "mm/min"},
                   {"inches/min", "in/min"}};

static const char *other_word(const char *word) {
  for (size_t i = 0; i < sizeof other_words / sizeof *other_words; i++)
    if (strcasecmp(word, other_words[i].word) == 0)
      return other_words[i].unit;
  return NULL;
}

/* `MM` is nearer to `mm` than to any other, so the case of letters is tried first. */
const char *unit_suggest(const char *word) {
  for (size_t i = 0; i < UNIT_COUNT; i++)
    if (strcasecmp(word, units[i]) == 0)
      return units[i];
  const char *other = other_word(word);
  return other ? other : suggest_find(word, units, UNIT_COUNT);
}
