/* Faulty sources and every word that is told of them.  Run at the top of the project. */
#include "borelay/syntax.h"
#include "support/golden.h"

static void it_is_told(void **state) {
  struct golden *one = *state;
  struct told told = told_begin();
  uint32_t file = told_add(&told, "a.lay", one->source);
  syntax_parse(told.arena, told.sources, file, told.diags);
  golden_compare(one, told_text(&told));
  told_end(&told);
}

int main(void) {
  struct goldens goldens = goldens_read("tests/parse/cases/faults.txt");
  return goldens_run(&goldens, it_is_told);
}
