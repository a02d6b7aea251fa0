/* borelay_reader.h - reads a stream of setpoints on the controller's side.
 *
 * Both kinds are taken, told apart by their first bytes: the binary stream (.spt) and the text
 * stream (.csv).  Bytes are pushed in as they come, in pieces of any size; out come the header, the
 * rows and the end, one event at a time.  docs/reader.md is the guide, docs/stream-format.md says
 * what a stream is.
 *
 * C99 with freestanding headers only.  No allocation, no globals, no floating point, no recursion;
 * everything lives in one struct of fixed size that the caller owns.  Two readers know nothing of
 * one another.
 *
 * What an event is worth
 *   .spt   the header, and each block of at most 64 rows, carry a CRC-32C of their own: whatever is
 *          handed out was checked before.
 *   text   rows are handed out as they come; the one CRC-32C stands at the end.  Until
 *          BORELAY_END is there nothing is proved: a machine reads the whole text once to check it
 *          and a second time to run it, or takes a .spt.
 * A CRC guards against accident, not intent.  A stream that reads well has not been run on any
 * machine: local codes, the qualified procedure and licensed practice decide. */
#ifndef BORELAY_READER_H
#define BORELAY_READER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

enum borelay_event {
  BORELAY_MORE,   /* all bytes are taken; push the next ones */
  BORELAY_TEXT,   /* a string of the header, or a part of one: reader->text */
  BORELAY_HEADER, /* the header is whole: reader->header */
  BORELAY_ROW,    /* reader->row */
  BORELAY_END,    /* the stream is whole; a byte more would be an error */
  BORELAY_ERROR   /* reader->error, and where; from here on always this */
};

enum borelay_mode { BORELAY_WELD, BORELAY_REHEARSAL, BORELAY_RESUME };

enum borelay_phase {
  BORELAY_MOVE,
  BORELAY_TOUCH, /* the controller finds the wall here; its time may stand still */
  BORELAY_PREFLOW,
  BORELAY_UPSLOPE,
  BORELAY_WELD_PHASE,
  BORELAY_DOWNSLOPE,
  BORELAY_POSTFLOW,
  BORELAY_WAIT, /* it may hold here until released; its time may stand still */
  BORELAY_PHASE_COUNT
};

/* Every error with what it means, for whoever wants a table of texts: BORELAY_ERRORS(X). */
#define BORELAY_ERRORS(X)                                                                          \
  X(BORELAY_OK, "no error")                                                                        \
  X(BORELAY_ERROR_KIND, "this is not a borelay stream")                                            \
  X(BORELAY_ERROR_VERSION, "the stream is of a version that this reader does not know")            \
  X(BORELAY_ERROR_HEADER_LINE, "a header line is not known, or not the one that stands here")      \
  X(BORELAY_ERROR_SYNTAX, "a line is not written as the format asks")                              \
  X(BORELAY_ERROR_NUMBER, "a number is not written as the format asks")                            \
  X(BORELAY_ERROR_RANGE, "a value is out of the range that the format allows")                     \
  X(BORELAY_ERROR_HEADER, "two lines of the header contradict one another")                        \
  X(BORELAY_ERROR_HEADER_CRC, "the header's CRC-32C does not match its bytes")                     \
  X(BORELAY_ERROR_BLOCK, "this is neither a block nor the end")                                    \
  X(BORELAY_ERROR_BLOCK_CRC, "the block's CRC-32C does not match its bytes")                       \
  X(BORELAY_ERROR_BLOCK_ORDER, "the block is not the next one of this stream")                     \
  X(BORELAY_ERROR_TIME, "the row's time is not its number times the tick")                         \
  X(BORELAY_ERROR_PHASE, "the row's phase cannot follow the one before")                           \
  X(BORELAY_ERROR_ARC, "arc, current or voltage cannot be so in this phase or mode")               \
  X(BORELAY_ERROR_WIRE, "wire or wire current cannot be so in this phase or mode")                 \
  X(BORELAY_ERROR_GAS, "gas cannot be so in this phase or mode")                                   \
  X(BORELAY_ERROR_AVC, "voltage control cannot be so in this phase or mode")                       \
  X(BORELAY_ERROR_LABEL, "overlay, layer, lap and line cannot be so here")                         \
  X(BORELAY_ERROR_LAST_ROW, "the last row leaves the arc, the gas or the wire on")                 \
  X(BORELAY_ERROR_ROWS, "there are more rows or fewer than the header says")                       \
  X(BORELAY_ERROR_CRC, "the stream's CRC-32C does not match its bytes")                            \
  X(BORELAY_ERROR_TRAILING, "something follows the end")                                           \
  X(BORELAY_ERROR_TRUNCATED, "the stream breaks off before its end")

#define BORELAY_ENUMERATOR(name, text) name,
enum borelay_error { BORELAY_ERRORS(BORELAY_ENUMERATOR) BORELAY_ERROR_COUNT };
#undef BORELAY_ENUMERATOR

