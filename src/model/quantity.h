/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_MODEL_QUANTITY_H
#define RESTPOINT_MODEL_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

/* The balls of a shot, by the part they play. */
enum ball_role { BALL_CUE, BALL_OBJECT, BALL_OBJECT2, BALL_ROLES };

/* "cue", "object", "object2". */
const char *ball_role_name(enum ball_role role);
bool ball_role_from_name(const char *name, size_t length, enum ball_role *role);

#define RAIL_READINGS 4  /* rail contacts of one ball that a file can hold */
#define WATCH_READINGS 2 /* stopwatch intervals of one stroke */
#define SOUND_READINGS 8 /* audible contacts of one stroke */

/* What a cell of a measurement holds. */
enum quantity_kind {
	QUANTITY_REST_LONG,
	QUANTITY_REST_SHORT,
	QUANTITY_RAIL,
	QUANTITY_WATCH,
	QUANTITY_SOUND
};

/* A quantity is addressed by one number from 0 to QUANTITY_COUNT - 1, in the order
 *   cue_rest_long cue_rest_short cue_rail1..4, the same for object and object2, watch1..2,
 *   sound1..8.
 * A set of quantities is a mask with bit 1 << number. */
#define QUANTITIES_PER_BALL (2 + RAIL_READINGS)
#define QUANTITY_COUNT (BALL_ROLES * QUANTITIES_PER_BALL + WATCH_READINGS + SOUND_READINGS)

struct quantity {
	enum quantity_kind kind;
	enum ball_role ball; /* of a rest or a rail contact */
	int number;          /* of a rail contact, interval or sound, from 1; 0 for a rest */
};

/* The quantity with that number and back. */
struct quantity quantity_at(int number);
int quantity_number(struct quantity quantity);

/* Its column name, e.g. "object_rail2"; never NULL for a valid number. */
const char *quantity_name(int number);

/* True and *number when the length bytes are the name of a quantity. */
bool quantity_from_name(const char *name, size_t length, int *number);

/* A moment of a shot that a watch can be pressed at. */
enum moment_kind {
	MOMENT_STRIKE,  /* "strike" */
	MOMENT_RAIL,    /* "cue_rail1" ... "object2_rail4" */
	MOMENT_CONTACT, /* "contact1", "contact2": ball on ball, in order */
	MOMENT_REST,    /* "cue_rest": the centre stops */
	MOMENT_STILL    /* "cue_still": the centre has stopped and the side spin is gone */
};

struct moment {
	enum moment_kind kind;
	enum ball_role ball; /* of a rail contact, a rest, a still */
	int number;          /* of a rail contact or a ball contact, from 1 */
};

/* True and *moment when the length bytes name a moment. */
bool moment_from_name(const char *name, size_t length, struct moment *moment);

/* Its name; out holds at least 24 bytes. */
void moment_name(struct moment moment, char out[24]);

#endif
