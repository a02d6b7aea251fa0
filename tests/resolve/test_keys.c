/* The tables of keys: every row is told well, takes a value, lands it, and refuses what
 * lies outside its bounds. */
#include <math.h>

#include "borelay/syntax.h"
#include "resolve/key_value.h"
#include "resolve/units.h"
#include "support/case_run.h"
#include "support/told.h"

enum { TARGET = 8192 };

/* Calls check for every key of every table, inner blocks too. */
typedef void key_check(struct resolver *r, const struct key_table *table, const struct key *key,
                       size_t *count);

static void walk(struct resolver *r, const struct block_kind *block, key_check *check,
                 size_t *count) {
  for (size_t p = 0; p < KEY_PARTS && block->parts[p].table; p++)
    for (size_t i = 0; i < block->parts[p].table->count; i++)
      check(r, block->parts[p].table, &block->parts[p].table->keys[i], count);
  for (size_t i = 0; block->inner && block->inner[i]; i++)
    walk(r, block->inner[i], check, count);
}

static size_t for_all_keys(struct run *run, key_check *check) {
  struct resolver r = {
      .arena = run->arena, .lasting = run->arena, .sources = run->sources, .diags = run->diags};
  run_file("job.lay", "let unused = 1\n");
  assert_true(load_job_file(&r, "job.lay"));
  size_t count = 0;
  for (size_t i = 0; all_blocks[i]; i++)
    walk(&r, all_blocks[i], check, &count);
  return count;
}

static bool read_text(struct resolver *r, const struct key *key, const char *text, void *target) {
  uint32_t file = source_add_text(r->sources, "text", text, strlen(text));
  struct syn_statement statement = {.kind = SYN_PROPERTY,
                                    .key = key->name,
                                    .value =
                                        syntax_parse_value(r->arena, r->sources, file, r->diags)};
  assert_non_null(statement.value);
  struct flat_item item = {.statement = &statement, .scope = r->root, .key = key};
  return key_value_read(r, &item, target);
}

/* What is done where a key is absent is told by one mark. */
static void check_missed(struct resolver *r, const struct key_table *table, const struct key *key,
                         size_t *count) {
  (void)r;
  (void)table;
  if (key->is_missed != (key->need == need_required || key_has_default(key)))
    fail_msg("%s is marked wrongly", key->name);
  ++*count;
}

static void what_is_missed_is_marked(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  assert_true(for_all_keys(&run, check_missed) > 100);
  run_end(&run);
}

/* A number in the key's usual unit that its bounds allow. */
static double sample(const struct key *key) {
  switch (key->allowed) {
  case ALLOWED_TICK:
    return 0.008;
  case ALLOWED_LAYERS:
  case ALLOWED_STRAIGHT:
    return 2;
  case ALLOWED_SHARE:
  case ALLOWED_RATIO:
    return 25;
  case ALLOWED_ANY:
  case ALLOWED_POSITIVE:
  case ALLOWED_NOT_NEGATIVE:
  case ALLOWED_TILT:
  case ALLOWED_ABOVE_FREEZE:
    break;
  }
  return 3.5;
}

static double number_at(const void *target, size_t at) {
  double x;
  memcpy(&x, (const char *)target + at - 1, sizeof x);
  return x;
}

/* job.h keeps flow in L/min and energies per length in kJ/mm, the rest in base units. */
static double landed_wanted(const struct key *key, double written) {
  bool as_written = key->quantity == QUANTITY_FLOW || key->quantity == QUANTITY_ENERGY_PER_LENGTH;
  const char *unit = quantity_get(key->quantity)->unit;
  return as_written || !unit ? written : unit_to_inside(unit_find(unit), written);
}

