/* A sound source with one word lost, doubled, swapped with the next or replaced, cut at
 * every byte, or with random bytes in it: reading ends, what is told lies in the file, the
 * tree is whole, and one fault makes few messages. */
#include "borelay/syntax.h"
#include "borelay/token.h"
#include "support/random.h"
#include "support/told.h"

static const char sound[] = "use \"cell_south.lay\"\n"
                            "use \"wire.lay\" as hw { heat = 210 A; name = \"w \\\"1\\\"\" }\n"
                            "param size = 152.4 mm range 120 mm .. 260 mm\n"
                            "let deep = size / 2 + 3 * max(1 mm, -2 mm)\n"
                            "\n"
                            "shape seal round { diameter size; centre (0, -4) mm }\n"
                            "shape pocket round like seal {\n"
                            "  touch (341.2, 102.9) mm   # a touch\n"
                            "  touch { at (1, 2, 3) mm; head 37 deg }\n"
                            "}\n"
                            "procedure fill like hw.first {\n"
                            "  travel_speed 185 mm/min\n"
                            "  limit { current 180 .. 230 A }\n"
                            "}\n"
                            "envelope block {\n"
                            "  free hw.mouth { depths -5 .. 15 mm }\n"
                            "}\n"
                            "overlay wall {\n"
                            "  wall seal\n"
                            "  layers 2\n"
                            "  layer 2 {\n"
                            "    procedure hw.fill\n"
                            "  }\n"
                            "  entry (\n"
                            "    size / 2,\n"
                            "    0 mm\n"
                            "  )\n"
                            "  zone port { arc off; cross_bore { diameter 38 mm } }\n"
                            "}\n"
                            "job \"seal bore\" {\n"
                            "  cell south\n"
                            "  sequence [wall, hw.other]\n"
                            "  datum {\n"
                            "    fit seal\n"
                            "  }\n"
                            "}\n";

static void look_at_expr(const struct syn_expr *expr, uint32_t length) {
  if (!expr)
    return;
  assert_int_equal(expr->at.file, 1);
  assert_true(expr->at.begin <= expr->at.end && expr->at.end <= length);
  for (size_t i = 0; i < expr->item_count; i++) {
    assert_non_null(expr->items[i]);
    look_at_expr(expr->items[i], length);
  }
}

static void look_at_statement(const struct syn_statement *statement, uint32_t length) {
  assert_non_null(statement);
  assert_true(statement->at.begin <= statement->at.end && statement->at.end <= length);
  assert_true(statement->key || statement->kind == SYN_USE);
  assert_true(statement->block->title.text || statement->kind != SYN_USE);
  look_at_expr(statement->value, length);
  look_at_expr(statement->block->range, length);
  for (size_t i = 0; i < statement->block->item_count; i++) {
    const struct syn_statement *item = statement->block->items[i];
    look_at_statement(item, length);
    assert_true(item->at.begin >= statement->at.begin && item->at.end <= statement->at.end);
  }
}

/* Reads text and returns how many errors were told. */
static size_t errors_of(const char *text, size_t length) {
  struct told told = told_begin();
  uint32_t file = source_add_text(told.sources, "a.lay", text, length);
  struct syn_file *tree = syntax_parse(told.arena, told.sources, file, told.diags);
  for (size_t i = 0; i < tree->item_count; i++)
    look_at_statement(tree->items[i], (uint32_t)length);
  for (size_t i = 0; i < diag_count(told.diags); i++) {
    struct diag_view view = diag_view_get(told.diags, i);
    assert_int_equal(view.at.file, 1);
    assert_true(view.at.begin <= view.at.end && view.at.end <= length);
    assert_int_not_equal(view.message[0], '\0');
  }
  size_t errors = diag_error_count(told.diags);
  free(told_text(&told));
  told_end(&told);
  return errors;
}

static void the_source_is_sound(void **state) {
  (void)state;
  assert_int_equal(errors_of(sound, strlen(sound)), 0);
}

