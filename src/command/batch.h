/* batch.h - many jobs compiled into one folder. */
#ifndef BORELAY_BATCH_H
#define BORELAY_BATCH_H

#include "command/command.h"

struct batch {
  const struct request *common; /* what holds for every job */
  char **jobs;                  /* their paths */
  size_t count;
  const char *folder; /* made where it is missing */
  bool binary, summaries, sarifs, depfiles;
  size_t hands; /* threads */
};

/* What is told of each job stands in the order of the jobs, whichever was ready first.  A refused
 * job does not stop the others.  The status is the gravest of all. */
enum status batch_run(const struct batch *batch);

#endif
