/* play.c - from the request to the end of a play.
 *
 * The stream is read whole before its first row is played: a text stream is proved by its last line
 * only. */
#include "borelay/play.h"

#include <errno.h>
#include <math.h>
#include <poll.h>
#include <stdarg.h>
#include <string.h>
#include <time.h>

#include "play/parts.h"

#define RETRY_S 0.05 /* looks whether a pipe has a reader, or has been read */

double play_now_s(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

void play_say(struct play *play, const char *format, ...) {
  va_list arguments;
  progress_clear(&play->progress);
  va_start(arguments, format);
  fputs("play: ", stderr);
  vfprintf(stderr, format, arguments);
  va_end(arguments);
  fputc('\n', stderr);
}

/* When there is something to do though nobody stirs. */
static double wake_s(const struct play *play, double now) {
  double wake = INFINITY;
  if (play->is_all_sent || play->receiver.fd < 0)
    wake = now + RETRY_S;
  else if (play->awaits || play->is_blocked)
    wake = play->last.arc ? play->pace.due_s + play->request->slack_s : wake;
  else if (!play->stands)
    wake = play->pace.due_s;
  if (play->progress.to && wake > now + RETRY_S)
    wake = now + RETRY_S;
  return wake;
}

static int receiver_poll(const struct play *play, short *events) {
  const struct receiver *receiver = &play->receiver;
  *events =
      (short)((play->is_blocked ? POLLOUT : 0) | (receiver->kind == RECEIVER_TCP ? POLLIN : 0));
  if (receiver->fd < 0)
    return receiver->listener;
  return receiver->kind == RECEIVER_FILE ? -1 : receiver->fd; /* a file is always ready */
}

/* Sleeps until somebody stirs or the time has come; rounded up, so that nothing goes early. */
static void doze(struct play *play) {
  short events;
  int fd = receiver_poll(play, &events);
  struct pollfd polls[] = {{.fd = play->words.ended ? -1 : 0, .events = POLLIN},
                           {.fd = play->words.signals, .events = POLLIN},
                           {.fd = fd, .events = events}};
  double now = play_now_s(), left = wake_s(play, now) - now;
  struct timespec wait = {0, 0};
  if (left > 0 && left < 1e6)
    wait = (struct timespec){(time_t)left, (long)ceil((left - floor(left)) * 1e9)};
  if (wait.tv_nsec >= 1000000000L)
    wait = (struct timespec){wait.tv_sec + 1, 0};
  if (ppoll(polls, 3, left < 1e6 ? &wait : NULL, NULL) <= 0)
    return;
  if (polls[0].revents)
    words_read(&play->words);
  if (polls[1].revents)
    words_read_signal(&play->words);
  if (polls[2].revents & POLLERR && play->receiver.fd >= 0)
    play->receiver.is_gone = true;
}

static void show(struct play *play) {
  char text[PROGRESS_ROOM], overlay[64];
  double now = play_now_s();
  if (!play->has_last || !progress_is_due(&play->progress, now))
    return;
  const char *what = play->stands                 ? "stands: go"
                     : now > play->pace.due_s + 1 ? "the receiver takes nothing"
                     : play->pace.target < 1      ? "holds at the next touch or wait"
                                                  : "";
  feed_overlay_name(&play->feed, play->last.overlay, overlay, sizeof overlay);
  progress_text(text, &play->feed.rows.reader.header, &play->last, overlay, play->request->times,
                what);
  progress_draw(&play->progress, now, text);
}

static void wait_for_receiver(struct play *play) {
  if (receiver_join(&play->receiver))
    return;
  if (play->receiver.kind == RECEIVER_TCP)
    play_say(play, "waits for a receiver at 127.0.0.1:%u", (unsigned)play->receiver.port);
  else
    play_say(play, "waits for a reader of %s", play->receiver.path);
  while (!play->ending && !receiver_join(&play->receiver)) {
    if (play->receiver.error)
      play->ending = END_PLACE;
    else
      doze(play);
    play_obey(play);
  }
}

/* A play that goes on has its header with the receiver already. */
static void skip_rows(struct play *play) {
  play_next_line(play);
  while (!play->ending && play->feed.event != BORELAY_END &&
         (play->feed.event == BORELAY_HEADER ||
          play->feed.rows.reader.row.index <= play->request->after_row))
    play_next_line(play);
  play->last = play->survey.row;
  play->calm = play->request->after_row;
  play->has_last = play->has_calm = true;
}

/* What hurts, before anything moves; of an arc with -q too. */
static void caution(struct play *play) {
  if (play->survey.header.mode == BORELAY_REHEARSAL) {
    if (!play->request->quiet)
      play_say(play,
               "a rehearsal lights no arc, but robot and head move: keep out of their reach with "
               "a hand at the stop; local rules on moving machinery apply");
    return;
  }
  play_say(play,
           "this stream lights an arc: shield eyes and skin, capture the fume, test for oxygen "
           "in the bore before anybody goes in, a hot part looks cold, robot and head move");
  play_say(play,
           "the qualified procedure, local codes and licensed practice decide whether it may run");
}

static void begin(struct play *play) {
  const struct play_request *request = play->request;
  bool goes_on = request->has_after;
  caution(play);
  double step = 1e-6 * (double)play->survey.header.tick_us / request->times;
  if (goes_on)
    skip_rows(play);
  else
    play_next_line(play);
  wait_for_receiver(play);
  /* from rest: the first row is a whole step away from where the axes stand */
  pace_begin(&play->pace, play_now_s() + (goes_on ? step / PACE_SLOW : 0), step, goes_on);
  if (!request->quiet && !play->ending)
    play_say(play, "plays %s from row %llu on", request->stream,
             goes_on ? (unsigned long long)request->after_row + 1 : 0);
}

static enum play_end end_of(enum ending ending) {
  return ending == END_WHOLE                           ? PLAY_DONE
         : ending == END_PLACE || ending == END_STREAM ? PLAY_FILE_FAILED
                                                       : PLAY_ENDED_EARLY;
}

static enum play_end run(struct play *play) {
  progress_begin(&play->progress, play->request->quiet);
  begin(play);
  while (!play->ending) {
    play_advance(play);
    if (play->ending)
      break;
    show(play);
    doze(play);
    play_obey(play);
  }
  play_end_tell(play);
  return end_of(play->ending);
}

static bool open_all(struct play *play) {
  const struct play_request *request = play->request;
  if (!feed_open(&play->feed, request->stream, &play->survey))
    return false;
  if (!receiver_open(&play->receiver, request->to)) {
    fprintf(stderr, "borelay: cannot play to %s: %s\n", request->to,
            play->receiver.error ? strerror(play->receiver.error)
                                 : "neither tcp:PORT nor a named pipe nor a new file");
    return false;
  }
  if (!words_open(&play->words)) {
    fprintf(stderr, "borelay: cannot take signals: %s\n", strerror(errno));
    return false;
  }
  return true;
}

static bool refuse(const char *text) {
  fprintf(stderr, "borelay: %s\n", text);
  return false;
}

static bool may_go_on_behind(const struct survey *survey, uint64_t row) {
  if (!survey->has_row || row + 1 == survey->header.rows)
    return refuse("--after-row: no row follows it");
  if (!survey->is_held_back)
    return true;
  if (survey->row.arc)
    return refuse("--after-row: the arc is on there; a weld that was broken off is compiled anew "
                  "(compile --resume)");
  refuse("--after-row: the gas would have flowed for less than the preflow");
  if (survey->has_before)
    fprintf(stderr, "help: go on behind row %llu, where the head stands already\n",
            (unsigned long long)survey->before);
  return false;
}

/* What the stream itself decides. */
static bool is_allowed(const struct play *play) {
  const struct play_request *request = play->request;
  bool may_burn = play->survey.header.mode != BORELAY_REHEARSAL;
  if (may_burn && !request->weld)
    return refuse("the stream's rows light an arc; rehearse first (compile --rehearse), or say "
                  "--weld: see docs/play.md");
  if (may_burn && request->times != 1)
    return refuse("--times is for rehearsals: a weld has its own speed");
  return !request->has_after || may_go_on_behind(&play->survey, request->after_row);
}

enum play_end play_stream(const struct play_request *request) {
  struct play play = {.request = request,
                      .receiver = {.listener = -1, .fd = -1},
                      .words = {.signals = -1},
                      .feed = {.rows = {.fd = -1}, .text = {.fd = -1, .folder = -1}}};
  bool file_failed;
  enum play_end end = PLAY_FILE_FAILED;
  if (!feed_survey(&play.survey, request->stream, request->has_after ? request->after_row : 0,
                   &file_failed))
    return file_failed ? PLAY_FILE_FAILED : PLAY_ENDED_EARLY;
  if (!is_allowed(&play))
    return PLAY_ENDED_EARLY;
  play.acknowledged = request->acknowledged || (play.survey.header.mode != BORELAY_REHEARSAL &&
                                                strncmp(request->to, "tcp:", 4) == 0);
  if (open_all(&play))
    end = run(&play);
  words_close(&play.words);
  receiver_close(&play.receiver);
  feed_close(&play.feed);
  return end;
}
