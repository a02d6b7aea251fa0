/* Units, reserved words and functions as help and documentation read them. */
#include "resolve/word_info.h"

#include "resolve/units.h"

size_t unit_info_count(void) {
  return unit_count();
}

struct unit_info unit_info_get(size_t index) {
  const struct unit *unit = unit_at(index);
  const struct quantity_info *quantity = quantity_get(unit->quantity);
  struct unit_info info = {.name = unit->name,
                           .words = unit->words,
                           .measures = quantity->name,
                           .usual = quantity->unit,
                           .factor = 1};
  const struct unit *usual = unit_find(quantity->unit);
  /* numerators and denominators first: 25.4 / 1 * 1 / 1 stays 25.4 */
  double above = unit->numerator * usual->denominator, below = unit->denominator * usual->numerator;
  info.factor = above / below;
  info.offset = usual->offset - unit->offset * above / below;
  return info;
}

static const struct word_info reserved[] = {
    {"use", false, "use \"file.lay\" [as NAME] [{ PARAM = VALUE }]",
     "reads another file, relative to this one; with a name its declarations are reached as "
     "NAME.thing"},
    {"as", false, "use \"file.lay\" as NAME",
     "the name under which a used file's declarations are reached"},
    {"param", false, "param NAME = VALUE [range LO .. HI]",
     "a value that may be set from outside: by `use`, or by --set NAME=VALUE"},
    {"range", false, "param NAME = VALUE range LO .. HI", "from where to where a param may be set"},
    {"let", false, "let NAME = VALUE", "a named value"},
    {"like", false, "KIND NAME like OTHER { }",
     "copies everything from a block of the same kind; what is given again replaces it"},
};
enum { RESERVED_COUNT = sizeof reserved / sizeof *reserved };

size_t word_info_count(void) {
  return RESERVED_COUNT + function_info_count();
}

struct word_info word_info_get(size_t index) {
  return index < RESERVED_COUNT ? reserved[index] : function_info_get(index - RESERVED_COUNT);
}
