/* Words on as many lines as they need. */
#include "borelay/wrap.h"

#include <stdbool.h>
#include <string.h>

void wrap_go_on(const char *text, int column, int indent, int width, FILE *to) {
  bool is_first = true;
  while (*(text += strspn(text, " "))) {
    int length = (int)strcspn(text, " ");
    if (!is_first && column + 1 + length > width) {
      fprintf(to, "\n%*s", indent, "");
      column = indent;
    } else if (!is_first) {
      fputc(' ', to);
      column++;
    }
    fprintf(to, "%.*s", length, text);
    column += length;
    text += length;
    is_first = false;
  }
  fputc('\n', to);
}

void wrap_print(const char *text, int indent, int width, FILE *to) {
  bool has_words = text[strspn(text, " ")] != '\0';
  fprintf(to, "%*s", has_words ? indent : 0, "");
  wrap_go_on(text, indent, indent, width, to);
}
