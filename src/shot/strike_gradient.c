/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/strike_gradient.h"

#include <math.h>

#include "physics/cue.h"

void strike_gradient(const struct shot_setup *setup, const struct shot_design *design,
                     const struct stroke *stroke, double end_mass_ratio,
                     struct shot_gradient *gradient)
{
	const struct ball_body *body = &setup->bodies[BALL_CUE];
	struct gradient_row *part = gradient->balls[BALL_CUE].part;
	struct cue_slopes slopes;

	if (design->launch.by_ramp)
		cue_release_slopes(stroke, setup->aim, design->launch.groove_deg * M_PI / 180.0,
		                   body, &slopes);
	else
		cue_strike_slopes(stroke, setup->aim, end_mass_ratio, body, &slopes);
	for (int j = 0; j < STRIKE_DIRECTIONS; j++)
		for (int k = 0; k < CUE_OUT; k++)
			gradient_set(&part[PART_VELOCITY_X + k], j, slopes.by[k][j]);
}
