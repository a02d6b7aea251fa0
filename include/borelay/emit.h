/* emit.h - what the compiler gives out: the stream, the summary, the table, the make rule.
 *
 * Nothing here decides anything; it writes down what the stages before have found.  Layouts:
 * docs/stream-format.md. */
#ifndef BORELAY_EMIT_H
#define BORELAY_EMIT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "borelay/check.h"
#include "borelay/diag.h"
#include "borelay/job.h"
#include "borelay/motion.h"
#include "borelay/plan.h"
#include "borelay/source.h"
#include "borelay_reader.h"

struct resolver;

/* What the stages have made.  sources and diags are always there; from the first stage that
 * refused the job onward the rest is NULL (a verdict that failed is there, and so are its motion
 * and plan). */
struct outcome {
  const struct source_set *sources;
  struct diag_list *diags;
  struct resolver *resolver; /* for declared_make(); NULL where the file could not be read */
  const struct job *job;
  const struct plan *plan;
  const struct motion *motion;
  const struct verdict *verdict;
};

/* True when the whole way was gone and nothing was refused. */
bool outcome_passed(const struct outcome *outcome);

/* -- files that appear whole or not at all -------------------------------------------------- */

/* Bytes gather in one buffer.  They go to a file without a name where the file system has such,
 * else to a hidden one beside the target; commit syncs it, gives it the target's name in one step
 * and syncs the folder.  Until then whatever stood at path still stands there.  A path of "-" is
 * standard output; a device or a pipe is written straight.  After a first failure everything is
 * passed over; error keeps its errno.  */
struct outfile {
  const char *path; /* as given, for messages */
  char *target; /* where it will lie (a symbolic link is followed); NULL when written straight */
  char *hidden; /* a file of ours that still has to be renamed or removed; NULL: none */
  bool is_named, replaces; /* it has its target's name; something else had it before */
  char *before;            /* a second name of that, while several files are named; NULL: none */
  int fd;                  /* -1: closed */
  int folder;              /* descriptor of the target's folder; -1: none */
  char *buffer;
  size_t used;
  bool unsummed;   /* nobody will ask for the CRC: it is not worked out */
  uint32_t crc32c; /* of the bytes that have left the buffer */
  int error;       /* 0: all is well */
};

/* False: error is set, and abandon is still to be called. */
bool outfile_open(struct outfile *file, const char *path);
/* A stretch of at least `room` bytes (at most 64 KiB) to write into, then outfile_took(). */
char *outfile_room(struct outfile *file, size_t room);
void outfile_took(struct outfile *file, size_t bytes);
void outfile_put(struct outfile *file, const char *bytes, size_t length);
/* Bytes whose CRC-32C is known (any, where the file is unsummed): past the buffer, which is emptied
 * first, and not looked at again. */
void outfile_pass(struct outfile *file, const char *bytes, size_t length, uint32_t crc32c);
void outfile_text(struct outfile *file, const char *text);
void outfile_format(struct outfile *file, const char *format, ...)
    __attribute__((format(printf, 2, 3))); /* at most 1 KiB; whole numbers and texts */
/* CRC-32C of all bytes so far; empties the buffer. */
uint32_t outfile_crc32c(struct outfile *file);
/* Everything out of the buffer and onto the disk, still without a name.  False: error is set. */
bool outfile_sync(struct outfile *file);
/* The same, and then gives the name.  False: error is set, and nothing of ours is left beside the
 * target. */
bool outfile_commit(struct outfile *file);
/* The same for several that belong together, the last one first; all are synced beforehand, and
 * those that were never opened (fd -1) are passed over.  Gives `count`; or the index of one that
 * could not get its name: then none has it, and what stood at their targets stands there again. */
size_t outfiles_commit(struct outfile *files, size_t count);
/* Leaves nothing behind; after a commit it only frees.  Harmless when called twice. */
void outfile_abandon(struct outfile *file);

/* Whole texts that belong together: all of them appear, or none does.  0; or errno, and *failed is
 * the path of the one that could not be written. */
struct output {
  const char *path; /* as outfile_open() takes it */
  const char *bytes;
  size_t length;
};
int outputs_write(const struct output *outputs, size_t count, const char **failed);

/* -- the outputs ---------------------------------------------------------------------------- */

/* A path that ends in .spt is written as a binary stream. */
bool stream_is_binary(const char *path);

/* The stream of a job that passed: header, a row a tick, end.  Memory does not grow with the rows.
 * hands: threads that make rows, the same bytes however many; 0: as many as there are processors
 * where the stream is long, else one; more than STREAM_HANDS_MOST count as so many.
 * progress: where to show how far it is; NULL: nowhere. */
enum { STREAM_HANDS_MOST = 16 };
void stream_write(const struct outcome *outcome, struct outfile *to, bool binary, size_t hands,
                  FILE *progress);

/* The same from rows that stand elsewhere.  header: its lines, from `# borelay setpoints` to the
 * last `# file`, that agree with the rows to come; it is not kept.  NULL: no memory, to->error is
 * set.  Rows come in order, from the first to the last, with figures in the ranges of
 * docs/stream-format.md; end writes what follows the last and frees.  Failures are to->error. */
struct stream_writer;
struct stream_writer *stream_writer_new(struct outfile *to, bool binary, const char *header,
                                        size_t length);
void stream_writer_row(struct stream_writer *writer, const struct borelay_row *row);
void stream_writer_end(struct stream_writer *writer);

/* The summary, JSON and a newline.  Any outcome.  The caller frees.  Without memory the process
 * ends with status 3: no output file may be open then. */
char *summary_text(const struct outcome *outcome);

/* The table for people; lines of at most 100 columns unless a name is longer.  Any outcome with a
 * job.  outputs: the paths written, told at the end; may be empty. */
void table_print(const struct outcome *outcome, const char *const *outputs, size_t output_count,
                 FILE *to);

/* One line about a job among many: its path, the verdict, how long it takes, where its stream lies
 * (output; NULL: none). */
void brief_print(const struct outcome *outcome, const char *job_path, const char *output, FILE *to);

/* A make rule: target depends on the streams, then on every file that was read as a source, the job
 * file first; the caller frees.  Members that are NULL are passed over, but for target.  Without
 * memory the process ends with status 3. */
struct depfile {
  const char *target;
  const char *streams[2];
  const struct source_set *sources[2];
};
char *depfile_text(const struct depfile *rule);

/* The table of checks, in their order. */
struct check_info {
  const char *name;    /* "axis-speed" */
  enum diag_code code; /* told where it does not hold */
  const char *holds;   /* "holds when ...", one line */
};
size_t check_info_count(void);
struct check_info check_info_get(size_t index);

/* Every check that does not hold becomes an error at its place, with a note where layers or overlap
 * of an overlay were chosen without regard to it.  plan: NULL: nothing was chosen. */
void refusal_tell(const struct verdict *verdict, const struct plan *plan, struct diag_list *diags);

#endif
