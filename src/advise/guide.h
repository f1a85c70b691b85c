/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_GUIDE_H
#define RESTPOINT_ADVISE_GUIDE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "model/measurement.h"
#include "model/protocol.h"

/* A session step by step: which stroke of a protocol comes next, which of its readings is asked
 * for, and what an answer, an undo, a miscue do to the rows of the measurement. It knows nothing of
 * terminals, files or physics. At every moment the rows are a measurement that can be written: a
 * stroke has its row from its first reading on. */

/* The order in which readings are asked for: what is forgotten first comes first. Rail contacts,
 * then the watch, then where the balls lie, then the sounds, which a recording keeps. */
#define GUIDE_NO_QUANTITY (-1)

struct guide {
	const struct protocol *protocol;
	struct measurement *measurement; /* rows are added in its arena */
	size_t row_capacity;
	const char *player; /* who strikes from now on; "" where nobody is named */
	bool *left_out;     /* shots that the person left out, by their place in the protocol */
	size_t order;       /* where the order of the protocol stands: a place in it */
	bool chosen;        /* the stroke at hand is not the one that the order asks for */
	int extra;          /* strokes of the chosen shot still to come, the one at hand included */
	bool finished;      /* nothing is left to play */
	size_t shot;        /* at hand, a place in the protocol */
	bool open;          /* the last row is the stroke at hand */
	uint32_t answered;  /* its quantities that were read or passed over */
	struct stroke_row draft; /* the stroke at hand while it is not open */
};

/* What is asked now. */
struct guide_question {
	const struct shot_design *shot; /* NULL: nothing is left to play */
	int stroke, strokes; /* the how manieth that counts, of how many (0: one more than
	                                   the protocol asks for) */
	int quantity;        /* to be read now */
	int place, places;   /* the how manieth of how many readings of the stroke */
};

/* What an answer led to. */
enum guide_change {
	GUIDE_NOTHING,     /* the word does not apply: nothing was changed */
	GUIDE_GOES_ON,     /* the next reading of the same stroke */
	GUIDE_STROKE_DONE, /* the stroke is complete: the next one begins */
	GUIDE_STROKE_LOST, /* it is over without any reading: no row was made */
	GUIDE_TAKEN_BACK,  /* an undo: that reading is asked for again */
	GUIDE_MEMORY_OUT   /* nothing was changed */
};

/* Takes the rows that the measurement has, and stands where they end: in the middle of the last
 * stroke where readings at its end are missing. False when memory is out; guide_free in any case. */
bool guide_start(struct guide *guide, const struct protocol *protocol,
                 struct measurement *measurement);
void guide_free(struct guide *guide);

struct guide_question guide_ask(const struct guide *guide);

/* The row of the stroke at hand: the last one, or a draft that holds its shot, its try and its
 * balls. */
const struct stroke_row *guide_row(const struct guide *guide);

/* Answers the question with a reading; READING_MISSING passes it over. A ball that fell answers
 * both rests. */
enum guide_change guide_answer(struct guide *guide, const struct reading *reading);

/* Puts in a reading of the stroke at hand, asked for or not; READING_MISSING clears it. */
enum guide_change guide_put(struct guide *guide, int quantity, const struct reading *reading);

/* No more readings of this stroke. */
enum guide_change guide_end_stroke(struct guide *guide);

/* Sets the stroke at hand aside with that reason, which must live as long as the measurement; the
 * same stroke is asked for again. */
enum guide_change guide_set_aside(struct guide *guide, const char *reason);

/* Drops the readings of the stroke at hand. Before its first reading: plays the shot of the last
 * row once more. */
enum guide_change guide_repeat(struct guide *guide);

/* Takes back the last reading, or that the last stroke was set aside; again and again, back to the
 * first row. */
enum guide_change guide_undo(struct guide *guide);

/* Leaves out what is left of the shot at hand. */
enum guide_change guide_leave_out(struct guide *guide);

/* Plays that shot (a place in the protocol) next, `strokes` times, and then goes on in order; 0: as
 * often as is left of it, once more where nothing is. Nothing while a stroke is open. */
enum guide_change guide_choose(struct guide *guide, size_t shot, int strokes);

/* Puts a note into the row of the stroke at hand (or of the last one, before the first reading). The
 * text must live as long as the measurement. */
enum guide_change guide_note(struct guide *guide, const char *note);

/* Strokes of a shot that count, the one at hand left out. */
int guide_count(const struct guide *guide, size_t shot);

/* Place of the shot of that key in the protocol; shot_count when there is none. */
size_t guide_find(const struct guide *guide, const char *key);

#endif
