/* line_up.c - hands take the next part each, in order, make it, and pass it on when all before it
 * have been.
 *
 * Each hand has room for one part, and writes that itself: nothing is copied, and while one writes
 * the others make rows.  Memory grows with the hands and not with the rows.  A part taken is passed
 * on whatever happens, so that nobody waits for ever; after a failure it is passed on unwritten. */
#include "emit/line_up.h"

#include <errno.h>
#include <pthread.h>

#include "borelay/crew.h"
#include "emit/part.h"

enum {
  PROGRESS_ROWS = 1 << 16,
  ROWS_FOR_MANY = 1 << 18 /* some milliseconds; a thread costs a tenth of one */
};

static void show_progress(FILE *progress, uint64_t row, int64_t rows) {
  fprintf(progress, "\rwriting rows: %3d %%", (int)(100.0 * (double)row / (double)rows));
  fflush(progress);
}

struct line_up {
  const struct motion *motion;
  struct stream_writer *writer; /* whoever's turn it is may touch it */
  FILE *progress;
  uint64_t shown;
  struct part *parts[STREAM_HANDS_MOST]; /* one for each hand */
  pthread_mutex_t taking;
  struct part_source source;
  uint64_t taken; /* parts so far */
  pthread_mutex_t passing;
  pthread_cond_t next_turn;
  uint64_t turn; /* number of the part that is to be passed on next */
};

static bool take_part(struct line_up *line, struct part *part, uint64_t *number) {
  pthread_mutex_lock(&line->taking);
  bool any = part_take(part, &line->source);
  *number = line->taken;
  line->taken += any;
  pthread_mutex_unlock(&line->taking);
  return any;
}

static void pass_on(struct line_up *line, const struct part *part) {
  struct stream_writer *writer = line->writer;
  struct outfile *to = writer->to;
  if (part->error && !to->error)
    to->error = part->error;
  if (to->error)
    return;
  if (writer->binary)
    spt_pass(&writer->spt, &part->spt, part->bytes, part->length);
  else
    outfile_pass(to, part->bytes, part->length, part->crc32c);
  if (to->error)
    return;
  writer->rows += (uint64_t)part->rows;
  if (line->progress && writer->rows >= line->shown) {
    show_progress(line->progress, writer->rows, line->motion->ticks + 1);
    line->shown = writer->rows + PROGRESS_ROWS;
  }
}

/* False: the stream has failed, and no more parts are wanted. */
static bool pass_in_turn(struct line_up *line, const struct part *part, uint64_t number) {
  pthread_mutex_lock(&line->passing);
  while (line->turn != number)
    pthread_cond_wait(&line->next_turn, &line->passing);
  pass_on(line, part);
  line->turn++;
  bool goes_on = !line->writer->to->error;
  pthread_cond_broadcast(&line->next_turn);
  pthread_mutex_unlock(&line->passing);
  return goes_on;
}

static void make_parts(void *context, size_t hand) {
  struct line_up *line = context;
  struct part *part = line->parts[hand];
  uint64_t number;
  bool goes_on = true;
  while (goes_on && take_part(line, part, &number)) {
    part_make(part);
    goes_on = pass_in_turn(line, part, number);
  }
}

static size_t hands_for(const struct motion *motion, size_t wanted) {
  size_t hands = wanted;
  if (hands == 0)
    hands = motion->ticks < ROWS_FOR_MANY ? 1 : crew_hands();
  return hands < STREAM_HANDS_MOST ? hands : STREAM_HANDS_MOST;
}

void line_up_run(struct stream_writer *writer, const struct motion *motion, size_t wanted,
                 FILE *progress) {
  struct line_up line = {.motion = motion, .writer = writer, .progress = progress};
  size_t hands = hands_for(motion, wanted), made = 0;
  for (; made < hands; made++)
    if (!(line.parts[made] = part_new(motion, writer->binary, writer->spt.header_crc)))
      break;
  if (made == 0)
    writer->to->error = writer->to->error ? writer->to->error : ENOMEM;
  pthread_mutex_init(&line.taking, NULL);
  pthread_mutex_init(&line.passing, NULL);
  pthread_cond_init(&line.next_turn, NULL);
  part_source_begin(&line.source, motion);
  if (!writer->to->error)
    crew_run(made, made, make_parts, &line);
  part_source_end(&line.source);
  pthread_cond_destroy(&line.next_turn);
  pthread_mutex_destroy(&line.passing);
  pthread_mutex_destroy(&line.taking);
  for (size_t i = 0; i < made; i++)
    part_free(line.parts[i]);
  if (progress)
    fputs("\r                   \r", progress);
}