/* A cut inside a block, and nearly any other, is told; one message for the statement that
 * is cut and one for its block. */
static void cut_at_every_byte(void **state) {
  (void)state;
  for (size_t length = 0; length < strlen(sound); length++) {
    int depth = 0;
    for (size_t i = 0; i < length; i++)
      depth += (sound[i] == '{') - (sound[i] == '}');
    size_t errors = errors_of(sound, length);
    assert_in_range(errors, depth > 0 ? 1 : 0, 2);
  }
}

static void every_end_of_it(void **state) {
  (void)state;
  for (size_t begin = 0; begin < strlen(sound); begin++)
    errors_of(sound + begin, strlen(sound) - begin);
}

static void write_token(FILE *to, const struct token *token) {
  fprintf(to, "%.*s ", (int)(token->at.end - token->at.begin), sound + token->at.begin);
}

enum mutation { LOST, DOUBLED, SWAPPED, MUTATIONS };

static char *mutant(const struct token_list *list, size_t at, enum mutation mutation,
                    size_t *length) {
  char *text = NULL;
  FILE *to = open_memstream(&text, length);
  for (size_t i = 0; i + 1 < list->count; i++) {
    const struct token *token = &list->items[i];
    if (i == at && mutation == LOST)
      continue;
    if (i == at && mutation == SWAPPED && i + 2 < list->count) {
      write_token(to, token + 1);
      i++;
    }
    if (i == at && mutation == DOUBLED)
      write_token(to, token);
    write_token(to, token);
  }
  fclose(to);
  return text;
}

static struct token_list sound_tokens(struct told *told) {
  uint32_t file = told_add(told, "a.lay", sound);
  return tokens_read(told->arena, told->sources, file, told->diags);
}

/* One word at fault: no more than MOST messages. */
enum { MOST = 4 };

static void one_word_at_fault(void **state) {
  (void)state;
  struct told told = told_begin();
  struct token_list list = sound_tokens(&told);
  for (size_t at = 0; at + 1 < list.count; at++)
    for (int mutation = LOST; mutation < MUTATIONS; mutation++) {
      size_t length = 0;
      char *text = mutant(&list, at, (enum mutation)mutation, &length);
      size_t errors = errors_of(text, length);
      if (errors > MOST)
        print_error("%zu errors, word %zu, mutation %d:\n%s\n", errors, at, mutation, text);
      assert_true(errors <= MOST);
      free(text);
    }
  told_end(&told);
}

static void one_word_for_another(void **state) {
  (void)state;
  struct told told = told_begin();
  struct token_list list = sound_tokens(&told);
  for (size_t at = 0; at + 1 < list.count; at++)
    for (size_t other = 0; other + 1 < list.count; other += 3) {
      size_t length = 0;
      char *text = NULL;
      FILE *to = open_memstream(&text, &length);
      for (size_t i = 0; i + 1 < list.count; i++)
        write_token(to, &list.items[i == at ? other : i]);
      fclose(to);
      errors_of(text, length);
      free(text);
    }
  told_end(&told);
}

static void random_bytes(void **state) {
  (void)state;
  static const char marks[] = "{}()[],;=+-*/.\"\\#\n\r\t %@_aZ09\xC3\xA9\xFF";
  struct random random = {.state = 20260};
  print_message("seed %d\n", 20260);
  char text[sizeof sound];
  for (int round = 0; round < 3000; round++) {
    memcpy(text, sound, sizeof sound);
    for (int k = 0; k < 1 + round % 8; k++) {
      size_t at = (size_t)random_whole(&random, 0, (int)sizeof sound - 2);
      text[at] = marks[random_whole(&random, 0, (int)sizeof marks - 1)]; /* also the NUL */
    }
    errors_of(text, strlen(sound));
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(the_source_is_sound),  cmocka_unit_test(cut_at_every_byte),
      cmocka_unit_test(every_end_of_it),      cmocka_unit_test(one_word_at_fault),
      cmocka_unit_test(one_word_for_another), cmocka_unit_test(random_bytes),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
