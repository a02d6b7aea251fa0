/* The tree of sources without fault, whole, as syntax_dump() prints it; with faults, what
 * is kept of them.  Run at the top of the project. */
#include "borelay/syntax.h"
#include "support/golden.h"

static void the_tree_is(void **state) {
  struct golden *one = *state;
  struct told told = told_begin();
  uint32_t file = told_add(&told, "a.lay", one->source);
  struct syn_file *tree = syntax_parse(told.arena, told.sources, file, told.diags);
  char *got = NULL;
  size_t length = 0;
  FILE *to = open_memstream(&got, &length);
  syntax_dump(tree, to);
  fclose(to);
  /* Of the messages only how many: test_faults.c has their text. */
  bool is_faulty = strncmp(one->name, "faulty:", 7) == 0;
  assert_int_equal(diag_error_count(told.diags) > 0, is_faulty);
  golden_compare(one, got);
  told_end(&told);
}

int main(void) {
  struct goldens goldens = goldens_read("tests/parse/cases/tree.txt");
  return goldens_run(&goldens, the_tree_is);
}
