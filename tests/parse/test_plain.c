/* Properties that src/parse/plain.c reads against the grammar, which reads the same values where
 * they stand alone; and long files, of which the tokens are forgotten declaration by declaration.
 */
#include "borelay/syntax.h"
#include "support/random.h"
#include "support/told.h"

static void assert_same_expr(const struct syn_expr *a, const struct syn_expr *b, uint32_t shift) {
  assert_int_equal(a->kind, b->kind);
  assert_int_equal(a->at.begin, b->at.begin + shift);
  assert_int_equal(a->at.end, b->at.end + shift);
  assert_int_equal(a->item_count, b->item_count);
  assert_true((syn_unit(a) == NULL) == (syn_unit(b) == NULL));
  if (syn_unit(a))
    assert_string_equal(syn_unit(a), syn_unit(b));
  if (a->kind == SYN_NUMBER)
    assert_memory_equal(&a->number, &b->number, sizeof a->number);
  if (a->kind == SYN_STRING || a->kind == SYN_NAME)
    assert_string_equal(a->text, b->text);
  if (a->kind == SYN_CALL)
    assert_string_equal(a->function, b->function);
  if (a->kind == SYN_NEGATE || (a->kind >= SYN_ADD && a->kind <= SYN_DIVIDE))
    assert_int_equal(syn_op_at(a).begin, syn_op_at(b).begin + shift);
  if (syn_unit(a))
    assert_int_equal(syn_unit_at(a).begin, syn_unit_at(b).begin + shift);
  for (size_t i = 0; i < a->item_count; i++)
    assert_same_expr(a->items[i], b->items[i], shift);
}

/* `block { key VALUE` and then `end`, in which another property stands. */
static void assert_read_as_alone(const char *text, const char *end) {
  static const char head[] = "overlay o {\n  key ";
  struct told told = told_begin();
  const char *source = arena_format(told.arena, "%s%s%s", head, text, end);
  uint32_t file = told_add(&told, "a.lay", source);
  uint32_t alone = told_add(&told, "value", text);
  const struct syn_file *tree = syntax_parse(told.arena, told.sources, file, told.diags);
  const struct syn_expr *want = syntax_parse_value(told.arena, told.sources, alone, told.diags);
  char *messages = told_text(&told);
  assert_string_equal(messages, "");
  assert_int_equal(tree->item_count, 1);
  const struct syn_block *block = tree->items[0]->block;
  assert_int_equal(block->item_count, 2);
  const struct syn_statement *property = block->items[0];
  uint32_t shift = (uint32_t)strlen(head);
  assert_int_equal(property->kind, SYN_PROPERTY);
  assert_string_equal(property->key, "key");
  assert_int_equal(syn_key_at(property).begin, shift - 4);
  assert_int_equal(syn_key_at(property).end, shift - 1);
  assert_int_equal(property->at.begin, shift - 4);
  assert_int_equal(property->at.end, want->at.end + shift);
  assert_same_expr(property->value, want, shift);
  assert_string_equal(block->items[1]->key, "next");
  free(messages);
  told_end(&told);
}

static const char *const ends[] = {"\n  next 1\n}\n",
                                   ";next 1 }",
                                   "; next 1 mm }\n",
                                   "  # a comment\n\n  next a\n}\n",
                                   "\r\n\t# {\r\n ;; # {\n  next (1, 2)\r\n}\r\n",
                                   "\n  next 1 + 2\n}\n",
                                   ";\n next \"a # }\"}"};
enum { ENDS = sizeof ends / sizeof *ends };

static void values(void **state) {
  (void)state;
  static const char *const rows[] = {"1",
                                     "1.5 mm",
                                     "12mm/s2",
                                     "-3 deg",
                                     "- 3",
                                     "--3 mm",
                                     "12e3 mm",
                                     "9007199254740993 mm",
                                     "12..140 mm",
                                     "12.5..140.25",
                                     "name",
                                     "hw.name",
                                     "a_long_name_of_more_than_sixteen.letters9",
                                     "\"\"",
                                     "\"a # ; } string\"",
                                     "\"a \\\" string\"",
                                     "1 .. 2",
                                     "1 .. 2 mm",
                                     "-1 mm .. -2 mm",
                                     "(1, 2)",
                                     "(1, 2) mm",
                                     "(1, -2, 3)mm",
                                     "(1 mm, 2 mm)",
                                     "(-1, 2 deg, 3) in",
                                     "( 1.5mm ,\t-2 ) ",
                                     "(a, 2) mm",
                                     "(1)",
                                     "(1 mm)",
                                     "1 + 2",
                                     "a - 1 mm",
                                     "max(1, 2)",
                                     "a, b",
                                     "[a]",
                                     "[a, b]",
                                     "(1,\n    2) mm",
                                     "2 * 3 mm .. 9 mm",
                                     "1 .. a",
                                     "45 %",
                                     "-45 %"};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
    for (size_t k = 0; k < ENDS; k++)
      assert_read_as_alone(rows[i], ends[k]);
}

