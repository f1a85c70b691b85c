/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_MODEL_PROTOCOL_H
#define RESTPOINT_MODEL_PROTOCOL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "model/quantity.h"
#include "table/rail.h"

/* A protocol: the shots to play, as designed (formats.md 4). Positions in diamonds. */

/* One coordinate of a placed ball. */
struct place_coordinate {
	double diamonds; /* when not frozen */
	bool frozen;     /* the ball touches the rail */
	enum rail rail;
};

struct placement {
	bool present;
	bool touching; /* placed against another ball instead of by coordinates */
	struct place_coordinate along, across; /* long and short */
	enum ball_role touched;                /* touching: the ball it touches */
	double toward_long, toward_short;      /* touching: the point the line of centres runs to */
	double diameter, mass; /* of the ball of this shot [m], [kg]; 0 where the design does not say */
};

enum aim_kind { AIM_NOSE, AIM_SIGHT, AIM_POINT, AIM_BALL };
enum aim_side { AIM_SIDE_NONE, AIM_SIDE_LEFT, AIM_SIDE_RIGHT };

struct aim {
	enum aim_kind kind;
	enum rail rail;               /* nose, sight */
	double at;                    /* nose, sight: diamonds along that rail */
	double point_long, point_short; /* point */
	enum ball_role ball;          /* ball */
	double fullness;              /* ball: 0 < fullness <= 1 */
	enum aim_side contact;        /* ball: the side of it that is hit, seen along the shot */
	double spread_deg;            /* 1 sd of the direction of one stroke, default 0.3 */
};

#define AIM_DEFAULT_SPREAD_DEG 0.3

/* How the ball is set going. */
struct launch {
	bool by_ramp;
	double speed;        /* just after the strike, or at the bed [m/s] */
	double speed_spread; /* 1 sd of its logarithm from stroke to stroke */
	double height, height_spread; /* fraction of the radius, follow positive */
	double side, side_spread;     /* fraction of the radius, right positive */
	double elevation_deg;         /* of the cue's butt, default 0 */
	const char *ramp;    /* by ramp: its name; else NULL */
	double group_spread; /* by ramp: 1 sd of the logarithm of the speed all its shots share */
	double groove_deg;   /* by ramp: full angle of the groove, 180 flat */
};

#define RAMP_DEFAULT_GROUP_SPREAD 0.3
#define RAMP_DEFAULT_SPEED_SPREAD 0.01
#define RAMP_DEFAULT_GROOVE_DEG 180.0
#define STROKE_OFFSET_DESIGNED 0.5 /* largest sqrt(side^2 + height^2) of a designed stroke */
#define STROKE_OFFSET_FITTED 0.6   /* the same for a stroke as played */

struct watch_interval {
	struct moment from, to;
};

struct shot_design {
	const char *key;   /* "shot" */
	const char *title; /* may be "" */
	const char *how;   /* may be "" */
	int tries;         /* 1 or more */
	struct placement place[BALL_ROLES]; /* place[BALL_CUE].present is always true */
	struct aim aim;
	struct launch launch;
	int watch_count;
	struct watch_interval watch[WATCH_READINGS];
	uint32_t measure; /* mask of quantities to read */
};

enum protocol_kit {
	KIT_TAPE = 1u << 0,
	KIT_WATCH = 1u << 1,
	KIT_SOUND = 1u << 2,
	KIT_RAMP = 1u << 3,
	KIT_VIDEO = 1u << 4
};

struct protocol {
	struct arena *arena; /* owns every string and array here; NULL for a protocol made in a test */
	const char *file;    /* where it was read from; may be NULL */
	char sha256[65];     /* of the file's bytes, hexadecimal; "" when made in memory */
	const char *name, *title, *purpose;
	double minutes;      /* expected, 0 when not given */
	unsigned kit;        /* of enum protocol_kit */
	size_t shot_count;
	struct shot_design *shots;
};

/* The shot of that key, or NULL. */
const struct shot_design *protocol_find_shot(const struct protocol *protocol, const char *key);

/* Gives back a protocol's memory; safe on one set to zero. */
void protocol_free(struct protocol *protocol);

#endif
