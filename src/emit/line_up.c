/* line_up.c - hands take the next part each, in order, and make it; parts go out in order, too.
 *
 * Whoever has finished a part lays it down and takes the next one; it waits for nobody unless all
 * room is taken up by parts that wait for their turn.  Whoever lays down the part whose turn it is
 * writes it, and those behind it that lie there already: nothing is copied, and while one writes
 * the others make rows.  Memory grows with the hands and not with the rows.  A part taken is laid
 * down whatever happens, so that nobody waits for ever; after a failure it is passed over. */
#include "emit/line_up.h"

#include <errno.h>
#include <malloc.h>
#include <pthread.h>
#include <stdlib.h>

#include "borelay/crew.h"
#include "emit/part.h"

enum {
  PARTS_SPARE = 2, /* more than hands, so that one may be ahead of another */
  PARTS_MOST = STREAM_HANDS_MOST + PARTS_SPARE,
  PROGRESS_ROWS = 1 << 16,
  ROWS_FOR_MANY = 1 << 18 /* some milliseconds; a thread costs a tenth of one */
};

static void show_progress(FILE *progress, uint64_t row, int64_t rows) {
  fprintf(progress, "\rwriting rows: %3d %%", (int)(100.0 * (double)row / (double)rows));
  fflush(progress);
}

struct room { /* for a part */
  struct part *part;
  size_t hand; /* that makes parts there if it can, so that its memory is near it */
};

struct line_up {
  const struct motion *motion;
  struct stream_writer *writer; /* whoever is writing may touch it */
  FILE *progress;
  uint64_t shown;
  pthread_mutex_t taking;
  struct part_source source;
  uint64_t taken;          /* parts so far */
  pthread_mutex_t passing; /* for all that follows */
  pthread_cond_t has_room;
  struct room free[PARTS_MOST]; /* that nobody needs */
  size_t free_count;
  struct room laid[PARTS_MOST]; /* finished parts, by their number modulo PARTS_MOST */
  uint64_t turn;                /* number of the part that goes out next */
  bool writing;                 /* a hand is, without the lock */
  bool failed;                  /* no more parts are wanted */
};

static void room_give(struct line_up *line, struct room room) {
  line->free[line->free_count++] = room;
  pthread_cond_signal(&line->has_room);
}

/* Waits until there is one; if it can be, one of the hand's own. */
static struct room room_get(struct line_up *line, size_t hand) {
  pthread_mutex_lock(&line->passing);
  while (line->free_count == 0)
    pthread_cond_wait(&line->has_room, &line->passing);
  size_t chosen = line->free_count - 1;
  for (size_t i = 0; i < line->free_count; i++)
    if (line->free[i].hand == hand)
      chosen = i;
  struct room room = line->free[chosen];
  line->free[chosen] = line->free[--line->free_count];
  pthread_mutex_unlock(&line->passing);
  room.hand = hand;
  return room;
}

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

/* The part whose turn it is; false: it does not lie there. */
static bool next_laid(struct line_up *line, struct room *room) {
  struct room *at = &line->laid[line->turn % PARTS_MOST];
  *room = *at;
  at->part = NULL;
  return room->part != NULL;
}

/* False: the stream has failed. */
static bool lay_down(struct line_up *line, struct room room, uint64_t number) {
  pthread_mutex_lock(&line->passing);
  line->laid[number % PARTS_MOST] = room;
  while (!line->writing && next_laid(line, &room)) {
    line->writing = true;
    pthread_mutex_unlock(&line->passing);
    pass_on(line, room.part);
    pthread_mutex_lock(&line->passing);
    line->writing = false;
    line->failed = line->writer->to->error != 0;
    line->turn++;
    room_give(line, room);
  }
  bool goes_on = !line->failed;
  pthread_mutex_unlock(&line->passing);
  return goes_on;
}

static void make_parts(void *context, size_t hand) {
  struct line_up *line = context;
  const struct stream_writer *writer = line->writer;
  struct part_maker maker;
  part_maker_begin(&maker, line->motion, writer->binary, writer->spt.header_crc);
  uint64_t number;
  for (bool goes_on = true; goes_on;) {
    struct room room = room_get(line, hand);
    if (take_part(line, room.part, &number)) {
      part_make(&maker, room.part);
      goes_on = lay_down(line, room, number);
    } else {
      pthread_mutex_lock(&line->passing);
      room_give(line, room);
      pthread_mutex_unlock(&line->passing);
      return;
    }
  }
}

static size_t hands_for(const struct motion *motion, size_t wanted) {
  size_t hands = wanted;
  if (hands == 0)
    hands = motion->ticks < ROWS_FOR_MANY ? 1 : crew_hands();
  return hands < STREAM_HANDS_MOST ? hands : STREAM_HANDS_MOST;
}

/* Room for the parts that so many hands want; NULL: no memory. */
static struct part *room_make(struct line_up *line, size_t hands) {
  size_t count = hands > 1 ? hands + PARTS_SPARE : 1;
  struct part *parts = malloc(count * sizeof *parts);
  for (; parts && line->free_count < count; line->free_count++)
    line->free[line->free_count] =
        (struct room){&parts[line->free_count], line->free_count % hands};
  return parts;
}

/* A heap of its own for a thread, with its first allocation, takes a tenth of a millisecond while
 * others wait for it. */
static void run(struct line_up *line, size_t hands) {
  if (hands > 1)
    mallopt(M_ARENA_MAX, 1);
  crew_run(hands, hands, make_parts, line);
}

void line_up_run(struct stream_writer *writer, const struct motion *motion, size_t wanted,
                 FILE *progress) {
  struct line_up line = {.motion = motion,
                         .writer = writer,
                         .progress = progress,
                         .taking = PTHREAD_ADAPTIVE_MUTEX_INITIALIZER_NP,
                         .passing = PTHREAD_ADAPTIVE_MUTEX_INITIALIZER_NP};
  size_t hands = hands_for(motion, wanted);
  struct part *parts = room_make(&line, hands);
  if (!parts && hands > 1) /* perhaps for one */
    parts = room_make(&line, hands = 1);
  if (!parts && !writer->to->error)
    writer->to->error = ENOMEM;
  pthread_cond_init(&line.has_room, NULL);
  part_source_begin(&line.source, motion, writer->binary);
  if (!writer->to->error)
    run(&line, hands);
  part_source_end(&line.source);
  pthread_cond_destroy(&line.has_room);
  pthread_mutex_destroy(&line.passing);
  pthread_mutex_destroy(&line.taking);
  free(parts);
  if (progress)
    fputs("\r                   \r", progress);
}
