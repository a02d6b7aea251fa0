/* parts.h - the state of one play, shared by the files of this room. */
#ifndef PLAY_PARTS_H
#define PLAY_PARTS_H

#include "borelay/play.h"
#include "play/feed.h"
#include "play/pace.h"
#include "play/progress.h"
#include "play/receiver.h"
#include "play/words.h"

enum ending {
  GOES_ON,
  END_WHOLE,   /* every row and the end line are with the receiver */
  END_STOPPED, /* the word, or a signal */
  END_UNLIT,   /* a hold was asked for, and the next row would have lit the arc */
  END_NOBODY,  /* it stands, and nobody is there to say `go` */
  END_LATE,    /* the arc burned, and a row came too late */
  END_GONE,    /* the receiver closed or died */
  END_ANSWER,  /* the receiver answered with another row */
  END_PLACE,   /* the place could not be written */
  END_STREAM   /* the stream could not be read a second time; told already */
};

struct play {
  const struct play_request *request;
  struct survey survey;
  struct feed feed;
  struct receiver receiver;
  struct words words;
  struct pace pace;
  struct progress progress;
  bool acknowledged;
  size_t written;  /* bytes of feed.line that the receiver's side has taken */
  bool is_blocked; /* the receiver's side took nothing of it */
  bool awaits;     /* the row is sent; its number has not come back */
  bool has_last;
  struct borelay_row last; /* the last row that counts as taken */
  bool has_calm;
  uint64_t calm; /* the last row taken that a play may go on behind */
  bool holds;    /* `hold` was said */
  bool released; /* `go` was said in this wait */
  bool stands;   /* programme time stands */
  bool is_all_sent;
  enum ending ending;
};

/* On the clock that paces the rows. */
double play_now_s(void);
/* A line on standard error. */
void play_say(struct play *play, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* Part of a row is sent, or all of it, and it does not count as taken yet. */
bool play_is_under_way(const struct play *play);
/* Whether the arc is on, or may be, at the receiver's end. */
bool play_burns(const struct play *play);
/* Whether a play may go on behind this row: arc out and no preflow under way. */
bool row_is_calm(const struct borelay_row *row);

/* The next line of the stream becomes the one to be sent. */
void play_next_line(struct play *play);
/* Sends what may be sent now and hears what the receiver says; sets the ending. */
void play_advance(struct play *play);
/* Takes the words that were read. */
void play_obey(struct play *play);

/* Tells the receiver, where that can be, and whoever runs this how it ended. */
void play_end_tell(struct play *play);

#endif
