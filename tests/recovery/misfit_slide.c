/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "misfit_slide.h"

#include <math.h>

#include "physics/cloth.h"

#define ENDED 1e-7 /* a slip left at the end of a piece that is none [m/s] */

static double slide_fall;

void misfit_slide_set(double fall)
{
	slide_fall = fall;
}

struct cloth_motion __real_cloth_motion_start(const struct ball_state *state,
                                              const struct ball_body *body,
                                              const struct constants *constants);
struct cloth_motion __wrap_cloth_motion_start(const struct ball_state *state,
                                              const struct ball_body *body,
                                              const struct constants *constants);
struct ball_state __real_cloth_advance(const struct ball_state *state,
                                       const struct cloth_motion *motion, double radius,
                                       double time);
struct ball_state __wrap_cloth_advance(const struct ball_state *state,
                                       const struct cloth_motion *motion, double radius,
                                       double time);

struct cloth_motion __wrap_cloth_motion_start(const struct ball_state *state,
                                              const struct ball_body *body,
                                              const struct constants *constants)
{
	double slip = vector3_norm_flat(ball_slip(state, body->radius));
	double piece = slip > 1.5 * MISFIT_PIECE ? MISFIT_PIECE : slip;
	struct constants changed = *constants;
	struct cloth_motion motion;

	if (slide_fall != 0.0)
		changed.value[SLIDING_FRICTION] *= exp(-slide_fall * (slip - 0.5 * piece - 1.0));
	motion = __real_cloth_motion_start(state, body, &changed);
	if (slide_fall != 0.0 && motion.phase == CLOTH_SLIDING && piece < slip)
		motion.duration *= piece / slip;
	return motion;
}

/* The end of a piece is not that of the slide: the ball does not roll yet. */
struct ball_state __wrap_cloth_advance(const struct ball_state *state,
                                       const struct cloth_motion *motion, double radius,
                                       double time)
{
	struct cloth_motion onward;

	if (slide_fall == 0.0 || motion->phase != CLOTH_SLIDING ||
	    vector3_norm_flat(ball_slip(state, radius)) -
	            3.5 * vector3_norm_flat(motion->acceleration) * motion->duration <
	        ENDED)
		return __real_cloth_advance(state, motion, radius, time);
	onward = *motion;
	onward.duration = HUGE_VAL;
	return __real_cloth_advance(state, &onward, radius, time);
}
