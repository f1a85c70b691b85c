/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/constants.h"

#include <math.h>
#include <string.h>

/* Natural logarithms of the factors 1.6, 1.8 and 2, the spreads of the log-normal priors. */
#define LOG_1_6 0.470003629245735554
#define LOG_1_8 0.587786664902119008
#define LOG_2_0 0.693147180559945309

#define MATHAVAN_2009 "Mathavan, Jackson & Parkin, Am. J. Phys. 77, 788 (2009)"
#define MATHAVAN_2010 "Mathavan, Jackson & Parkin, Proc. IMechE C 224, 1863 (2010)"

static const struct constant_prior priors[CONSTANT_COUNT] = {
	[SLIDING_FRICTION] = {
		.name = "sliding_friction",
		.title = "sliding friction",
		.scale = SCALE_LOG,
		.centre = 0.20,
		.spread = LOG_1_6,
		.lowest = 0.03,
		.highest = 0.6,
		.source = "snooker cloth 0.178 to 0.245: " MATHAVAN_2009 ", value from memory",
	},
	[ROLLING_RESISTANCE] = {
		.name = "rolling_resistance",
		.title = "rolling resistance",
		.scale = SCALE_LOG,
		.centre = 0.010,
		.spread = LOG_1_6,
		.lowest = 0.002,
		.highest = 0.05,
		.source = "0.0127 to 0.0129: " MATHAVAN_2009 ", value from memory; roll times",
	},
	[SPIN_FRICTION] = {
		.name = "spin_friction",
		.title = "spin friction",
		.scale = SCALE_LOG,
		.centre = 0.010,
		.spread = LOG_2_0,
		.lowest = 0.001,
		.highest = 0.06,
		.source = "estimate",
	},
	[CUSHION_RESTITUTION] = {
		.name = "cushion_restitution",
		.title = "cushion restitution",
		.scale = SCALE_LOGIT,
		.centre = 0.93,
		.spread = 0.6,
		.lowest = 0.5,
		.highest = 1.0,
		.source = "0.98 below 2.5 m/s: " MATHAVAN_2010,
	},
	[CUSHION_FRICTION] = {
		.name = "cushion_friction",
		.title = "cushion friction",
		.scale = SCALE_LOG,
		.centre = 0.17,
		.spread = LOG_1_6,
		.lowest = 0.02,
		.highest = 0.5,
		.source = "0.14: " MATHAVAN_2010,
	},
	[BALL_RESTITUTION] = {
		.name = "ball_restitution",
		.title = "ball restitution",
		.scale = SCALE_LOGIT,
		.centre = 0.95,
		.spread = 0.5,
		.lowest = 0.8,
		.highest = 1.0,
		.source = "a half-ball deflection of about 33 degrees allows 0.95 to 1: Broadfoot, "
		          "Billiards (1896)",
	},
	[BALL_FRICTION] = {
		.name = "ball_friction",
		.title = "ball friction",
		.scale = SCALE_LOG,
		.centre = 0.06,
		.spread = LOG_1_8,
		.lowest = 0.003,
		.highest = 0.25,
		.source = "0.06: Cross, Am. J. Phys. 76, 205 (2008)",
	},
};

const struct constant_prior *constant_prior(enum constant_id id)
{
	return &priors[id];
}

bool constant_from_name(const char *name, size_t length, enum constant_id *id)
{
	for (unsigned i = 0; i < CONSTANT_COUNT; i++) {
		if (strlen(priors[i].name) == length && memcmp(priors[i].name, name, length) == 0) {
			*id = (enum constant_id)i;
			return true;
		}
	}
	return false;
}

double constant_to_scale(enum constant_id id, double value)
{
	if (priors[id].scale == SCALE_LOG)
		return log(value);
	return log(value) - log1p(-value);
}

double constant_from_scale(enum constant_id id, double scaled)
{
	if (priors[id].scale == SCALE_LOG)
		return exp(scaled);
	/* The form that keeps all digits of a small value. */
	if (scaled < 0.0)
		return exp(scaled) / (1.0 + exp(scaled));
	return 1.0 / (1.0 + exp(-scaled));
}

double constant_scale_slope(enum constant_id id, double value)
{
	return priors[id].scale == SCALE_LOG ? value : value * (1.0 - value);
}

struct constants constants_centre(void)
{
	struct constants centre = {.terms = {0}};

	for (int i = 0; i < CONSTANT_COUNT; i++)
		centre.value[i] = priors[i].centre;
	return centre;
}
