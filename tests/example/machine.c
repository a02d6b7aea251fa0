/* machine.c - a machine on paper for the loop of docs/reader.md.
 *
 * Arguments: a stream; what happens to it, and a number:
 *   whole 0          nothing
 *   cut N            the stream breaks off after N bytes
 *   flip N           the lowest bit of byte N is flipped
 *   stop N           stop is pressed at row N
 *   wall N           the N-th touch finds no wall
 *   refuse 0         the machine does not take the header
 * Prints one line: "ran" or "stopped", rows set, touches, waits, and whether the arc was on last.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay_reader.h"

size_t machine_read(uint8_t *bytes, size_t room);
bool machine_accepts(const struct borelay_header *header);
bool machine_set(const struct borelay_row *row);
bool machine_finds_wall(int64_t correction_nm);
bool machine_is_released(void);
void machine_stop(void);
bool machine_runs(struct borelay_reader *reader);

static struct {
  FILE *file;
  const char *event;
  long number, bytes, rows, touches, waits;
  bool arc, stopped;
} machine;

static bool happens(const char *event, long count) {
  return strcmp(machine.event, event) == 0 && machine.number == count;
}

size_t machine_read(uint8_t *bytes, size_t room) {
  /* By turns large and small pieces, down to one byte. */
  size_t wanted = 1 + (size_t)(machine.bytes * 7919 % 251);
  size_t got = 0;
  for (; got < room && got < wanted && !happens("cut", machine.bytes); machine.bytes++) {
    int byte = getc(machine.file);
    if (byte == EOF)
      break;
    bytes[got++] = (uint8_t)(byte ^ happens("flip", machine.bytes));
  }
  return got;
}

bool machine_accepts(const struct borelay_header *header) {
  return header->mode == BORELAY_WELD && strcmp(machine.event, "refuse") != 0;
}

bool machine_set(const struct borelay_row *row) {
  if (happens("stop", machine.rows) || row->index != (uint64_t)machine.rows)
    return false;
  machine.rows++;
  machine.arc = row->arc;
  return true;
}

bool machine_finds_wall(int64_t correction_nm) {
  return correction_nm > 0 && !happens("wall", ++machine.touches);
}

bool machine_is_released(void) {
  machine.waits++;
  return true;
}

void machine_stop(void) {
  machine.stopped = true;
}

int main(int count, char **arguments) {
  static struct borelay_reader reader;
  if (count != 4)
    return 2;
  machine.file = fopen(arguments[1], "rb");
  machine.event = arguments[2];
  machine.number = strtol(arguments[3], NULL, 10);
  if (!machine.file)
    return 2;
  bool ran = machine_runs(&reader);
  printf("%s rows %ld touches %ld waits %ld arc %d\n", ran ? "ran" : "stopped", machine.rows,
         machine.touches, machine.waits, machine.arc);
  fclose(machine.file);
  return ran == machine.stopped; /* it stops when, and only when, it has not run to the end */
}
