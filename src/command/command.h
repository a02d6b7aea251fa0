/* command.h - what the commands of the program share: how they are called, what they say. */
#ifndef BORELAY_COMMAND_H
#define BORELAY_COMMAND_H

#include <getopt.h>
#include <stdbool.h>
#include <stdint.h>

#include "borelay/pipeline.h"

/* A command gets its own words, the first being its name, and room for as many settings. */
typedef enum status command_run(int count, char **arguments, const char **settings);
command_run check_command, compare_command, compile_command, convert_command, explain_command,
    locate_command, play_command, report_command, serve_editor_command, tidy_command,
    verify_command, what_if_command;

/* Codes of the long options, above those of letters. */
enum option_code {
  OPTION_SET = 256,
  OPTION_JSON,
  OPTION_SUMMARY,
  OPTION_SARIF,
  OPTION_DEPFILE,
  OPTION_REHEARSE,
  OPTION_TIMES,
  OPTION_RESUME,
  OPTION_ROW,
  OPTION_TIME,
  OPTION_JOB,
  OPTION_MODE,
  OPTION_CHECK,
  OPTION_SVG,
  OPTION_BINARY,
  OPTION_SUMMARIES,
  OPTION_SARIFS,
  OPTION_DEPFILES,
  OPTION_JOBS,
  OPTION_SET_BEFORE,
  OPTION_SET_AFTER,
  OPTION_DECLARED,
  OPTION_DRIVER,
  OPTION_PAGE,
  OPTION_VARY,
  OPTION_CSV,
  OPTION_STDIO,
  OPTION_HELP,
  OPTION_VERSION
};

/* Tells what is wrong and where to look; command NULL: none was found. */
__attribute__((format(printf, 2, 3))) enum status wrong_use(const char *command, const char *format,
                                                            ...);
/* `given` is none of the options; the nearest is named. */
enum status unknown_option(const char *command, const struct option *options, const char *given);
/* What getopt_long() found at fault: an option unknown, or without its value. */
enum status option_fault(const char *command, const struct option *options, int code,
                         char **arguments);
/* An option that ends the run: --help, for which `help` is shown, --version, or one at fault. */
enum status option_end(const char *command, const char *help, const struct option *options,
                       int code, char **arguments);

/* No two of the paths, of which some may be NULL, lead to one file, or both to standard output: one
 * output would destroy the other, or the job. */
enum status named_once(const char *command, const char *const *paths, size_t count);

/* Whatever was printed has arrived; else that is told. */
enum status end_of_words(void);
enum status print_and_end(const char *first, const char *second);
enum status print_version(void);

/* numbers.c: values of options, whole texts; false: it is none.
 * A plain decimal number from lo to hi; a whole number of at most 18 digits; a number with a unit
 * of length; one with a unit of time, not negative. */
bool read_number(const char *text, double lo, double hi, double *value);
bool read_count(const char *text, uint64_t *count);
bool read_length(const char *text, double *mm);
bool read_time(const char *text, double *seconds);

/* A stream's name: ends in .csv or .spt, or is - for standard output. */
bool is_stream_name(const char *path);
bool is_page_name(const char *path);

#endif
