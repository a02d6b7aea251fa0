/* advance.c - one line at a time: may it go, has it gone, has it come through?
 *
 * A row counts as taken when the system has taken its last byte, or, acknowledged, when the
 * receiver has answered with its number; no further row is sent before. */
#include "play/parts.h"

bool row_is_calm(const struct borelay_row *row) {
  return !row->arc && !(row->phase == BORELAY_PREFLOW && row->gas);
}

bool play_is_under_way(const struct play *play) {
  return play->feed.event == BORELAY_ROW && (play->awaits || play->written > 0);
}

bool play_burns(const struct play *play) {
  return (play->has_last && play->last.arc) ||
         (play_is_under_way(play) && play->feed.rows.reader.row.arc);
}

static const struct borelay_row *next_row(const struct play *play) {
  return &play->feed.rows.reader.row;
}

/* Whether programme time stands before the next row; it may end there. */
static bool must_stand(struct play *play) {
  const struct borelay_row *last = &play->last, *next = next_row(play);
  bool may_stand = !play->has_last || last->phase == BORELAY_TOUCH || last->phase == BORELAY_WAIT;
  bool is_wait_over = play->has_last && last->phase == BORELAY_WAIT && next->phase != BORELAY_WAIT;
  bool waits = is_wait_over && !play->request->release && !play->released;
  if (play->holds && !may_stand && next->arc)
    play->ending = END_UNLIT;
  return waits || (play->holds && may_stand);
}

static void begin_standing(struct play *play) {
  play->stands = true;
  if (play->has_last)
    play_say(play, "stands behind row %llu, in %s; `go` goes on",
             (unsigned long long)play->last.index, progress_phase(play->last.phase));
  else
    play_say(play, "stands before the first row; `go` goes on");
}

static bool may_start(struct play *play, double now) {
  if (play->feed.event != BORELAY_ROW)
    return true;
  bool stands = must_stand(play);
  if (play->ending)
    return false;
  if (stands && !play->stands)
    begin_standing(play);
  if (stands && play->words.ended)
    play->ending = END_NOBODY;
  if (!stands && play->stands)
    pace_stood(&play->pace, now);
  play->stands = stands;
  return !stands && now >= play->pace.due_s;
}

void play_next_line(struct play *play) {
  play->written = 0;
  if (feed_next(&play->feed) == BORELAY_ERROR)
    play->ending = END_STREAM;
}

static void row_taken(struct play *play) {
  const struct borelay_row *row = next_row(play);
  bool burnt = play->has_last && play->last.arc;
  pace_delivered(&play->pace, play_now_s(), burnt, row->arc);
  play->awaits = false;
  play->last = *row;
  play->has_last = true;
  if (row_is_calm(row)) {
    play->calm = row->index;
    play->has_calm = true;
  }
  if (row->phase != BORELAY_WAIT)
    play->released = false;
  play_next_line(play);
}

static void line_sent(struct play *play) {
  if (play->feed.event == BORELAY_ROW) {
    play->awaits = play->acknowledged;
    if (!play->awaits)
      row_taken(play);
  } else if (play->feed.event == BORELAY_END) {
    receiver_finish(&play->receiver);
    play->is_all_sent = true;
    if (play->receiver.kind == RECEIVER_TCP && !play->acknowledged && !play->request->quiet)
      play_say(play, "all rows are sent; waits until the receiver closes");
  } else {
    play_next_line(play);
  }
}

static void hear(struct play *play) {
  if (play->receiver.kind != RECEIVER_TCP || play->is_all_sent)
    return;
  receiver_hear(&play->receiver);
  if (!play->acknowledged) {
    play->receiver.answered = 0;
    return;
  }
  if (!play->awaits) {
    if (play->receiver.answered > 0)
      play->ending = END_ANSWER;
    return;
  }
  switch (receiver_answer(&play->receiver, next_row(play)->index)) {
  case ANSWER_NONE:
    return;
  case ANSWER_RIGHT:
    row_taken(play);
    return;
  case ANSWER_WRONG:
    play->ending = END_ANSWER;
  }
}

static bool is_late(const struct play *play, double now) {
  return play->feed.event == BORELAY_ROW && play->has_last && play->last.arc &&
         now > play->pace.due_s + play->request->slack_s;
}

static void judge_receiver(struct play *play, double now) {
  if (play->ending)
    return;
  if (play->receiver.error)
    play->ending = END_PLACE;
  else if (play->is_all_sent && receiver_has_all(&play->receiver, play->acknowledged))
    play->ending = END_WHOLE;
  else if (play->receiver.is_gone)
    play->ending = END_GONE;
  else if (is_late(play, now))
    play->ending = END_LATE;
}

void play_advance(struct play *play) {
  bool moves = true;
  while (moves && !play->ending) {
    double now = play_now_s();
    hear(play);
    judge_receiver(play, now);
    moves = !play->ending && !play->awaits && !play->is_all_sent &&
            (play->written > 0 || may_start(play, now));
    if (!moves)
      break;
    size_t took = receiver_send(&play->receiver, play->feed.line + play->written,
                                play->feed.length - play->written);
    play->written += took;
    play->is_blocked = took == 0;
    moves = took > 0;
    if (play->written == play->feed.length)
      line_sent(play);
    judge_receiver(play, play_now_s());
  }
}