/* What looks like one of them up to some letter is told as the grammar tells it. */
static void faulty_values(void **state) {
  (void)state;
  static const char *const rows[] = {
      "1.",          "(1, .5)", "12 parsec", "1 ... 2", "\"open",       "a b",
      "1 2",         "(1, 2",   "1 ..",      "-",       "= 1",          "a:",
      "1 .. 2 .. 3", "Abc",     "a.B",       "1 mm mm", "(1, 2) mm mm", "(1, 2, 3, 4)",
      "use",         "",        "a.",        "1e999",   "p\n  { ",      "p # {\n # {\n\n{"};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct told told = told_begin();
    const char *text =
        arena_format(told.arena, "overlay o {\n  first 1 mm\n  key %s\n  next 2 mm\n}\n", rows[i]);
    uint32_t file = told_add(&told, "a.lay", text);
    const struct syn_file *tree = syntax_parse(told.arena, told.sources, file, told.diags);
    if (diag_error_count(told.diags) == 0)
      fail_msg("`key %s` was not told", rows[i]);
    uint32_t at = diag_view_get(told.diags, 0).at.begin;
    assert_in_range(at, strstr(text, "key") - text, strstr(text, "next") - text);
    assert_string_equal(tree->items[0]->block->items[0]->key, "first");
    told_end(&told);
  }
}

static void write_operand(struct random *random, FILE *to) {
  static const char *const units[] = {"", "", " mm", "mm", " deg/s", " %"};
  static const char *const signs[] = {"", "", "", "-", "- "};
  fprintf(to, "%s%d%s%s", signs[random_whole(random, 0, 4)], random_whole(random, 0, 999),
          random_whole(random, 0, 1) ? "" : ".25", units[random_whole(random, 0, 5)]);
}

static void write_value(struct random *random, FILE *to) {
  int form = random_whole(random, 0, 3);
  int count = form == 0 ? 1 : form == 1 ? 2 : random_whole(random, 2, 3);
  fputs(form >= 2 ? "(" : "", to);
  for (int i = 0; i < count; i++) {
    fputs(i == 0 ? "" : form == 1 ? " .. " : ", ", to);
    write_operand(random, to);
  }
  fputs(form == 2 ? ")" : form == 3 ? ") mm" : "", to);
}

static void random_values(void **state) {
  (void)state;
  struct random random = {.state = 17};
  for (int i = 0; i < 3000; i++) {
    char *text = NULL;
    size_t length = 0;
    FILE *to = open_memstream(&text, &length);
    write_value(&random, to);
    fclose(to);
    assert_read_as_alone(text, ends[random_whole(&random, 0, ENDS - 1)]);
    free(text);
  }
}

/* -- blocks ------------------------------------------------------------------------------------ */

/* The tree and what is told of text, in which no `~` stands, with each `~` left out; where
 * is_plain is false each is a value that only the grammar reads, so that it hears of every block
 * around. */
static char *tree_of(const char *text, bool is_plain, size_t *errors) {
  struct told told = told_begin();
  char *source = arena_alloc(told.arena, 2 * strlen(text) + 1, 1), *to = source;
  for (; *text; text++)
    if (*text != '~')
      *to++ = *text;
    else if (!is_plain)
      to = stpcpy(to, "w 1+1;");
    else
      to = stpcpy(to, "w 1  ;");
  uint32_t file = told_add(&told, "a.lay", source);
  const struct syn_file *tree = syntax_parse(told.arena, told.sources, file, told.diags);
  char *said = NULL;
  size_t size = 0;
  FILE *out = open_memstream(&said, &size);
  syntax_dump(tree, out);
  for (size_t i = 0; i < diag_count(told.diags); i++) {
    struct diag_view view = diag_view_get(told.diags, i);
    fprintf(out, "%u %u %s\n", view.at.begin, view.at.end, view.message);
  }
  for (size_t i = 0; i < tree->item_count; i++) {
    const struct syn_statement *block = tree->items[i];
    fprintf(out, "%u %u %u %u\n", block->at.begin, block->at.end, block->block->head.begin,
            block->block->head.end);
  }
  fclose(out);
  *errors = diag_error_count(told.diags);
  told_end(&told);
  char *added;
  while ((added = strstr(said, "(+ 1 1)")) != NULL)
    memmove(added + 1, added + 7, strlen(added + 7) + 1), *added = '1';
  return said;
}

