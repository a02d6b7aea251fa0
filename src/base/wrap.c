/* Words on as many lines as they need. */
#include "borelay/wrap.h"

#include <stdbool.h>
#include <string.h>

void wrap_print(const char *text, int indent, int width, FILE *to) {
  int column = width;
  bool is_first = true;
  while (*(text += strspn(text, " "))) {
    int length = (int)strcspn(text, " ");
    if (column + 1 + length > width) {
      fprintf(to, "%s%*s", is_first ? "" : "\n", indent, "");
      column = indent;
      is_first = false;
    } else {
      fputc(' ', to);
      column++;
    }
    fprintf(to, "%.*s", length, text);
    column += length;
    text += length;
  }
  fputc('\n', to);
}
