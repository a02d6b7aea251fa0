/* The functions of expressions: one table tells each one's arguments. */
#include <math.h>
#include <string.h>

#include "borelay/num.h"
#include "borelay/suggest.h"
#include "resolve/resolver.h"
#include "resolve/word_info.h"

enum takes { TAKES_ANY, TAKES_NUMBER, TAKES_ANGLE, TAKES_SAME };

struct function {
  const char *name;
  enum takes takes;
  size_t least, most; /* arguments */
  bool readings;      /* temperatures too */
  double (*one)(double x);
  const char *form, *help;
};

static double sine(double x) {
  return num_sincos(x).sin;
}
static double cosine(double x) {
  return num_sincos(x).cos;
}
static double tangent(double x) {
  struct sincos sc = num_sincos(x);
  return sc.sin / sc.cos;
}
/* Half away from zero, as is taught. */
static double rounded(double x) {
  return x < 0 ? -floor(-x + 0.5) : floor(x + 0.5);
}

static const struct function functions[] = {
    {"sqrt", TAKES_ANY, 1, 1, false, NULL, "sqrt(x)", "square root; of an area it is a length"},
    {"abs", TAKES_ANY, 1, 1, false, fabs, "abs(x)", "the value without its sign"},
    {"min", TAKES_SAME, 2, 64, true, NULL, "min(a, b, ...)",
     "the least of values of one dimension"},
    {"max", TAKES_SAME, 2, 64, true, NULL, "max(a, b, ...)",
     "the largest of values of one dimension"},
    {"sin", TAKES_ANGLE, 1, 1, false, sine, "sin(angle)", "sine of an angle"},
    {"cos", TAKES_ANGLE, 1, 1, false, cosine, "cos(angle)", "cosine of an angle"},
    {"tan", TAKES_ANGLE, 1, 1, false, tangent, "tan(angle)", "tangent of an angle"},
    {"atan2", TAKES_SAME, 2, 2, false, NULL, "atan2(y, x)",
     "angle of the direction (x, y), from +X"},
    {"round", TAKES_NUMBER, 1, 1, false, rounded, "round(x)",
     "the nearest whole number, halves away from zero"},
    {"floor", TAKES_NUMBER, 1, 1, false, floor, "floor(x)", "the next whole number below"},
    {"ceil", TAKES_NUMBER, 1, 1, false, ceil, "ceil(x)", "the next whole number above"},
};
enum { FUNCTION_COUNT = sizeof functions / sizeof *functions };

size_t function_info_count(void) {
  return FUNCTION_COUNT;
}
struct word_info function_info_get(size_t index) {
  const struct function *f = &functions[index];
  return (struct word_info){.word = f->name, .is_function = true, .form = f->form, .help = f->help};
}

static const struct value broken = {.kind = VALUE_BROKEN};

static const struct function *function_find(const char *name) {
  for (size_t i = 0; i < FUNCTION_COUNT; i++)
    if (strcmp(functions[i].name, name) == 0)
      return &functions[i];
  return NULL;
}