/* A setpoint.  Whole numbers in the unit of the text stream's last decimal. */
struct borelay_row {
  uint64_t index;           /* from 0 */
  uint64_t t_us;            /* index * tick */
  int64_t x_nm, y_nm, z_nm; /* 0.000001 mm; H in the cell frame; |.| < 2^47 */
  int64_t head_udeg;        /* 0.000001 deg; 0 along +X, anticlockwise positive, never wrapped */
  int32_t wire_um_s;        /* 0.001 mm/s; negative while drawn back */
  uint32_t current_100ma;   /* 0.1 A; < 2^24 */
  uint32_t wire_current_100ma;
  uint32_t voltage_10mv;              /* 0.01 V; < 2^24 */
  uint32_t overlay, layer, lap, line; /* from 1; all 0 after the last postflow */
  uint8_t phase;                      /* enum borelay_phase */
  bool arc, gas, avc;
};

/* What the header says, but for its strings. */
struct borelay_header {
  uint64_t rows;
  uint64_t duration_us; /* (rows - 1) * tick */
  uint32_t tick_us;     /* 1000 .. 100000 */
  uint8_t mode;         /* enum borelay_mode: look at it before anything moves */
  bool binary;
  int64_t head_end_udeg;
  int64_t reach_nm, drop_nm, correction_nm; /* tip = H + reach (cos head, sin head) and -drop */
  int64_t datum_x_nm, datum_y_nm, datum_z_nm, datum_turned_udeg;
  uint8_t source_sha256[32], cell_sha256[32];
  uint32_t procedures, overlays, files; /* how many of each */
  uint64_t text_from, text_to; /* offsets of the header lines in the stream, the line of column
                                  names not counted */
};

enum borelay_field {
  BORELAY_JOB_TITLE,
  BORELAY_JOB_PART,
  BORELAY_JOB_REVISION,
  BORELAY_CELL_NAME,
  BORELAY_PROCEDURE_NAME,
  BORELAY_PROCEDURE_WPS,
  BORELAY_PROCEDURE_FILLER,
  BORELAY_OVERLAY_NAME,
  BORELAY_OVERLAY_FILE, /* no string: value is the file's number */
  BORELAY_FILE_NAME
};

/* A string of the header.  Strings have any length: a long one comes in parts, `more` on all but
 * the last.  An empty string comes as one part of length 0.  Escapes (\" \\ \n) stand as written.
 * In a .spt they are proved no sooner than the BORELAY_HEADER that follows them all. */
#define BORELAY_TEXT_PART 64
struct borelay_text {
  uint8_t field;   /* enum borelay_field */
  bool more;       /* another part follows */
  uint8_t length;  /* of this part, bytes; no NUL follows */
  uint32_t number; /* which procedure, overlay or file, from 1; else 1 */
  uint32_t value;  /* BORELAY_OVERLAY_FILE only */
  char bytes[BORELAY_TEXT_PART];
};

#define BORELAY_BLOCK_ROWS  64
#define BORELAY_RECORD_SIZE 40
#define BORELAY_BLOCK_HEAD  36

/* About 3 KiB.  The first members are for the caller to read, the rest is the library's own. */
struct borelay_reader {
  struct borelay_header header; /* from BORELAY_HEADER on */
  struct borelay_row row;       /* of the last BORELAY_ROW */
  struct borelay_text text;     /* of the last BORELAY_TEXT */
  enum borelay_error error;
  uint64_t error_at;  /* offset in bytes: of the byte, or of the line, record or block, at fault */
  uint64_t error_row; /* rows handed out before it, which is the number of the row being read */

  struct {
    uint64_t at;                      /* bytes taken */
    uint64_t place;                   /* where the present line, record or block begins */
    uint64_t rows;                    /* rows handed out */
    uint64_t value;                   /* of the field being read */
    int64_t figure[17];               /* of the fields of the line that are read */
    uint32_t crc;                     /* of the bytes so far: of the text; of the .spt's header */
    uint32_t line_crc;                /* text: before the present line */
    uint32_t header_crc, chain;       /* .spt: chain is over the CRCs so far */
    uint32_t header_left;             /* .spt: bytes of header lines still to come */
    uint32_t files_named;             /* largest file number that an overlay names */
    uint32_t filled, wanted;          /* bytes of block[] */
    uint32_t block_rows, given;       /* rows in block[], and how many of them are handed out */
    uint8_t state, line, step, field; /* where in the stream, the grammar, the line */
    uint8_t digits, places;           /* of the field being read; places: 1 more than there are */
    bool negative, opened, escaped;
    bool may_skip;       /* the line need not stand another time */
    bool is_past_labels; /* a row with overlay 0 was there */
    uint8_t phase;       /* of the row before */
    uint8_t block[BORELAY_BLOCK_HEAD + BORELAY_BLOCK_ROWS * BORELAY_RECORD_SIZE + 4];
  } own;
};

/* Before anything else, and again before another stream. */
void borelay_reader_begin(struct borelay_reader *reader);

/* Takes bytes until there is something to tell.  *bytes and *length are moved past what was taken;
 * call again with the same two until it says BORELAY_MORE, then with the next bytes.  Never reads
 * past *length, never waits. */
enum borelay_event borelay_reader_next(struct borelay_reader *reader, const uint8_t **bytes,
                                       size_t *length);

/* No more bytes will come: BORELAY_END if the stream was whole, else BORELAY_ERROR. */
enum borelay_event borelay_reader_finish(struct borelay_reader *reader);

#ifdef __cplusplus
}
#endif

#endif