/* Read past the grammar or by it, blocks are the same, sound and faulty ones. */
static void blocks(void **state) {
  (void)state;
  static const struct {
    const char *text;
    size_t errors;
  } rows[] = {
      {"let x = 1\nprocedure p { a 1; ~ b 2 }\n", 0},
      {"procedure p { a 1; ~ b 2 }\n", 0},
      {"# a comment\n\n  procedure p { a 1\n~ b 2 }", 0},
      {"\xEF\xBB\xBFprocedure p {\n  limit {\n  ~ b 2 }\nshape s round { ~c 1 }\n", 1},
      {"job \"a b\" { ~cell c; at (0, 0, 0) mm }\n", 0},
      {"job\"\"{ ~cell c }", 0},
      {"job \"a \\\"b\\\"\" { ~cell c }\n", 0},
      {"overlay o { ~a 1 }\n  job \"a\" {\n    ~ d 1\n  b 1 mm\n}\nshape s round { ~d 1 }\n", 0},
      {"job \"a\" {\n  ~b { ~c 1\n}\nshape s round { ~d 1 mm }\n", 1},
      {"job \"a { b 1 }\nshape s round { ~d 1 mm }\n", 2},
      {"job { ~b 1 }\njob \"a\" like c { ~b 1 }\nshape s { job \"t\" { ~d 1 } }\n", 4},
      {"let x = 1\nprocedure p like q.r { ~limit { ~a 1 .. 2 A }\n}\nshape s round { ~d 5 mm }\n",
       0},
      {"let x = 1\noverlay o {\n  ~layer 2 {\n    ~p 4 mm\n  }\n  ~zone z { ~arc off; cross_bore { "
       "~d 1 mm } }\n}\n",
       0},
      {"let x = 1\na { ~b { ~c { ~d { ~e { ~f 1 } g 2 } h 3 } i 4 } j 5 }\n", 0},
      {"let x = 1\ncell c { ~ }\ncell d { ~\n# }\n}\n", 0},
      {"let x = 1\noverlay o {\n  zone z {\n    ~a off\n  b 1 mm\n}\nshape s round { ~d 1 mm }\n",
       1},
      {"let x = 1\noverlay o {\n  zone z {\n    ~a off\n  }\n", 1},
      {"let x = 1\noverlay o { ~a 1 }\n }\noverlay p { ~a 1 }\n", 1},
      {"let x = 1\noverlay o { ~layer 2 mm { ~a 1 } }\n", 1},
      {"let x = 1\noverlay o { ~zone z { ~a 1 }; let { ~b 2 } }\n", 3},
      {"let x = 1\noverlay o { ~shape s round { ~d 1 mm }\n", 1},
      {"let x = 1\noverlay O { ~a 1 }\nshape s round t { ~b 1 }\ncell c\n{ ~d 1 }\n", 3},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    size_t plain_errors, errors;
    char *plain = tree_of(rows[i].text, true, &plain_errors);
    char *grammar = tree_of(rows[i].text, false, &errors);
    assert_string_equal(plain, grammar);
    if (errors != rows[i].errors || plain_errors != errors)
      fail_msg("%zu and %zu errors, not %zu, in\n%s\n%s", plain_errors, errors, rows[i].errors,
               rows[i].text, plain);
    free(plain);
    free(grammar);
  }
}

/* -- long files -------------------------------------------------------------------------------- */

/* Whole declarations, some faulty at their very first or last word. */
static const char *const declarations[] = {
    "let a = 1 mm\n",
    "let = 5\n",
    "param 5 = 1\n",
    "use 5\n",
    "shape b round { diameter 5 mm; centre (1, 2) mm }\n",
    "shape b round { diameter ; centre (1, 2 mm }\n",
    "overlay c like d.e {\n  layers 2\n  layer 2 { pitch 4 mm }\n}\n",
    "overlay {\n}\n",
    "overlay { layers }\n",
    "job \"x\" { cell y }\n",
    "job { }\n",
    "let x = (1, 2\nlet y = 3 mm mm\n",
    "procedure p\n  current 5\n}\n",
    "let z = 1 parsec\n",
};
enum { DECLARATIONS = sizeof declarations / sizeof *declarations, MANY = 4000 };

