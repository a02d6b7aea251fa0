/* convert.h - from a text stream to a binary one and back. */
#ifndef BORELAY_CONVERT_H
#define BORELAY_CONVERT_H

enum convert_end {
  CONVERT_DONE,
  CONVERT_WRONG_STREAM, /* in is no whole, right stream */
  CONVERT_FILE_FAILED   /* or the machine has no memory left */
};

/* Reads a stream of either kind and writes it: as a binary one where out ends in .spt, else as
 * text ("-": to standard output).  What is written is byte for byte what compiling to out gives.
 * out appears whole or not at all.  Tells on standard error what is wrong. */
enum convert_end convert_stream(const char *in, const char *out);

#endif