static void lands(struct resolver *r, const struct key_table *table, const struct key *key,
                  size_t *count) {
  (void)table;
  if (key->type == KEY_NAME || key->type == KEY_NAMES || key->type == KEY_POINTS)
    return;
  static _Alignas(16) unsigned char target[TARGET];
  memset(target, 0, sizeof target);
  const char *unit = quantity_get(key->quantity)->unit;
  unit = unit ? unit : "";
  double x = sample(key);
  char text[128];
  switch (key->type) {
  case KEY_NUMBER:
  case KEY_LENGTH_OR_ANGLE:
  case KEY_WHOLE:
    snprintf(text, sizeof text, "%g %s", x, unit);
    break;
  case KEY_POINT2:
    snprintf(text, sizeof text, "(%g, -2) %s", x, unit);
    break;
  case KEY_POINT3:
    snprintf(text, sizeof text, "(%g, -2, 5) %s", x, unit);
    break;
  case KEY_RANGE:
    snprintf(text, sizeof text, "%g .. 7 %s", x, unit);
    break;
  case KEY_WORD:
  case KEY_SWITCH:
    snprintf(text, sizeof text, "%s", word_get(r->arena, key->words, 1));
    break;
  case KEY_STRING:
    snprintf(text, sizeof text, "\"some\"");
    break;
  case KEY_NAME:
  case KEY_NAMES:
  case KEY_POINTS:
    break;
  }
  if (!read_text(r, key, text, target))
    fail_msg("%s does not take %s", key->name, text);
  assert_true(key->at > 0);
  if (key->type == KEY_STRING)
    assert_string_equal(*(const char **)(void *)(target + key->at - 1), "some");
  else if (key->type == KEY_SWITCH)
    assert_true(*(bool *)(target + key->at - 1));
  else if (key->type == KEY_WORD)
    assert_int_equal(*(int *)(void *)(target + key->at - 1), key->first_word + 1);
  else if (key->type == KEY_WHOLE)
    assert_int_equal(*(size_t *)(void *)(target + key->at - 1), 2);
  else
    assert_close(number_at(target, key->at), landed_wanted(key, x), 0, 1e-15);
  if (key->type == KEY_RANGE)
    assert_close(number_at(target, key->at + sizeof(double)), landed_wanted(key, 7), 0, 1e-15);
  if (key->has)
    assert_true(*(bool *)(target + key->has - 1));
  ++*count;
}

static void every_key_lands(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  assert_true(for_all_keys(&run, lands) > 80);
  assert_int_equal(diag_error_count(run.diags), 0);
  run_end(&run);
}

static bool takes(struct resolver *r, const struct key *key, double inside) {
  const char *unit = quantity_get(key->quantity)->unit;
  double written = unit ? unit_from_inside(unit_find(unit), inside) : inside;
  char text[64];
  snprintf(text, sizeof text, "%.17g %s", written, unit ? unit : "");
  return read_text(r, key, text, NULL);
}

static void bounded(struct resolver *r, const struct key_table *table, const struct key *key,
                    size_t *count) {
  (void)table;
  bool numeric =
      key->type == KEY_NUMBER || key->type == KEY_LENGTH_OR_ANGLE || key->type == KEY_WHOLE;
  if (!numeric || key->allowed == ALLOWED_ANY)
    return;
  const struct bounds *bounds = bounds_get(key->allowed);
  assert_true(*bounds->text != '\0');
  double step = key->type == KEY_WHOLE ? 1 : 1e-6;
  if (isfinite(bounds->low)) {
    assert_false(takes(r, key, bounds->low - step));
    assert_true(takes(r, key, bounds->low + step));
  }
  if (isfinite(bounds->high)) {
    assert_false(takes(r, key, bounds->high + step));
    assert_true(takes(r, key, bounds->high - step));
  }
  if (bounds->low_open && isfinite(bounds->low))
    assert_false(takes(r, key, bounds->low));
  ++*count;
}

static void every_bound_holds(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  assert_true(for_all_keys(&run, bounded) > 50);
  run_end(&run);
}

