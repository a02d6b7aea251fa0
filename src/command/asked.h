/* asked.h - what the command line of check or compile says, and whether it goes together. */
#ifndef BORELAY_ASKED_H
#define BORELAY_ASKED_H

#include "command/batch.h"
#include "command/resume_option.h"

/* What the command line says. */
struct asked {
  struct request request;
  struct resume_option resume;
  struct batch batch;
  bool has_hands;
};

/* Each tells what is at fault and gives STATUS_WRONG_USE. */
/* What goes with a folder for many jobs, and what only with one job. */
enum status asked_folder(const struct asked *asked);
/* One job: where its outputs go.  Two in one place, or one over the job file, would destroy what
 * somebody wanted. */
enum status asked_places(const struct request *request, const char *command);
/* What only a stream can be. */
enum status asked_kind(const struct request *request, const char *command);

#endif
