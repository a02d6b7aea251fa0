/* convert: a stream from text to binary, or back. */
#include <string.h>

#include "borelay/convert.h"
#include "command/command.h"

static const char HELP_CONVERT[] =
    "borelay convert IN OUT\n"
    "\n"
    "Reads a stream, text or binary, and writes it as OUT: text where that ends in .csv, binary\n"
    "where it ends in .spt, text to standard output for -. Every byte is as if the job had been\n"
    "compiled to OUT. A stream that is not whole and right is refused, exit status 1; OUT appears\n"
    "whole or not at all.\n"
    "\n"
    "  --help              this text\n"
    "  --version           the version of this program\n";

static enum status convert(const char *in, const char *out) {
  if (!is_stream_name(out))
    return wrong_use("convert", "%s: OUT ends in .csv or .spt, or is - for standard output", out);
  if (strcmp(in, out) == 0 && strcmp(in, "-") != 0)
    return wrong_use("convert", "%s is named twice", in);
  switch (convert_stream(in, out)) {
  case CONVERT_DONE:
    return STATUS_DONE;
  case CONVERT_WRONG_STREAM:
    return STATUS_REFUSED;
  case CONVERT_FILE_FAILED:
    break;
  }
  return STATUS_FILE_FAILED;
}

enum status convert_command(int count, char **arguments, const char **settings) {
  (void)settings;
  static const struct option own[] = {{"help", no_argument, NULL, OPTION_HELP},
                                      {"version", no_argument, NULL, OPTION_VERSION},
                                      {NULL, 0, NULL, 0}};
  int code = getopt_long(count, arguments, ":", own, NULL);
  if (code == OPTION_HELP)
    return print_and_end(HELP_CONVERT, "");
  if (code == OPTION_VERSION)
    return print_version();
  if (code != -1)
    return wrong_use("convert", "convert takes no option %s", arguments[optind - 1]);
  if (count - optind < 2)
    return wrong_use("convert", "convert wants IN and OUT, two streams");
  if (count - optind > 2)
    return wrong_use("convert", "convert takes IN and OUT; %s is one too many",
                     arguments[optind + 2]);
  return convert(arguments[optind], arguments[optind + 1]);
}
