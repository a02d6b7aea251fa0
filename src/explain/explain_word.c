/* Units, reserved words and functions; checks and codes. */
#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/emit.h"
#include "borelay/resolve.h"
#include "explain/parts.h"

/* -- units ------------------------------------------------------------------------------------ */

/* "1 in = 25.4 mm"; of a reading with another zero, two that everybody knows. */
static void print_factor(const struct unit_info *unit, FILE *to) {
  char text[160];
  if (!unit->usual || strcmp(unit->name, unit->usual) == 0)
    return;
  if (unit->offset != 0)
    snprintf(text, sizeof text, "32 %s = %.10g %s, 212 %s = %.10g %s", unit->name,
             32 * unit->factor + unit->offset, unit->usual, unit->name,
             212 * unit->factor + unit->offset, unit->usual);
  else if (unit->factor < 1)
    snprintf(text, sizeof text, "%.10g %s = 1 %s", 1 / unit->factor, unit->name, unit->usual);
  else
    snprintf(text, sizeof text, "1 %s = %.10g %s", unit->name, unit->factor, unit->usual);
  part_print("is", text, PART_COLUMN, to);
}

static void print_others(const struct unit_info *unit, FILE *to) {
  char text[160] = "";
  size_t used = 0;
  for (size_t i = 0; i < unit_info_count(); i++) {
    struct unit_info other = unit_info_get(i);
    if (strcmp(other.measures, unit->measures) == 0 && strcmp(other.name, unit->name) != 0 &&
        used + 16 < sizeof text)
      used +=
          (size_t)snprintf(text + used, sizeof text - used, "%s`%s`", used ? ", " : "", other.name);
  }
  if (used > 0)
    part_print("others", text, PART_COLUMN, to);
}

bool explain_unit(const char *name, FILE *to) {
  for (size_t i = 0; i < unit_info_count(); i++) {
    struct unit_info unit = unit_info_get(i);
    if (strcmp(unit.name, name) != 0)
      continue;
    fprintf(to, "`%s`, a unit of %s\n", name, unit.measures);
    part_print("means", unit.words, PART_COLUMN, to);
    print_factor(&unit, to);
    print_others(&unit, to);
    return true;
  }
  return false;
}

/* -- reserved words and functions ------------------------------------------------------------- */

bool explain_reserved(const char *word, FILE *to) {
  for (size_t i = 0; i < word_info_count(); i++) {
    struct word_info info = word_info_get(i);
    if (strcmp(info.word, word) != 0)
      continue;
    fprintf(to, "`%s`, %s\n", word, info.is_function ? "a function" : "a reserved word");
    part_print("means", info.help, PART_COLUMN, to);
    part_print("written", info.form, PART_COLUMN, to);
    return true;
  }
  return false;
}

/* -- checks and codes ------------------------------------------------------------------------- */

static void print_code(enum diag_code code, FILE *to) {
  struct diag_code_info info = diag_code_info_get(code);
  char text[256];
  snprintf(text, sizeof text, "%c%04d, %s", info.is_warning ? 'W' : 'E', info.number, info.summary);
  part_print("message", text, PART_COLUMN, to);
}

bool explain_check(const char *name, FILE *to) {
  for (size_t i = 0; i < check_info_count(); i++) {
    struct check_info check = check_info_get(i);
    if (strcmp(check.name, name) != 0)
      continue;
    fprintf(to, "`%s`, a check\n", name);
    part_print("holds", check.holds, PART_COLUMN, to);
    print_code(check.code, to);
    return true;
  }
  return false;
}

static const char *check_of(enum diag_code code) {
  for (size_t i = 0; i < check_info_count(); i++)
    if (check_info_get(i).code == code)
      return check_info_get(i).name;
  return NULL;
}

/* E0312, e312, 312; -1: it is no code. */
static int code_number(const char *word) {
  const char *digits = word + (*word && strchr("EeWw", *word) ? 1 : 0);
  size_t count = strspn(digits, "0123456789");
  return count >= 1 && count <= 4 && digits[count] == '\0' ? (int)strtol(digits, NULL, 10) : -1;
}

/* The first digit of a code; docs/messages.md. */
static const char *const STAGES[] = {"reading of files", "text", "names and blocks", "values",
                                     "shapes and fits",  "plan", "motion",           "checks"};

bool explain_code(const char *word, FILE *to) {
  int number = code_number(word);
  for (int code = 0; code < DIAG_CODE_COUNT; code++) {
    struct diag_code_info info = diag_code_info_get((enum diag_code)code);
    if (info.number != number)
      continue;
    fprintf(to, "%c%04d, %s\n", info.is_warning ? 'W' : 'E', number,
            info.is_warning ? "a warning: the job is compiled, and the table tells it"
                            : "an error: the job is refused, and nothing is written");
    part_print("means", info.summary, PART_COLUMN, to);
    part_print("found by", STAGES[number / 100], PART_COLUMN, to);
    const char *check = check_of((enum diag_code)code);
    if (check)
      part_print("check", check, PART_COLUMN, to);
    return true;
  }
  return false;
}
