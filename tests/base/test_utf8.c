/* UTF-8 against RFC 3629: the examples of section 7 and the faults of sections 3 and 10. */
#include <string.h>

#include "borelay/utf8.h"
#include "support/close.h"

static void examples(void **state) {
  (void)state;
  static const struct {
    const char *text;
    uint32_t codes[5];
  } rows[] = {
      {"\x41\xE2\x89\xA2\xCE\x91\x2E", {0x41, 0x2262, 0x391, 0x2E}},
      {"\xED\x95\x9C\xEA\xB5\xAD\xEC\x96\xB4", {0xD55C, 0xAD6D, 0xC5B4}},
      {"\xE6\x97\xA5\xE6\x9C\xAC\xE8\xAA\x9E", {0x65E5, 0x672C, 0x8A9E}},
      {"\xEF\xBB\xBF\xF0\xA3\x8E\xB4", {0xFEFF, 0x233B4}},
      {"\x7F\xC2\x80\xDF\xBF\xE0\xA0\x80", {0x7F, 0x80, 0x7FF, 0x800}},
      {"\xED\x9F\xBF\xEE\x80\x80\xF0\x90\x80\x80\xF4\x8F\xBF\xBF",
       {0xD7FF, 0xE000, 0x10000, 0x10FFFF}},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    const uint8_t *text = (const uint8_t *)rows[i].text, *limit = text + strlen(rows[i].text);
    assert_ptr_equal(utf8_check(text, limit), limit);
    for (size_t k = 0; text < limit; k++) {
      uint32_t code = 0;
      text += utf8_read(text, limit, &code);
      assert_int_equal(code, rows[i].codes[k]);
    }
  }
}

static void faults(void **state) {
  (void)state;
  static const char *const rows[] = {
      "\xC0\x80", /* overlong NUL */
      "\xC1\xBF",
      "\xE0\x80\xAF",
      "\xF0\x80\x80\xAF", /* overlong */
      "\xED\xA1\x8C",     /* a surrogate */
      "\xED\xA0\x80",
      "\xED\xBF\xBF",
      "\xF4\x90\x80\x80", /* above U+10FFFF */
      "\xF5\x80\x80\x80",
      "\xFE",
      "\xFF",
      "\x80", /* a continuation alone */
      "\xE2\x89",
      "\xE2\x89z",
      "\xC3", /* cut short */
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    const uint8_t *text = (const uint8_t *)rows[i];
    uint32_t code = 0;
    assert_int_equal(utf8_read(text, text + strlen(rows[i]), &code), 0);
    assert_ptr_equal(utf8_check(text, text + strlen(rows[i])), text);
  }
}

/* Wherever it stands among plain letters, and behind whole code points. */
static void a_fault_is_found_where_it_is(void **state) {
  (void)state;
  uint8_t text[64];
  for (size_t length = 0; length < sizeof text; length++)
    for (size_t at = 0; at < length; at++)
      for (int many = 0; many < 2; many++) {
        memset(text, 'a', sizeof text);
        if (many && at >= 2) {
          text[at - 2] = 0xC3;
          text[at - 1] = 0xA4;
        }
        assert_ptr_equal(utf8_check(text, text + length), text + length);
        text[at] = 0xFF;
        assert_ptr_equal(utf8_check(text, text + length), text + at);
      }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(examples), cmocka_unit_test(faults),
                                     cmocka_unit_test(a_fault_is_found_where_it_is)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