/* The default as shown is the one that lands; it suits its own key. */
static void defaulted(struct resolver *r, const struct key_table *table, const struct key *key,
                      size_t *count) {
  (void)table;
  if (!key->default_unit && !key->has_default_word)
    return;
  static _Alignas(16) unsigned char one[TARGET], other[TARGET];
  memset(one, 0, sizeof one);
  memset(other, 0, sizeof other);
  assert_true(read_text(r, key, key->need, one));
  key_default_land(r, key, other);
  assert_memory_equal(one, other, sizeof one);
  ++*count;
}

static void every_default_lands(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  assert_true(for_all_keys(&run, defaulted) > 20);
  run_end(&run);
}

/* No two keys of a table share a place. */
static void apart(struct resolver *r, const struct key_table *table, const struct key *key,
                  size_t *count) {
  (void)r;
  for (size_t i = 0; i < table->count; i++) {
    const struct key *other = &table->keys[i];
    if (other == key)
      continue;
    assert_string_not_equal(other->name, key->name);
    assert_true(other->at == 0 || other->at != key->at);
    assert_true(other->has == 0 || other->has != key->has);
  }
  ++*count;
}

static void keys_stand_apart(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  assert_true(for_all_keys(&run, apart) > 90);
  run_end(&run);
}

static bool has_info(const char *block, const char *key, const char *required) {
  for (size_t i = 0; i < key_info_count(); i++) {
    struct key_info info = key_info_get(i);
    if (strcmp(info.block, block) == 0 && strcmp(info.key, key) == 0)
      return strcmp(info.required, required) == 0;
  }
  return false;
}

static void every_key_has_help(void **state) {
  (void)state;
  assert_true(key_info_count() > 100);
  for (size_t i = 0; i < key_info_count(); i++) {
    struct key_info info = key_info_get(i);
    assert_true(info.key && *info.key && info.block && info.dimension && *info.dimension);
    assert_true(info.required && *info.required && info.allowed);
    assert_true(info.help && strlen(info.help) > 8 && strlen(info.help) < 100);
    assert_true(info.help[strlen(info.help) - 1] != '.');
    for (size_t k = 0; k < i; k++) {
      struct key_info other = key_info_get(k);
      bool same = strcmp(other.block, info.block) == 0 && strcmp(other.key, info.key) == 0;
      bool forms = strcmp(info.dimension, other.dimension) != 0 ||
                   strcmp(info.dimension, "block") == 0; /* touch; axis x and axis head; shape */
      if (same && !forms)
        fail_msg("%s %s stands twice", info.block, info.key);
    }
  }
  assert_null(key_info_get(key_info_count()).key);
  assert_true(has_info("cell", "tick", "required"));
  assert_true(has_info("cell", "clearance", "2 mm"));
  assert_true(has_info("overlay", "depths", "required"));
  assert_true(has_info("layer", "depths", "optional"));
  assert_true(has_info("procedure", "downslope_travel", "on"));
  assert_true(has_info("procedure", "limit", "optional"));
  assert_true(has_info("shape racetrack", "fit_tolerance", "0.5 mm"));
}

/* Keys of language.md, section 4, with what it says of them (R, optional, default). */
static const char *const language[][3] = {
    {"job", "cell", "required"},
    {"job", "revision", "\"\""},
    {"job", "at", "(0, 0, 0) mm"},
    {"job", "turned", "0 deg"},
    {"job", "safe_height", "required"},
    {"datum", "fit", "required"},
    {"datum", "z", "required"},
    {"cell", "park", "required"},
    {"cell", "park_head", "0 deg"},
    {"cell", "torch_clearance", "1 mm"},
    {"cell", "correction", "1 mm"},
    {"torch", "reach", "required"},
    {"torch", "root", "(0 mm, -drop)"},
    {"torch", "wire_side", "optional"},
    {"procedure", "tie_in", "required"},
    {"procedure", "start_current", "10 % of current"},
    {"procedure", "wire_retract", "0 mm"},
    {"procedure", "wire_current", "0 A"},
    {"procedure", "wire_voltage", "0 V"},
    {"procedure", "arc_voltage_control", "off"},
    {"procedure", "touch_time", "0 s"},
    {"procedure", "angle_tolerance", "3 deg"},
    {"procedure", "gas_flow", "required"},
    {"shape racetrack", "turned", "0 deg"},
    {"shape rectangle", "corner", "required"},
    {"overlay", "layers", "1"},
    {"overlay", "pattern", "spiral"},
    {"overlay", "progress", "shallower"},
    {"overlay", "direction", "anticlockwise"},
    {"overlay", "step_length", "2 bead widths"},
    {"overlay", "retract", "5 mm"},
    {"overlay", "wait_laps", "0 s"},
    {"overlay", "wall_thickness", "optional"},
};

