/* serve-editor: job files in an editor. */
#include <unistd.h>

#include "borelay/editor.h"
#include "command/command.h"

static const char HELP_SERVE_EDITOR[] =
    "borelay serve-editor\n"
    "\n"
    "Speaks the Language Server Protocol (3.17) on standard input and output, for an editor that\n"
    "starts it: diagnostics while a job is written, what a key or a name means, what may stand\n"
    "next, declarations, the outline, the canonical layout. Exit status: 0 after shutdown and\n"
    "exit, 1 when it ends without being asked to shut down.\n"
    "\n"
    "  --stdio             taken and passed over, as some editors add it\n"
    "  --help              this text\n"
    "  --version           the version of this program\n";

static const struct option OPTIONS[] = {{"stdio", no_argument, NULL, OPTION_STDIO},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

static void examine(struct arena *arena, struct source_set *sources, const char *path, bool whole,
                    struct outcome *outcome) {
  pipeline_examine(arena, sources, path, NULL, 0, whole ? UP_TO_WORDS : UP_TO_PLAN, NULL, outcome);
}

enum status serve_editor_command(int count, char **arguments, const char **settings) {
  (void)settings;
  int code;
  while ((code = getopt_long(count, arguments, ":", OPTIONS, NULL)) != -1) {
    if (code != OPTION_STDIO)
      return option_end("serve-editor", HELP_SERVE_EDITOR, OPTIONS, code, arguments);
  }
  if (optind < count)
    return wrong_use("serve-editor", "serve-editor takes no file; %s is one too many",
                     arguments[optind]);
  switch (editor_serve(STDIN_FILENO, STDOUT_FILENO, examine)) {
  case EDITOR_DONE:
    return STATUS_DONE;
  case EDITOR_CUT_OFF:
    return STATUS_REFUSED;
  case EDITOR_NO_OUTPUT:
    break;
  }
  return STATUS_FILE_FAILED;
}
