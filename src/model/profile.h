/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_MODEL_PROFILE_H
#define RESTPOINT_MODEL_PROFILE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "model/constants.h"
#include "model/measurement.h"
#include "table/rail.h"
#include "table/table.h"

/* A table as measured (formats.md 5). */

/* What the data say about a number; in files "held", "at-limit", "not-determined", "weak",
 * "determined". */
enum knowledge {
	KNOWLEDGE_HELD,
	KNOWLEDGE_AT_LIMIT,
	KNOWLEDGE_NOT_DETERMINED,
	KNOWLEDGE_WEAK,
	KNOWLEDGE_DETERMINED,
	KNOWLEDGE_COUNT
};

const char *knowledge_name(enum knowledge knowledge);
bool knowledge_from_name(const char *name, size_t length, enum knowledge *knowledge);

/* A value with its uncertainty. */
struct interval {
	double value;
	double standard_error;
	double low95, high95; /* 2.5 % and 97.5 % points */
};

/* In a file: a held estimate carries value and state, and nothing else unless it was given. */
struct estimate {
	struct interval best;      /* not-determined: the prior */
	enum knowledge state;
	bool has_interval;         /* standard_error, low95 and high95 are there */
	bool has_learned;
	double learned;            /* 1 - posterior sd / prior sd on the fitted scale */
	bool has_posterior;        /* not-determined: the narrowed numbers */
	struct interval posterior;
};

/* The conditions in players' terms (formats.md 5). */
enum condition_id {
	ONE_LENGTH_TIME_S,
	STUN_SLIDE_DIAMONDS,
	SQUARE_RAIL_SPEED_KEPT_PERCENT,
	FULL_SIDE_RETURN_DIAMONDS,
	HALF_BALL_THROW_DEG,
	FULL_SIDE_LASTS_S,
	CONDITION_COUNT
};

/* Its key in files, e.g. "one_length_time_s". */
const char *condition_name(enum condition_id id);
bool condition_from_name(const char *name, size_t length, enum condition_id *id);

/* How the bed is tilted. The direction is where uphill is, in degrees: 0 to the foot, 90 to the
 * right; there is none while the interval of the steepness holds 0. */
struct profile_slope {
	struct estimate along, across; /* slope_long, slope_short: rise per run */
	struct estimate steepness;     /* mm_per_m */
	bool has_direction;
	struct estimate direction;     /* direction_deg */
};

/* Whether a slope as steep as that has a direction: its steepness is known, and its interval (where
 * there is none, its value) lies above 0. */
bool profile_slope_points(const struct estimate *steepness);

/* How the rails differ: factors on the constants of the cushions, which are those of the mean of all
 * four. */
struct profile_rail {
	struct estimate liveliness; /* on cushion_restitution */
	struct estimate grip;       /* on cushion_friction */
};

struct profile_rails {
	struct profile_rail rail[RAIL_COUNT];
};

/* Whether a factor differs from 1 beyond doubt: by more than three standard errors, which chance
 * alone does to one of four rails in about one session of a hundred. */
bool profile_factor_stands_out(const struct estimate *factor);

struct profile_ball {
	const char *label;
	bool reference;
	struct estimate grip; /* reference: value 1, held */
};

/* How a player strikes, in one session (one file): how far the tries of one shot scatter, and how far
 * all strokes are off the design. */
enum player_spread {
	PLAYER_SPEED_SPREAD,    /* of the logarithm of the speed */
	PLAYER_AIM_SPREAD,      /* degrees */
	PLAYER_HEIGHT_SPREAD,   /* of the tip, in ball radii */
	PLAYER_SIDE_SPREAD,
	PLAYER_SPREADS
};

enum player_offset {
	PLAYER_SPEED_FACTOR, /* on all speeds; 1 is as designed */
	PLAYER_HEIGHT_OFFSET, /* ball radii, follow positive */
	PLAYER_SIDE_OFFSET,   /* right positive */
	PLAYER_OFFSETS
};

/* Their keys in files, e.g. "speed_spread", "speed_factor". */
const char *player_spread_name(enum player_spread spread);
const char *player_offset_name(enum player_offset offset);

/* The standard deviation of a player's tries about their mean. */
struct profile_spread {
	bool told; /* enough tries tell it; else all is 0 */
	size_t tries;
	double value, low95, high95;
};

struct profile_player {
	const char *name; /* "" where nobody is named */
	const char *file;
	struct profile_spread spread[PLAYER_SPREADS];
	struct interval offset[PLAYER_OFFSETS];
};

struct set_aside_row {
	const char *file;
	size_t line;
	const char *shot;
	const char *reason;
};

/* A constant with the errors of the model that its fit names: what a table may do unseen. */
struct profile_model_error {
	bool named;
	double standard_error, low95, high95; /* of the constant, these errors included */
	const char *because;                  /* their names (estimate/omissions.h), by ", " */
};

struct profile_source {
	const char *file;
	char sha256[65];
	const char *protocol;     /* its name */
	char protocol_sha256[65];
};

struct profile {
	struct arena *arena;      /* owns every string and array here */
	const char *tool_version;
	const char *made;         /* RFC 3339 */
	uint64_t seed;
	const char *notes[SESSION_NOTES]; /* NULL where not given */
	struct table table;
	struct estimate constants[CONSTANT_COUNT];
	size_t correlation_count;
	const char **correlation_order; /* names of constants, or "grip:LABEL" */
	double *correlation;      /* correlation_count squared, by rows */
	size_t ball_count;
	struct profile_ball *balls;
	struct estimate conditions[CONDITION_COUNT];
	bool has_slope;           /* else the table is level */
	struct profile_slope slope;
	bool has_liveliness_fall; /* else the liveliness of the cushions is the same at all speeds */
	struct estimate liveliness_fall; /* "liveliness_with_speed" [s/m] */
	bool has_nap;             /* else the cloth has none that matters */
	struct estimate nap;      /* "nap_long": push on a rolling ball over g, toward the foot */
	bool has_rails;           /* else the rails are alike */
	struct profile_rails rails;
	size_t player_count;      /* none: nothing is known of how anybody strikes */
	struct profile_player *players;
	struct profile_model_error model_errors[CONSTANT_COUNT];
	size_t shots_used;
	size_t set_aside_count;
	struct set_aside_row *set_aside;
	double chi_square;
	double degrees_of_freedom;
	bool scaled;
	const char *stop_reason;
	bool has_lack_of_fit_p;
	double lack_of_fit_p;
	size_t source_count;
	struct profile_source *sources;
};

void profile_free(struct profile *profile);

/* The best values of the constants, also where not determined (then the prior's), with the terms
 * that the profile holds; the others are 0. */
struct constants profile_constants(const struct profile *profile);

#endif
