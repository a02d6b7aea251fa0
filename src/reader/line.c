/* line.c - the lines of a stream as patterns, matched byte by byte.
 *
 * A pattern is the line as it stands in docs/stream-format.md with a mark for each field.  Since
 * nothing but the field being read is kept, a line may come in pieces of any size, and a string in
 * it may be of any length. */
#include "parts.h"

/* Marks; none is a character that a pattern has. */
#define MICRO  "\001" /* six decimals */
#define TENTHS "\002" /* one */
#define CENTI  "\003" /* two */
#define MILLI  "\004" /* three */
#define WHOLE  "\005"
#define PHASE  "\006"
#define MODE   "\007"
#define NAME   "\010"
#define STRING "\011"
#define DIGEST "\013" /* 64 hexadecimal digits */
#define CRC    "\014" /* 8 */
enum {
  MARK_MICRO = 1,
  MARK_TENTHS,
  MARK_CENTI,
  MARK_MILLI,
  MARK_WHOLE,
  MARK_PHASE,
  MARK_MODE,
  MARK_NAME,
  MARK_STRING,
  MARK_DIGEST = 11,
  MARK_CRC
};

static const char *const PATTERN[LINE_COUNT] = {
    "# borelay setpoints " WHOLE "\n",
    "# mode " MODE "\n",
    "# job " STRING " part " STRING " revision " STRING "\n",
    "# source sha256 " DIGEST "\n",
    "# cell " NAME " sha256 " DIGEST "\n",
    "# torch reach_mm " MICRO " drop_mm " MICRO " correction_mm " MICRO "\n",
    "# datum x_mm " MICRO " y_mm " MICRO " z_mm " MICRO " turned_deg " MICRO "\n",
    "# procedure " NAME " wps " STRING " filler " STRING "\n",
    "# tick_s " MICRO "\n",
    "# rows " WHOLE "\n",
    "# duration_s " MICRO "\n",
    "# head_end_deg " MICRO "\n",
    "# verdict passed\n",
    "# overlay " WHOLE " " NAME " file " WHOLE "\n",
    "# file " WHOLE " " STRING "\n",
    "t_s,x_mm,y_mm,z_mm,head_deg,phase,arc,current_a,voltage_v,wire_mm_s,wire_current_a,gas,avc,"
    "overlay,layer,lap,line\n",
    MICRO "," MICRO "," MICRO "," MICRO "," MICRO "," PHASE "," WHOLE "," TENTHS "," CENTI "," MILLI
          "," TENTHS "," WHOLE "," WHOLE "," WHOLE "," WHOLE "," WHOLE "," WHOLE "\n",
    "# end rows " WHOLE " crc32c " CRC "\n"};

/* Words end in a NUL, lists in another. */
static const char MODES[] = "weld\0rehearsal\0resume\0";
static const char PHASES[] = "move\0touch\0preflow\0upslope\0weld\0downslope\0postflow\0wait\0";

/* What a byte is to the field being read. */
enum taken {
  TAKEN,
  TAKEN_LAST, /* and the field ends with it */
  NOT_TAKEN,  /* the field has ended before it */
  TELL_FIRST, /* reader->text is full: tell, then ask again */
  WRONG
};

/* -- numbers ---------------------------------------------------------------------------------- */

/* value * 10 + 9 still fits 63 bits. */
static const uint64_t VALUE_MOST = 922337203685477579;

/* One way only to write a number: no sign but a minus, no needless 0 in front, all decimals. */
static bool number_ends_well(const struct borelay_reader *reader, unsigned decimals) {
  return reader->own.digits && reader->own.places == (decimals ? decimals + 1 : 0) &&
         (reader->own.value || !reader->own.negative);
}

static bool digit_add(struct borelay_reader *reader, unsigned decimals, unsigned digit) {
  bool is_needless = reader->own.digits && !reader->own.places && !reader->own.value;
  if (is_needless || reader->own.places > decimals || reader->own.value > VALUE_MOST)
    return false;
  reader->own.value = reader->own.value * 10 + digit;
  reader->own.digits = 1;
  reader->own.places = (uint8_t)(reader->own.places + (reader->own.places > 0));
  return true;
}

