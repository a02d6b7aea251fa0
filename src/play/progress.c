/* progress.c - five times a second, no oftener than eyes can read. */
#include "play/progress.h"

#include <math.h>
#include <string.h>
#include <unistd.h>

#define REDRAW_S 0.2
enum { BAR = 20 };

const char *progress_phase(uint8_t phase) {
  static const char *const NAMES[BORELAY_PHASE_COUNT] = {
      [BORELAY_MOVE] = "move",         [BORELAY_TOUCH] = "touch",
      [BORELAY_PREFLOW] = "preflow",   [BORELAY_UPSLOPE] = "upslope",
      [BORELAY_WELD_PHASE] = "weld",   [BORELAY_DOWNSLOPE] = "downslope",
      [BORELAY_POSTFLOW] = "postflow", [BORELAY_WAIT] = "wait"};
  return phase < BORELAY_PHASE_COUNT ? NAMES[phase] : "";
}

void progress_begin(struct progress *progress, bool quiet) {
  *progress = (struct progress){.to = !quiet && isatty(STDERR_FILENO) ? stderr : NULL,
                                .drawn_s = -INFINITY};
}

static void bar_text(char bar[BAR + 1], uint64_t done, uint64_t rows) {
  uint64_t full = done * BAR / rows;
  for (uint64_t i = 0; i < BAR; i++)
    bar[i] = i < full ? '#' : '-';
  bar[BAR] = '\0';
}

void progress_text(char text[PROGRESS_ROOM], const struct borelay_header *header,
                   const struct borelay_row *row, const char *overlay, double times,
                   const char *what) {
  char bar[BAR + 1], place[80] = "";
  uint64_t done = row->index + 1;
  unsigned long long left =
      (unsigned long long)ceil((double)(header->duration_us - row->t_us) / 1e6 / times);
  bar_text(bar, done, header->rows);
  if (row->overlay)
    snprintf(place, sizeof place, "  %.30s layer %lu lap %lu", overlay, (unsigned long)row->layer,
             (unsigned long)row->lap);
  snprintf(text, PROGRESS_ROOM, "[%s] %3llu %%  %s%s  %llu:%02llu:%02llu left%s%s", bar,
           (unsigned long long)(done * 100 / header->rows), progress_phase(row->phase), place,
           left / 3600, left / 60 % 60, left % 60, *what ? "  " : "", what);
}

bool progress_is_due(const struct progress *progress, double now_s) {
  return progress->to && now_s - progress->drawn_s >= REDRAW_S;
}

void progress_draw(struct progress *progress, double now_s, const char *text) {
  int length = (int)strlen(text);
  fprintf(progress->to, "\r%s%*s", text, progress->width > length ? progress->width - length : 0,
          "");
  fflush(progress->to);
  progress->width = length;
  progress->drawn_s = now_s;
}

void progress_clear(struct progress *progress) {
  if (!progress->to || progress->width == 0)
    return;
  fprintf(progress->to, "\r%*s\r", progress->width, "");
  fflush(progress->to);
  progress->width = 0;
  progress->drawn_s = -INFINITY;
}
