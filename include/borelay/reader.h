/* reader.h - what the program itself asks of the reader library beside borelay_reader.h: rows by
 * the dozen.  Not part of the library for controllers. */
#ifndef BORELAY_PROGRAM_READER_H
#define BORELAY_PROGRAM_READER_H

#include "borelay_reader.h"

/* After BORELAY_ROW: rows that follow and differ from the one before by time and place alone, as
 * calls of borelay_reader_next would hand them out one by one; the last is in reader->row.  Returns
 * how many, at most `room`; 0 says nothing of what follows.  *bytes and *length are moved past what
 * was taken. */
size_t borelay_reader_more(struct borelay_reader *reader, const uint8_t **bytes, size_t *length,
                           struct borelay_row *rows, size_t room);

#endif
