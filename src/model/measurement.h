/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_MODEL_MEASUREMENT_H
#define RESTPOINT_MODEL_MEASUREMENT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "model/protocol.h"
#include "model/quantity.h"
#include "table/table.h"

/* Settings that are kept with the profile as text, in the order of the table in formats.md 3. */
enum session_note {
	NOTE_SESSION,
	NOTE_DATE,
	NOTE_PLACE,
	NOTE_TABLE_NAME,
	NOTE_BALL_SET,
	NOTE_CLOTH,
	NOTE_CLOTH_DAYS,
	NOTE_TEMPERATURE_C,
	NOTE_HUMIDITY_PERCENT,
	NOTE_PLAYER,
	NOTE_NOTE,
	SESSION_NOTES
};

/* "session", "date", ...: the key in settings and in the profile's "session" object. */
const char *session_note_name(enum session_note note);

/* A ball whose size or weight a file states by its label. */
struct labelled_ball {
	const char *label;
	double diameter, mass; /* [m], [kg]; 0 where not stated */
};

/* Reading errors, each 1 sd. */
struct reading_errors {
	double position;   /* of a rest coordinate [diamonds] */
	double rail;       /* of a rail contact [diamonds] */
	double watch;      /* of one press at a foreseen contact [s] */
	double rest_watch; /* of one press at a stop [s] */
	double sound;      /* [s] */
	double frames_per_second; /* 0: times are seconds; else times were counted in frames (they are
	                             stored in seconds) and each count has an error of half a frame */
};

#define ERROR_DEFAULT_POSITION 0.05
#define ERROR_DEFAULT_RAIL 0.1
#define ERROR_DEFAULT_WATCH 0.10
#define ERROR_DEFAULT_REST_WATCH 0.25
#define ERROR_DEFAULT_SOUND 0.003
#define FRAME_ERROR 0.29 /* 1 sd of a frame count, in frames: half a frame either way, 0.5/sqrt(3) */

/* The settings of one file. */
struct session {
	struct table table;          /* preset with the file's overrides */
	const char *reference_ball;  /* default "A" */
	size_t ball_count;           /* balls stated by label */
	struct labelled_ball *balls;
	const char *protocol;        /* as the file names it; NULL when it does not */
	const char *notes[SESSION_NOTES]; /* NULL where not given */
	struct reading_errors errors;
	bool microphone_known;
	double microphone_long, microphone_short; /* diamonds; may lie outside the table */
	double cue_end_mass_ratio;   /* ball mass over end mass; 0: no squirt */
	double tip_width;            /* [m]; 0 where not given */
	double diamond_value;        /* 1 or 10 */
};

/* Default settings: pool-9ft, default errors, no notes. */
struct session session_default(void);

/* Diameter [m] and mass [kg] of the ball of that label playing that part, in no shot in particular:
 * each by its label, else the table's for that part. */
void session_ball(const struct session *session, enum ball_role role, const char *label,
                  double *diameter, double *mass);

/* The same in a shot that places the ball so (NULL: in no shot in particular). Diameter and mass
 * each come from the first that states it: the file by the ball's label (that very ball was
 * measured), the design of the shot, the table (its cue ball for the cue ball, its object balls for
 * the others). */
void session_placed_ball(const struct session *session, const struct placement *place,
                         enum ball_role role, const char *label, double *diameter, double *mass);

enum reading_kind { READING_MISSING, READING_VALUE, READING_POCKET };

struct reading {
	enum reading_kind kind;
	double value;    /* diamonds, or seconds for watch and sound */
	bool rail_named; /* a rail contact whose cell names the rail */
	enum rail rail;  /* of a rail contact named; of a frozen rest */
	bool frozen;     /* a rest written as touching the rail */
};

/* One stroke as played. */
struct stroke_row {
	size_t line;         /* physical line in the file */
	const char *shot;    /* key */
	int try_number;      /* as written, else 0 */
	const char *at;      /* time of day or minutes as written; NULL where blank */
	const char *player;  /* who struck; "" where nobody is named */
	const char *ball[BALL_ROLES]; /* labels */
	bool valid;          /* false: set aside by the person */
	const char *note;    /* NULL where blank */
	struct reading readings[QUANTITY_COUNT];
	size_t columns[QUANTITY_COUNT]; /* cell of each quantity in the row, from 1; 0: no column */
};

/* A measurement file as read. */
struct measurement {
	struct arena *arena; /* owns every string and array here */
	const char *file;    /* path as given */
	char sha256[65];     /* of the file's bytes, hexadecimal */
	char separator;      /* ',', ';' or tab */
	struct session session;
	size_t row_count;
	struct stroke_row *rows;
};

void measurement_free(struct measurement *measurement);

#endif
