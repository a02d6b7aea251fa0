/* ending.c - the words, and how a play ends: never in silence, on either side. */
#include <inttypes.h>
#include <poll.h>
#include <string.h>

#include "play/parts.h"

enum { LAST_WORD_MS = 1000 };

static void hold(struct play *play) {
  if (play_burns(play)) { /* an arc cannot be held */
    play_say(play, "hold with the arc on is a stop");
    play->ending = END_STOPPED;
    return;
  }
  play->holds = true;
  pace_aim(&play->pace, true);
  play_say(play, "hold: slower, and stands in the next touch or wait");
}

static void go_on(struct play *play) {
  bool waits = play->has_last && play->last.phase == BORELAY_WAIT;
  if (!play->holds && !waits && !play->stands) {
    play_say(play, "nothing holds");
    return;
  }
  play->released = waits;
  play->holds = false;
  pace_aim(&play->pace, false);
  play_say(play, "goes on");
}

void play_obey(struct play *play) {
  for (enum word word; !play->ending && (word = words_next(&play->words)) != WORD_NONE;) {
    switch (word) {
    case WORD_HOLD:
      hold(play);
      break;
    case WORD_GO:
      go_on(play);
      break;
    case WORD_STOP:
      play->ending = END_STOPPED;
      break;
    case WORD_UNKNOWN:
      play_say(play, "`%s` is not a word here; hold, go and stop are", play->words.unknown);
      break;
    case WORD_NONE:
      break;
    }
  }
}

/* For a second and no longer: the receiver may be what ails. */
static bool send_whole(struct play *play, const char *bytes, size_t length) {
  struct receiver *receiver = &play->receiver;
  for (int waited = 0; length > 0 && waited < LAST_WORD_MS;) {
    struct pollfd room = {.fd = receiver->fd, .events = POLLOUT};
    size_t took = receiver_send(receiver, bytes, length);
    if (receiver->is_gone || receiver->error)
      return false;
    bytes += took;
    length -= took;
    if (took == 0) {
      poll(&room, 1, 20);
      waited += 20;
    }
  }
  return length == 0;
}

/* `# stop` on a line of its own.  Where it cannot be had, the missing end line says the same. */
static void tell_receiver(struct play *play) {
  char text[80];
  bool is_part = play->written > 0 && play->written < play->feed.length;
  if (play->receiver.fd < 0 || play->receiver.is_gone || play->receiver.error || play->is_all_sent)
    return;
  bool burns = play_burns(play);
  if (is_part &&
      !send_whole(play, play->feed.line + play->written, play->feed.length - play->written))
    return;
  if (is_part)
    play->written = play->feed.length;
  bool row_is_sent = play->feed.event == BORELAY_ROW && play->written == play->feed.length;
  if (!play->has_last && !row_is_sent)
    snprintf(text, sizeof text, "# stop before the first row\n");
  else
    snprintf(text, sizeof text, "# stop row %" PRIu64 " arc %d\n",
             row_is_sent ? play->feed.rows.reader.row.index : play->last.index, burns);
  send_whole(play, text, strlen(text));
  receiver_finish(&play->receiver);
}

static const char *reason(const struct play *play) {
  switch (play->ending) {
  case END_STOPPED:
    return "stopped";
  case END_UNLIT:
    return "stopped: it was to hold, and the next row would have lit the arc";
  case END_NOBODY:
    return "stopped: it stands, and standard input has ended; --release goes on by itself";
  case END_LATE:
    return "stopped: the receiver was too slow while the arc was on";
  case END_GONE:
    return "stopped: the receiver has gone";
  case END_ANSWER:
    return "stopped: the receiver answered with another row than was sent";
  case END_PLACE:
    return "stopped: the place could not be written";
  case END_STREAM:
    return "stopped: the stream could not be read on";
  case GOES_ON:
  case END_WHOLE:
    break;
  }
  return "done";
}

/* What is known of the rows, and what is not. */
static void tell_rows(struct play *play) {
  uint64_t sent = play->feed.rows.reader.row.index;
  if (!play->has_last) {
    play_say(play, "no row is %s", play->acknowledged ? "acknowledged" : "sent");
  } else {
    char overlay[64];
    const struct borelay_row *row = &play->last;
    feed_overlay_name(&play->feed, row->overlay, overlay, sizeof overlay);
    play_say(play,
             "the last row %s is %" PRIu64 ", t %" PRIu64 ".%06" PRIu64
             " s: %s, overlay %s, layer %" PRIu32 ", lap %" PRIu32 ", arc %s",
             play->acknowledged ? "acknowledged" : "sent", row->index, row->t_us / 1000000,
             row->t_us % 1000000, progress_phase(row->phase), *overlay ? overlay : "none",
             row->layer, row->lap, row->arc ? "on" : "out");
  }
  if (play_is_under_way(play))
    play_say(play, "row %" PRIu64 " was under way: whether it came through is not known", sent);
  else if (play->ending == END_GONE && !play->acknowledged)
    play_say(play, "how many of these rows the receiver has read, only the receiver can tell");
}

/* A row under way may have come through: then it counts, for the arc as for going on. */
static void tell_what_next(struct play *play) {
  const struct borelay_row *under_way = &play->feed.rows.reader.row;
  if (play_burns(play)) {
    play_say(play, "at the torch: wire out, arc out, motion stops, gas for the postflow");
    play_say(play,
             "the stream ends here: `borelay locate %s --row %" PRIu64 "` tells the place, "
             "`borelay compile --resume` makes the rest",
             play->request->stream, play->last.index);
  } else if (play->has_calm && play->last.index + 1 < play->survey.header.rows) {
    if (play_is_under_way(play) && row_is_calm(under_way))
      play_say(play, "to go on: --after-row %" PRIu64 ", or %" PRIu64 " if the receiver has it",
               play->calm, under_way->index);
    else
      play_say(play, "to go on: --after-row %" PRIu64, play->calm);
  }
}

void play_end_tell(struct play *play) {
  if (play->ending != END_WHOLE) {
    tell_receiver(play);
    play_say(play, "%s", reason(play));
    if (play->ending == END_PLACE)
      play_say(play, "%s: %s", play->request->to, strerror(play->receiver.error));
    tell_rows(play);
    tell_what_next(play);
  } else if (!play->request->quiet) {
    play_say(play, "done: row %" PRIu64 " was the last", play->last.index);
  }
  progress_clear(&play->progress);
}