static void keys_are_those_of_the_language(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof language / sizeof *language; i++)
    if (!has_info(language[i][0], language[i][1], language[i][2]))
      fail_msg("%s %s is not %s", language[i][0], language[i][1], language[i][2]);
}

/* What a block has to have is told by the address of the word, not by its letters. */
static void check_need(struct resolver *r, const struct key_table *table, const struct key *key,
                       size_t *count) {
  (void)r;
  (void)table;
  assert_true((strcmp(key->need, "required") == 0) == (key->need == need_required));
  ++*count;
}

static void required_is_one_word(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  assert_true(for_all_keys(&run, check_need) > 100);
  run_end(&run);
}

/* Looked up often, in any order, and by copies of the names at other addresses. */
static void a_key_is_found_again(void **state) {
  (void)state;
  struct told told = told_begin();
  struct resolver r = {
      .arena = told.arena, .lasting = told.arena, .sources = told.sources, .diags = told.diags};
  static const char *const names[] = {"current", "at", "depths", "overlap", "no_key", "line", ""};
  for (int round = 0; round < 3; round++)
    for (size_t i = 0; all_blocks[i]; i++) {
      const struct block_kind *kind = all_blocks[i];
      size_t place = 0;
      for (size_t p = 0; p < KEY_PARTS && kind->parts[p].table; p++)
        for (size_t k = 0; k < kind->parts[p].table->count; k++, place++) {
          const struct key *key = &kind->parts[p].table->keys[k];
          const char *copy = arena_text(told.arena, key->name, strlen(key->name));
          assert_ptr_equal(key_get(&r, kind, key->name).key, key);
          assert_ptr_equal(key_get(&r, kind, copy).key, key);
          assert_int_equal(key_get(&r, kind, copy).place, place);
        }
      assert_int_equal(key_count(kind), place);
      for (size_t k = 0; k < sizeof names / sizeof *names; k++)
        assert_ptr_equal(key_get(&r, kind, names[k]).key, key_find(kind, names[k]));
    }
  told_end(&told);
}

/* What shops call keys leads to a key that there is, and is none itself. */
static void called_keys_are_there(void **state) {
  (void)state;
  static const char *const CALLED[] = {
      "amperage",  "amps",     "dia",      "feed_speed", "rotation",   "stepover", "step_over",
      "stick_out", "stickout", "velocity", "volts",      "weld_speed", "wfs"};
  for (size_t i = 0; i < sizeof CALLED / sizeof CALLED[0]; i++) {
    const char *key = key_called(CALLED[i]);
    bool is_there = false;
    assert_non_null(key);
    for (size_t k = 0; k < key_info_count(); k++) {
      is_there = is_there || strcmp(key_info_get(k).key, key) == 0;
      assert_string_not_equal(key_info_get(k).key, CALLED[i]);
    }
    assert_true(is_there);
  }
  assert_null(key_called("current"));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(a_key_is_found_again),
      cmocka_unit_test(required_is_one_word),
      cmocka_unit_test(every_key_lands),
      cmocka_unit_test(every_bound_holds),
      cmocka_unit_test(every_default_lands),
      cmocka_unit_test(keys_stand_apart),
      cmocka_unit_test(what_is_missed_is_marked),
      cmocka_unit_test(every_key_has_help),
      cmocka_unit_test(keys_are_those_of_the_language),
      cmocka_unit_test(called_keys_are_there),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
