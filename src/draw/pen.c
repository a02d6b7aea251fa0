/* pen.c - numbers short, texts escaped. */
#include "draw/pen.h"

#include <assert.h>
#include <stdarg.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/digits.h"

enum { FIRST_ROOM = 16384 };

static void put(struct drawing *drawing, const char *bytes, size_t length) {
  if (drawing->used + length + 1 > drawing->room) {
    size_t room = 2 * drawing->room + length + 1;
    drawing->text = arena_grow(drawing->arena, drawing->text, drawing->used, room, 1);
    drawing->room = room;
  }
  memcpy(drawing->text + drawing->used, bytes, length);
  drawing->used += length;
  drawing->text[drawing->used] = '\0';
}

void pen_raw(struct drawing *drawing, const char *text) {
  put(drawing, text, strlen(text));
}

void pen_number(struct drawing *drawing, double value, int decimals) {
  char digits[DIGITS_ROOM], *end = digits_put(digits, digits_scale(value, decimals), decimals);
  if (decimals > 0) {
    while (end[-1] == '0')
      end--;
    if (end[-1] == '.')
      end--;
  }
  put(drawing, digits, (size_t)(end - digits));
}

/* Characters that XML 1.0 does not know (control characters) become a question mark. */
static void put_escaped(struct drawing *drawing, const char *text) {
  for (; *text; text++) {
    unsigned char c = (unsigned char)*text;
    if (c == '<')
      pen_raw(drawing, "&lt;");
    else if (c == '>')
      pen_raw(drawing, "&gt;");
    else if (c == '&')
      pen_raw(drawing, "&amp;");
    else if (c == '"')
      pen_raw(drawing, "&quot;");
    else if (c == '\n' || c == '\t')
      pen_raw(drawing, " ");
    else if (c < 0x20)
      pen_raw(drawing, "?");
    else
      put(drawing, text, 1);
  }
}

void pen(struct drawing *drawing, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  for (const char *next; (next = strchr(format, '%')) != NULL; format = next + 2) {
    put(drawing, format, (size_t)(next - format));
    switch (next[1]) {
    case 's':
      put_escaped(drawing, va_arg(arguments, const char *));
      break;
    case 'd':
      pen_number(drawing, va_arg(arguments, int), 0);
      break;
    case 'z':
      pen_number(drawing, (double)va_arg(arguments, size_t), 0);
      next++;
      break;
    case 'f':
      pen_number(drawing, va_arg(arguments, double), 2);
      break;
    default:
      assert(next[1] == '%');
      pen_raw(drawing, "%");
    }
  }
  va_end(arguments);
  pen_raw(drawing, format);
}

struct drawing *pen_new(struct arena *arena, const char *id, const struct draw_look *look) {
  struct drawing *drawing = arena_alloc(arena, 1, sizeof *drawing);
  *drawing = (struct drawing){.arena = arena,
                              .id = arena_format(arena, "%s%s", look->prefix, id),
                              .embedded = look->embedded,
                              .depth_scale = 1};
  drawing->text = arena_alloc(arena, FIRST_ROOM, 1);
  drawing->room = FIRST_ROOM;
  return drawing;
}
