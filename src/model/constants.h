/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_MODEL_CONSTANTS_H
#define RESTPOINT_MODEL_CONSTANTS_H

#include <stdbool.h>
#include <stddef.h>

/* Standard gravity [m/s^2], in every formula. */
#define STANDARD_GRAVITY 9.80665

/* The physical constants of a table and its balls (physics.md 8). All are pure numbers. */
enum constant_id {
	SLIDING_FRICTION,    /* ball on cloth, sliding */
	ROLLING_RESISTANCE,  /* deceleration of a rolling ball / g */
	SPIN_FRICTION,       /* |wz| falls at 5/2 spin_friction g / R */
	CUSHION_RESTITUTION, /* energetic restitution at the nose */
	CUSHION_FRICTION,    /* ball on cushion */
	BALL_RESTITUTION,    /* ball on ball */
	BALL_FRICTION,       /* ball on ball */
	CONSTANT_COUNT
};

/* What the model can say besides, for shots that need it. All zero, the default: a level table on
 * which nothing falls with speed and no ball leaves the bed. */
struct constant_terms {
	double slope_long;         /* rise per run, positive uphill toward the foot */
	double slope_short;        /* likewise toward the right */
	double liveliness_fall;    /* [s/m]: cushion_restitution holds at an approach speed of 1 m/s and
	                              is less by this for each m/s more (physics.md 2, k) */
	double ball_friction_fall; /* [s/m]: ball_friction holds at a slip of 1 m/s and is multiplied by
	                              exp(-this) for each m/s more */
	double bed_restitution;    /* of a ball that lands on the bed; 0: balls do not leave it */
	double nap_long;           /* push of a napped cloth on a rolling ball, over g: positive where
	                              the nap runs to the foot (physics/cloth.h) */
};

/* One value for each constant, indexed by constant_id, and the optional terms. */
struct constants {
	double value[CONSTANT_COUNT];
	struct constant_terms terms;
};

/* The scale on which a constant is fitted and on which its prior is normal. */
enum constant_scale { SCALE_LOG, SCALE_LOGIT };

/* What is known about a constant before any measurement. */
struct constant_prior {
	const char *name;          /* as in files, e.g. "sliding_friction" */
	const char *title;         /* in words, e.g. "sliding friction" */
	enum constant_scale scale; /* log or logit */
	double centre;             /* value at the middle of the prior */
	double spread;             /* 1 sd on the scale */
	double lowest, highest;    /* hard limits of the value */
	const char *source;        /* basis of the numbers */
};

/* The entry of one constant; never NULL for a valid id. */
const struct constant_prior *constant_prior(enum constant_id id);

/* True and *id when the length bytes are the name of a constant. */
bool constant_from_name(const char *name, size_t length, enum constant_id *id);

/* Value to fitted scale and back: log v, or log(v / (1 - v)). The value must lie in (0, inf) or
 * (0, 1). */
double constant_to_scale(enum constant_id id, double value);
double constant_from_scale(enum constant_id id, double scaled);

/* d(value)/d(fitted scale) at that value: v, or v (1 - v). */
double constant_scale_slope(enum constant_id id, double value);

/* Every constant at the centre of its prior. */
struct constants constants_centre(void);

#endif