/* Every one tells and makes the same behind thousands of others as alone. */
static void long_files_are_as_short_ones(void **state) {
  (void)state;
  struct random random = {.state = 23};
  struct told told = told_begin();
  char *text = NULL;
  size_t length = 0;
  FILE *to = open_memstream(&text, &length);
  size_t wanted = 0, items = 0;
  span *places = arena_alloc(told.arena, 4 * MANY, sizeof *places);
  const char **messages = arena_alloc(told.arena, 4 * MANY, sizeof *messages);
  for (int i = 0; i < MANY; i++) {
    const char *one = declarations[random_whole(&random, 0, DECLARATIONS - 1)];
    struct told alone = told_begin();
    uint32_t file = told_add(&alone, "a.lay", one);
    items += syntax_parse(alone.arena, alone.sources, file, alone.diags)->item_count;
    for (size_t k = 0; k < diag_count(alone.diags); k++, wanted++) {
      struct diag_view view = diag_view_get(alone.diags, k);
      places[wanted] = (span){1, view.at.begin + (uint32_t)length, view.at.end + (uint32_t)length};
      messages[wanted] = arena_text(told.arena, view.message, strlen(view.message));
    }
    told_end(&alone);
    fputs(one, to);
    fflush(to);
  }
  fclose(to);
  uint32_t file = told_add(&told, "a.lay", text);
  const struct syn_file *tree = syntax_parse(told.arena, told.sources, file, told.diags);
  assert_int_equal(tree->item_count, items);
  assert_int_equal(diag_count(told.diags), wanted);
  for (size_t k = 0; k < wanted; k++) {
    struct diag_view view = diag_view_get(told.diags, k);
    assert_int_equal(view.at.begin, places[k].begin);
    assert_int_equal(view.at.end, places[k].end);
    assert_string_equal(view.message, messages[k]);
  }
  free(text);
  told_end(&told);
}

/* -- sifted files ------------------------------------------------------------------------------ */

struct sifted {
  struct random random;
  size_t count, done;
};

static bool is_done_with(void *context, const struct syn_statement *block) {
  struct sifted *sifted = context;
  assert_true(block->kind == SYN_BLOCK && !block->block->is_sifted);
  bool is_done = random_whole(&sifted->random, 0, 3) > 0;
  sifted->count++;
  sifted->done += is_done;
  return is_done;
}

static char *dump_of(const struct syn_file *tree) {
  char *text = NULL;
  size_t length = 0;
  FILE *to = open_memstream(&text, &length);
  syntax_dump(tree, to);
  fclose(to);
  return text;
}

/* Blocks of which statements were left out are read again as they were, in any order; all else is
 * as it would be. */
static void sifted_blocks_come_back(void **state) {
  (void)state;
  static const char nested[] = "procedure q like o.p {\n  a 1 mm; layer 2 { b (1, -2) mm\n }\n"
                               "  c \"text\" # note\n zone z { d e; f 1 .. 2 A } }\n";
  struct sifted sifted = {.random = {.state = 31}};
  for (int round = 0; round < 20; round++) {
    struct told told = told_begin();
    char *text = NULL;
    size_t length = 0;
    FILE *to = open_memstream(&text, &length);
    for (int i = 0; i < 200; i++)
      fputs(i % 3 ? declarations[random_whole(&sifted.random, 0, DECLARATIONS - 1)] : nested, to);
    fclose(to);
    uint32_t file = told_add(&told, "a.lay", text);
    const struct syn_file *whole = syntax_parse(told.arena, told.sources, file, told.diags);
    struct told second = told_begin();
    uint32_t copy = told_add(&second, "a.lay", text);
    struct syn_sift sift = {is_done_with, &sifted};
    struct syn_file *tree =
        syntax_parse_sifted(second.arena, second.sources, copy, second.diags, &sift);
    assert_int_equal(diag_count(told.diags), diag_count(second.diags));
    assert_int_equal(tree->item_count, whole->item_count);
    for (size_t i = tree->item_count; i-- > 0;) {
      const struct syn_statement *head = tree->items[i];
      assert_memory_equal(&head->at, &whole->items[i]->at, sizeof head->at);
      if (!head->block->is_sifted)
        continue;
      assert_int_equal(head->block->item_count, 0);
      assert_string_equal(head->block->name.text, whole->items[i]->block->name.text);
      const struct syn_statement *again = syntax_whole(tree, head);
      assert_memory_equal(&again->at, &head->at, sizeof head->at);
      assert_memory_equal(&again->block->head, &head->block->head, sizeof again->block->head);
      tree->items[i] = arena_copy(told.arena, again, 1, 1, sizeof *again);
    }
    char *want = dump_of(whole), *got = dump_of(tree);
    assert_string_equal(got, want);
    free(want);
    free(got);
    free(text);
    told_end(&second);
    told_end(&told);
  }
  assert_true(sifted.done > 500 && sifted.done < sifted.count);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(values),
      cmocka_unit_test(faulty_values),
      cmocka_unit_test(blocks),
      cmocka_unit_test(random_values),
      cmocka_unit_test(long_files_are_as_short_ones),
      cmocka_unit_test(sifted_blocks_come_back),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
