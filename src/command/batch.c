/* Many jobs, several at once.
 *
 * Each job is compiled as if alone, with its words and messages kept until all before it have been
 * told: what a user or a build reads does not depend on which was ready first. */
#include "command/batch.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "borelay/crew.h"

struct turn { /* one job of the batch */
  struct request request;
  char *output, *summary, *sarif, *depfile;
  char *words, *messages;
  enum status status;
};

static enum status no_memory(void) {
  fputs("borelay: out of memory\n", stderr);
  return STATUS_FILE_FAILED;
}

/* folder/name.ending, where name is the job file's without `.lay`. */
static char *place_of(const char *folder, const char *job_path, const char *ending) {
  const char *slash = strrchr(job_path, '/');
  const char *name = slash ? slash + 1 : job_path;
  size_t length = strlen(name);
  if (length > 4 && strcmp(name + length - 4, ".lay") == 0)
    length -= 4;
  size_t room = strlen(folder) + length + strlen(ending) + 2;
  char *place = malloc(room);
  if (place)
    snprintf(place, room, "%s/%.*s%s", folder, (int)length, name, ending);
  return place;
}

static bool turn_begin(const struct batch *batch, char *job_path, struct turn *turn) {
  turn->request = *batch->common;
  turn->output = place_of(batch->folder, job_path, batch->binary ? ".spt" : ".csv");
  turn->summary = batch->summaries ? place_of(batch->folder, job_path, ".json") : NULL;
  turn->sarif = batch->sarifs ? place_of(batch->folder, job_path, ".sarif") : NULL;
  turn->depfile = batch->depfiles ? place_of(batch->folder, job_path, ".d") : NULL;
  turn->request.job_path = job_path;
  turn->request.output = turn->output;
  turn->request.summary = turn->summary;
  turn->request.sarif = turn->sarif;
  turn->request.depfile = turn->depfile;
  turn->request.brief = true;
  turn->request.hands = 1; /* the processors have other jobs */
  return turn->output && (turn->summary || !batch->summaries) && (turn->sarif || !batch->sarifs) &&
         (turn->depfile || !batch->depfiles);
}

static void turn_end(struct turn *turn) {
  free(turn->output);
  free(turn->summary);
  free(turn->sarif);
  free(turn->depfile);
  free(turn->words);
  free(turn->messages);
}

static void take_turn(void *context, size_t index) {
  struct turn *turn = (struct turn *)context + index;
  size_t lengths[2];
  FILE *words = open_memstream(&turn->words, &lengths[0]);
  FILE *messages = open_memstream(&turn->messages, &lengths[1]);
  if (words && messages) {
    turn->request.words = words;
    turn->request.messages = messages;
    turn->status = pipeline_run(&turn->request);
  } else {
    turn->status = STATUS_FILE_FAILED;
  }
  if (words)
    fclose(words);
  if (messages)
    fclose(messages);
}

static enum status tell(const struct turn *turn) {
  if (!turn->words || !turn->messages)
    return no_memory();
  fputs(turn->messages, stderr);
  fputs(turn->words, stdout);
  enum status status = end_of_words();
  return status > turn->status ? status : turn->status;
}

/* Two jobs of one name would overwrite one another. */
static const struct turn *find_clash(const struct turn *turns, size_t count) {
  for (size_t i = 1; i < count; i++)
    for (size_t k = 0; k < i; k++)
      if (strcmp(turns[i].output, turns[k].output) == 0)
        return &turns[i];
  return NULL;
}

static enum status run_turns(const struct batch *batch, struct turn *turns) {
  enum status gravest = STATUS_DONE;
  const struct turn *clash = find_clash(turns, batch->count);
  if (clash)
    return wrong_use("compile", "two jobs would be written to %s", clash->output);
  if (mkdir(batch->folder, 0777) != 0 && errno != EEXIST) {
    fprintf(stderr, "borelay: cannot make folder %s: %s\n", batch->folder, strerror(errno));
    return STATUS_FILE_FAILED;
  }
  crew_run(batch->hands, batch->count, take_turn, turns);
  for (size_t i = 0; i < batch->count; i++) {
    enum status status = tell(&turns[i]);
    gravest = status > gravest ? status : gravest;
  }
  return gravest;
}

enum status batch_run(const struct batch *batch) {
  struct turn *turns = calloc(batch->count, sizeof *turns);
  bool is_made = turns;
  for (size_t i = 0; is_made && i < batch->count; i++)
    is_made = turn_begin(batch, batch->jobs[i], &turns[i]);
  enum status status = is_made ? run_turns(batch, turns) : no_memory();
  for (size_t i = 0; turns && i < batch->count; i++)
    turn_end(&turns[i]);
  free(turns);
  return status;
}