/* As many bytes as belong to the number. */
static enum taken number_take(struct borelay_reader *reader, unsigned decimals,
                              const uint8_t **bytes, const uint8_t *end) {
  const uint8_t *at = *bytes;
  enum taken taken = TAKEN;
  while (at < end && taken == TAKEN) {
    uint8_t digit = (uint8_t)(*at - '0');
    if (digit < 10)
      taken = digit_add(reader, decimals, digit) ? TAKEN : WRONG;
    else if (*at == '.' && reader->own.digits && decimals && !reader->own.places)
      reader->own.places = 1;
    else if (*at == '-' && !reader->own.digits && !reader->own.negative)
      reader->own.negative = true;
    else
      taken = number_ends_well(reader, decimals) ? NOT_TAKEN : WRONG;
    at += taken == TAKEN;
  }
  *bytes = at;
  return taken;
}

static enum taken hex_take(struct borelay_reader *reader, unsigned count, uint8_t c) {
  uint8_t digit = (uint8_t)(c - '0'), letter = (uint8_t)(c - 'a');
  if (digit >= 10 && letter >= 6)
    return WRONG;
  unsigned place = reader->own.digits++;
  reader->own.value = reader->own.value << 4 | (digit < 10 ? digit : letter + 10u);
  if (count == 64 && place % 2) {
    uint8_t *digest =
        reader->own.line == LINE_SOURCE ? reader->header.source_sha256 : reader->header.cell_sha256;
    digest[place / 2] = (uint8_t)reader->own.value;
  }
  return place + 1 == count ? TAKEN_LAST : TAKEN;
}

/* -- words and strings ------------------------------------------------------------------------ */

static const char *word_get(const char *list, uint64_t which) {
  while (which > 0)
    which -= !*list++;
  return list;
}

static bool word_starts_alike(const char *a, const char *b, unsigned length) {
  for (unsigned i = 0; i < length; i++)
    if (a[i] != b[i] || !a[i])
      return false;
  return true;
}

/* own.value: which word fits so far; own.digits: on how many bytes. */
static enum taken word_take(struct borelay_reader *reader, const char *list, uint8_t c) {
  uint64_t which = reader->own.value;
  unsigned length = reader->own.digits;
  const char *fits = word_get(list, which);
  for (const char *word = fits; *word; word = word_get(word, 1), which++)
    if (word_starts_alike(word, fits, length) && word[length] && (uint8_t)word[length] == c) {
      reader->own.value = which;
      reader->own.digits++;
      return TAKEN;
    }
  return fits[length] || !length ? WRONG : NOT_TAKEN;
}

/* A part that was told makes room for the next. */
static enum taken text_add(struct borelay_reader *reader, uint8_t c) {
  struct borelay_text *text = &reader->text;
  if (text->more)
    text->length = 0;
  text->more = text->length == BORELAY_TEXT_PART;
  if (text->more)
    return TELL_FIRST;
  text->bytes[text->length++] = (char)c;
  return TAKEN;
}

static void text_open(struct borelay_reader *reader) {
  static const struct {
    uint8_t line, first_field, meaning;
  } MEANINGS[] = {{LINE_JOB, 0, BORELAY_JOB_TITLE},
                  {LINE_CELL, 0, BORELAY_CELL_NAME},
                  {LINE_PROCEDURE, 0, BORELAY_PROCEDURE_NAME},
                  {LINE_OVERLAY, 1, BORELAY_OVERLAY_NAME},
                  {LINE_FILE, 1, BORELAY_FILE_NAME}};
  unsigned i = 0;
  while (MEANINGS[i].line != reader->own.line)
    i++;
  const struct borelay_header *header = &reader->header;
  reader->text.field = (uint8_t)(MEANINGS[i].meaning + reader->own.field - MEANINGS[i].first_field);
  reader->text.number = 1 + (reader->own.line == LINE_PROCEDURE ? header->procedures
                             : reader->own.line == LINE_OVERLAY ? header->overlays
                             : reader->own.line == LINE_FILE    ? header->files
                                                                : 0);
  reader->text.length = 0;
  reader->text.more = false;
  reader->text.value = 0;
  reader->own.opened = true;
}

static enum taken string_take(struct borelay_reader *reader, uint8_t c) {
  if (!reader->own.opened) {
    text_open(reader);
    return c == '"' ? TAKEN : WRONG;
  }
  if (c == '\n' || (reader->own.escaped && c != 'n' && c != '"' && c != '\\'))
    return WRONG;
  if (c == '"' && !reader->own.escaped) {
    if (reader->text.more)
      reader->text.length = 0;
    reader->text.more = false;
    return TAKEN_LAST;
  }
  enum taken taken = text_add(reader, c);
  if (taken == TAKEN)
    reader->own.escaped = c == '\\' && !reader->own.escaped;
  return taken;
}

