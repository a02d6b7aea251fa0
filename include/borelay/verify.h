/* verify.h - judges a stream against its job from the stream's own rows.
 *
 * Shares the language, the resolved job and the stream reader with the compiler, and nothing of
 * shapes, plan, motion and checks.  What is decided, how, and what rounding adds: docs/verify.md.
 */
#ifndef BORELAY_VERIFY_H
#define BORELAY_VERIFY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "borelay_reader.h"

struct sarif;

struct verify_request {
  const char *stream_path; /* "-": standard input */
  const char *job_path;
  const char **settings; /* texts of --set */
  size_t setting_count;
  enum borelay_mode mode; /* what the stream is taken for */
  bool json, quiet;
  bool wordless;       /* nothing on standard output, which is for something else */
  FILE *summary;       /* gets the JSON once the whole stream is judged; NULL: not asked for */
  struct sarif *sarif; /* gathers what is told; NULL: nobody asked for that */
};

enum verify_end { VERIFY_HOLDS, VERIFY_FAULTY, VERIFY_FILE_FAILED };

/* The table or the JSON summary goes to standard output, faults and messages to standard error. */
enum verify_end verify_stream(const struct verify_request *request);

#endif
