/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/quantity.h"

#include <stdio.h>
#include <string.h>

#define CONTACTS 2 /* contacts of two balls that a watch can be pressed at */

static const char *const roles[BALL_ROLES] = {"cue", "object", "object2"};

#define BALL_QUANTITIES(ball) \
	ball "_rest_long", ball "_rest_short", ball "_rail1", ball "_rail2", ball "_rail3", \
	    ball "_rail4"

static const char *const names[QUANTITY_COUNT] = {
	BALL_QUANTITIES("cue"),
	BALL_QUANTITIES("object"),
	BALL_QUANTITIES("object2"),
	"watch1", "watch2",
	"sound1", "sound2", "sound3", "sound4", "sound5", "sound6", "sound7", "sound8",
};

/* Numbers of the first interval and the first sound. */
enum {
	FIRST_WATCH = BALL_ROLES * QUANTITIES_PER_BALL,
	FIRST_SOUND = FIRST_WATCH + WATCH_READINGS
};

static bool equals(const char *name, size_t length, const char *text)
{
	return strlen(text) == length && memcmp(text, name, length) == 0;
}

const char *ball_role_name(enum ball_role role)
{
	return roles[role];
}

bool ball_role_from_name(const char *name, size_t length, enum ball_role *role)
{
	for (unsigned i = 0; i < BALL_ROLES; i++) {
		if (equals(name, length, roles[i])) {
			*role = (enum ball_role)i;
			return true;
		}
	}
	return false;
}

struct quantity quantity_at(int number)
{
	struct quantity quantity = {QUANTITY_SOUND, BALL_CUE, number - FIRST_SOUND + 1};
	int place = number % QUANTITIES_PER_BALL;

	if (number >= FIRST_SOUND)
		return quantity;
	if (number >= FIRST_WATCH) {
		quantity.kind = QUANTITY_WATCH;
		quantity.number = number - FIRST_WATCH + 1;
		return quantity;
	}
	quantity.ball = (enum ball_role)(number / QUANTITIES_PER_BALL);
	quantity.number = place < 2 ? 0 : place - 1;
	if (place == 0)
		quantity.kind = QUANTITY_REST_LONG;
	else if (place == 1)
		quantity.kind = QUANTITY_REST_SHORT;
	else
		quantity.kind = QUANTITY_RAIL;
	return quantity;
}

int quantity_number(struct quantity quantity)
{
	int first = (int)quantity.ball * QUANTITIES_PER_BALL;

	switch (quantity.kind) {
	case QUANTITY_REST_LONG:
		return first;
	case QUANTITY_REST_SHORT:
		return first + 1;
	case QUANTITY_RAIL:
		return first + 1 + quantity.number;
	case QUANTITY_WATCH:
		return FIRST_WATCH + quantity.number - 1;
	case QUANTITY_SOUND:
		break;
	}
	return FIRST_SOUND + quantity.number - 1;
}

const char *quantity_name(int number)
{
	return names[number];
}

bool quantity_from_name(const char *name, size_t length, int *number)
{
	for (int i = 0; i < QUANTITY_COUNT; i++) {
		if (equals(name, length, names[i])) {
			*number = i;
			return true;
		}
	}
	return false;
}

/* The moments of one ball and those of contacts, tried one by one by name, so that reading and
 * writing cannot differ. */
bool moment_from_name(const char *name, size_t length, struct moment *moment)
{
	static const int counts[] = {
		[MOMENT_STRIKE] = 1,  [MOMENT_RAIL] = RAIL_READINGS, [MOMENT_CONTACT] = CONTACTS,
		[MOMENT_REST] = 1,    [MOMENT_STILL] = 1,
	};

	for (int kind = MOMENT_STRIKE; kind <= MOMENT_STILL; kind++) {
		int balls = kind == MOMENT_STRIKE || kind == MOMENT_CONTACT ? 1 : BALL_ROLES;

		for (int i = 0; i < balls * counts[kind]; i++) {
			struct moment tried = {(enum moment_kind)kind,
			                       (enum ball_role)(i / counts[kind]), 0};
			char written[24];

			if (kind == MOMENT_RAIL || kind == MOMENT_CONTACT)
				tried.number = i % counts[kind] + 1;
			moment_name(tried, written);
			if (equals(name, length, written)) {
				*moment = tried;
				return true;
			}
		}
	}
	return false;
}

void moment_name(struct moment moment, char out[24])
{
	const char *ball = roles[moment.ball];

	switch (moment.kind) {
	case MOMENT_STRIKE:
		snprintf(out, 24, "strike");
		break;
	case MOMENT_RAIL:
		snprintf(out, 24, "%s_rail%d", ball, moment.number);
		break;
	case MOMENT_CONTACT:
		snprintf(out, 24, "contact%d", moment.number);
		break;
	case MOMENT_REST:
		snprintf(out, 24, "%s_rest", ball);
		break;
	case MOMENT_STILL:
		snprintf(out, 24, "%s_still", ball);
		break;
	}
}