static enum taken name_take(struct borelay_reader *reader, uint8_t c) {
  bool fits = (uint8_t)(c - 'a') < 26 || (uint8_t)(c - '0') < 10 || c == '_' || c == '.';
  if (!reader->own.opened)
    text_open(reader);
  if (fits)
    return text_add(reader, c);
  if (reader->text.more)
    reader->text.length = 0;
  reader->text.more = false;
  return reader->text.length ? NOT_TAKEN : WRONG;
}

/* -- the line --------------------------------------------------------------------------------- */

/* How many decimals a number has; -1: it is none. */
static int decimals_of(char mark) {
  return mark == MARK_MICRO ? 6 : mark == MARK_WHOLE ? 0 : mark < MARK_WHOLE ? mark - 1 : -1;
}

static enum taken byte_take(struct borelay_reader *reader, char mark, uint8_t c) {
  switch (mark) {
  case MARK_PHASE:
    return word_take(reader, PHASES, c);
  case MARK_MODE:
    return word_take(reader, MODES, c);
  case MARK_NAME:
    return name_take(reader, c);
  case MARK_STRING:
    return string_take(reader, c);
  default:
    return hex_take(reader, mark == MARK_DIGEST ? 64 : 8, c);
  }
}

static enum taken field_take(struct borelay_reader *reader, char mark, const uint8_t **at,
                             const uint8_t *end) {
  int decimals = decimals_of(mark);
  if (decimals >= 0)
    return number_take(reader, (unsigned)decimals, at, end);
  enum taken taken = byte_take(reader, mark, **at);
  *at += taken == TAKEN || taken == TAKEN_LAST;
  return taken;
}

static void field_end(struct borelay_reader *reader) {
  int64_t value = (int64_t)reader->own.value;
  reader->own.figure[reader->own.field++] = reader->own.negative ? -value : value;
  reader->own.step++;
  reader->own.value = 0;
  reader->own.digits = reader->own.places = 0;
  reader->own.negative = reader->own.opened = reader->own.escaped = false;
}

/* The line after this one may stand here instead: both are alike so far, and c tells them apart. */
static bool line_skips(struct borelay_reader *reader, uint8_t c) {
  if (!reader->own.may_skip)
    return false;
  const char *here = PATTERN[reader->own.line], *next = PATTERN[reader->own.line + 1];
  unsigned step = reader->own.step;
  if (!word_starts_alike(here, next, step) || (uint8_t)next[step] != c)
    return false;
  reader->own.line++;
  reader->own.may_skip = false;
  return true;
}

/* A character of the line itself, no mark. */
static bool is_plain(char mark) {
  return mark > MARK_CRC || mark == '\n';
}

static enum borelay_event line_fail(struct borelay_reader *reader, uint64_t at) {
  enum borelay_error error = BORELAY_ERROR_SYNTAX;
  char mark = PATTERN[reader->own.line][reader->own.step];
  if ((mark >= MARK_MICRO && mark <= MARK_WHOLE) || mark == MARK_CRC || mark == MARK_DIGEST)
    error = BORELAY_ERROR_NUMBER;
  else if (is_plain(mark) && !reader->own.field && reader->own.line < LINE_COLUMNS)
    error = reader->own.line == LINE_VERSION ? BORELAY_ERROR_KIND : BORELAY_ERROR_HEADER_LINE;
  return borelay_own_fail(reader, error, at);
}

enum borelay_event borelay_own_line(struct borelay_reader *reader, const uint8_t **bytes,
                                    size_t *length, bool *ended) {
  const uint8_t *at = *bytes, *end = at + *length;
  enum borelay_event event = BORELAY_MORE;
  while (at < end && event == BORELAY_MORE && !*ended) {
    char mark = PATTERN[reader->own.line][reader->own.step];
    if (is_plain(mark)) {
      if (*at == (uint8_t)mark) {
        reader->own.step++;
        at++;
        *ended = mark == '\n';
      } else if (!line_skips(reader, *at)) {
        event = line_fail(reader, reader->own.at + (uint64_t)(at - *bytes));
      }
      continue;
    }
    enum taken taken = field_take(reader, mark, &at, end);
    if (taken == WRONG && !line_skips(reader, *at))
      event = line_fail(reader, reader->own.at + (uint64_t)(at - *bytes));
    if (taken == TELL_FIRST)
      event = BORELAY_TEXT;
    if (taken == NOT_TAKEN || taken == TAKEN_LAST) {
      if (mark == MARK_NAME || mark == MARK_STRING)
        event = BORELAY_TEXT;
      field_end(reader);
    }
  }
  *length -= (size_t)(at - *bytes);
  *bytes = at;
  return event;
}