static struct value function_unknown(struct resolver *r, const struct syn_expr *call) {
  struct suggest near = suggest_begin(call->function);
  for (size_t i = 0; i < FUNCTION_COUNT; i++)
    suggest_offer(&near, functions[i].name);
  struct diag *diag =
      diag_error(r->diags, DIAG_FUNCTION, call->at, "there is no function `%s`", call->function);
  if (near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
  else
    diag_help(diag, "functions: sqrt abs min max sin cos tan atan2 round floor ceil");
  return broken;
}

static struct value count_refused(struct resolver *r, const struct syn_expr *call,
                                  const struct function *f) {
  const char *wanted = f->most == 1 ? "one value" : f->most == 2 ? "two values" : "two or more";
  diag_error(r->diags, DIAG_FUNCTION, call->at, "%s takes %s; here it is given %zu", f->name,
             wanted, (size_t)call->item_count);
  return broken;
}

/* True when the argument suits; tells otherwise. */
static bool argument_suits(struct resolver *r, const struct function *f, const struct value *args,
                           size_t i) {
  const struct value *arg = &args[i];
  char found[VALUE_TEXT], wanted[VALUE_TEXT];
  if (arg->kind != VALUE_NUMBER) {
    diag_error(r->diags, DIAG_FUNCTION, arg->at, "%s takes single values; this is %s", f->name,
               value_phrase(arg, found));
    return false;
  }
  if (dimension_is_temperature(arg->dimension) && !f->readings) {
    diag_error(r->diags, DIAG_READING, arg->at,
               "a temperature is a reading: only min and max take one");
    return false;
  }
  if (f->takes == TAKES_NUMBER && !dimension_is_number(arg->dimension)) {
    struct diag *diag =
        diag_error(r->diags, DIAG_DIMENSION, arg->at, "%s wants a pure number; this is %s", f->name,
                   value_phrase(arg, found));
    diag_help(diag, "divide by a unit first, as in `%s(width / 1 mm) * 1 mm`", f->name);
    return false;
  }
  bool is_angle = dimension_is(arg->dimension, QUANTITY_ANGLE);
  if (f->takes == TAKES_ANGLE && !is_angle) {
    struct diag *diag =
        diag_error(r->diags, DIAG_DIMENSION, arg->at, "%s wants an angle; this is %s", f->name,
                   value_phrase(arg, found));
    diag_help(diag, "write an angle as `30 deg`");
    return false;
  }
  if (f->takes == TAKES_SAME && !dimension_equal(arg->dimension, args[0].dimension)) {
    diag_error(r->diags, DIAG_DIMENSION, arg->at,
               "%s wants values that measure the same; the first is %s, this is %s", f->name,
               value_phrase(&args[0], wanted), value_phrase(arg, found));
    return false;
  }
  return true;
}

static struct value root(struct resolver *r, const struct syn_expr *call, struct value x) {
  char found[VALUE_TEXT];
  if (x.x[0] < 0) {
    diag_error(r->diags, DIAG_ROOT_NEGATIVE, call->items[0]->at,
               "square root of a negative value (%s)", figure_text(x.dimension, x.x[0], found));
    return broken;
  }
  struct dimension half;
  if (!dimension_root(x.dimension, &half)) {
    diag_error(r->diags, DIAG_DIMENSION, call->items[0]->at,
               "the square root of %s measures nothing", value_phrase(&x, found));
    return broken;
  }
  x.dimension = half;
  x.x[0] = sqrt(x.x[0]);
  return x;
}

static struct value extreme(const struct value *args, size_t count, bool greatest) {
  struct value best = args[0];
  for (size_t i = 1; i < count; i++)
    if (greatest ? args[i].x[0] > best.x[0] : args[i].x[0] < best.x[0])
      best = args[i];
  return best;
}

/* num_sincos() is proved up to this; it is more turns than any head makes. */
static const double largest_angle = 1e9;

static struct value apply(struct resolver *r, const struct syn_expr *call, const struct function *f,
                          const struct value *args) {
  struct value result = args[0];
  if (strcmp(f->name, "sqrt") == 0)
    return root(r, call, args[0]);
  if (f->readings)
    return extreme(args, call->item_count, strcmp(f->name, "max") == 0);
  if (strcmp(f->name, "atan2") == 0) {
    result.x[0] = num_atan2(args[0].x[0], args[1].x[0]);
    result.dimension = quantity_get(QUANTITY_ANGLE)->dimension;
    return result;
  }
  if (f->takes == TAKES_ANGLE) {
    if (fabs(args[0].x[0]) > largest_angle) {
      diag_error(r->diags, DIAG_NOT_FINITE, args[0].at, "%s takes angles up to 1e9 rad", f->name);
      return broken;
    }
    result.dimension = quantity_get(QUANTITY_NUMBER)->dimension;
  }
  result.x[0] = f->one(args[0].x[0]);
  return result;
}

struct value call_value(struct resolver *r, const struct syn_expr *call, const struct value *args) {
  const struct function *f = function_find(call->function);
  if (!f)
    return function_unknown(r, call);
  if (call->item_count < f->least || call->item_count > f->most)
    return count_refused(r, call, f);
  for (size_t i = 0; i < call->item_count; i++)
    if (!argument_suits(r, f, args, i))
      return broken;
  return apply(r, call, f, args);
}
