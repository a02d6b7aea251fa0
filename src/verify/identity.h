/* identity.h - whether a stream's header is the one of this job: docs/stream-format.md. */
#ifndef VERIFY_IDENTITY_H
#define VERIFY_IDENTITY_H

#include "verify/judge.h"

/* header: the stream's header lines. */
void identity_judge(struct judge *judge, const struct source_set *sources,
                    const struct borelay_header *header, const char *lines, size_t length);

#endif
