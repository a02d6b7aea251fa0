/* UTF-8 as RFC 3629 has it. */
#include "borelay/utf8.h"

#include <string.h>

size_t utf8_read(const uint8_t *text, const uint8_t *limit, uint32_t *code) {
  if (*text < 0x80) {
    *code = *text;
    return 1;
  }
  size_t length = *text >= 0xF0 ? 4 : *text >= 0xE0 ? 3 : *text >= 0xC2 ? 2 : 0;
  if (length == 0 || *text > 0xF4 || (size_t)(limit - text) < length)
    return 0;
  uint32_t read = *text & (0x7Fu >> length);
  for (size_t i = 1; i < length; i++) {
    if ((text[i] & 0xC0) != 0x80)
      return 0;
    read = read << 6 | (text[i] & 0x3Fu);
  }
  static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
  if (read < least[length] || read > 0x10FFFF || (read >= 0xD800 && read <= 0xDFFF))
    return 0;
  *code = read;
  return length;
}

/* Most text is ASCII: many bytes at a time. */
enum { WORDS_AT_ONCE = 8 };

static const uint8_t *after_ascii(const uint8_t *text, const uint8_t *limit) {
  uint64_t words[WORDS_AT_ONCE];
  for (; limit - text >= (ptrdiff_t)sizeof words; text += sizeof words) {
    uint64_t all = 0;
    memcpy(words, text, sizeof words);
    for (int i = 0; i < WORDS_AT_ONCE; i++)
      all |= words[i];
    if (all & 0x8080808080808080u)
      break;
  }
  while (text < limit && *text < 0x80)
    text++;
  return text;
}

const uint8_t *utf8_check(const uint8_t *text, const uint8_t *limit) {
  uint32_t code;
  while ((text = after_ascii(text, limit)) < limit) {
    size_t length = utf8_read(text, limit, &code);
    if (length == 0)
      return text;
    text += length;
  }
  return limit;
}
