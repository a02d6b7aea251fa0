/* What of a command line goes together. */
#include "command/asked.h"

static enum status check_output(const struct request *request) {
  if (request->command == COMMAND_CHECK)
    return request->output ? wrong_use("check", "check writes no stream; -o goes with compile")
                           : STATUS_DONE;
  if (!request->output)
    return wrong_use("compile", "compile wants -o OUT, where the stream goes, or -d DIR");
  if (!is_stream_name(request->output))
    return wrong_use("compile", "%s: OUT ends in .csv or .spt, or is - for standard output",
                     request->output);
  return STATUS_DONE;
}

enum status asked_folder(const struct asked *asked) {
  const struct request *request = &asked->request;
  const struct batch *batch = &asked->batch;
  if (!batch->folder) {
    if (batch->binary || batch->summaries || batch->sarifs || batch->depfiles)
      return wrong_use("compile", "%s goes with -d DIR",
                       batch->binary      ? "--binary"
                       : batch->summaries ? "--summaries"
                       : batch->sarifs    ? "--sarifs"
                                          : "--depfiles");
    if (asked->has_hands && request->command == COMMAND_CHECK)
      return wrong_use("check", "check writes no stream; --jobs goes with compile");
    return STATUS_DONE;
  }
  if (request->command == COMMAND_CHECK)
    return wrong_use("check", "check writes no stream; -d goes with compile");
  if (request->output || request->summary || request->sarif || request->depfile || request->json ||
      request->resume)
    return wrong_use("compile", "-d DIR takes the place of %s",
                     request->output    ? "-o"
                     : request->summary ? "--summary (see --summaries)"
                     : request->sarif   ? "--sarif (see --sarifs)"
                     : request->depfile ? "--depfile (see --depfiles)"
                     : request->json    ? "--json (see --summaries)"
                                        : "--resume, which is for one job");
  return STATUS_DONE;
}

enum status asked_places(const struct request *request, const char *command) {
  enum status status = check_output(request);
  if (status != STATUS_DONE)
    return status;
  const char *const paths[] = {request->job_path, request->output,  request->summary,
                               request->sarif,    request->depfile, request->json ? "-" : NULL};
  return named_once(command, paths, sizeof paths / sizeof paths[0]);
}

enum status asked_kind(const struct request *request, const char *command) {
  if (request->command != COMMAND_COMPILE && (request->rehearse || request->resume))
    return wrong_use(command, "%s is for compile", request->resume ? "--resume" : "--rehearse");
  if (request->times > 0 && !request->rehearse)
    return wrong_use(command, "--times goes with --rehearse: a weld has its own speed");
  if (request->rehearse && request->resume)
    return wrong_use(command, "--rehearse and --resume exclude each other");
  return STATUS_DONE;
}
