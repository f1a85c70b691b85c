/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "physics/cushion_impact.h"

/* The rest of an impact after the ball has left the bed: it touches only the nose. A force along
 * the normal passes the centre and leaves the slip alone, one along the slip takes it away at the
 * same rate whatever its direction, so that the direction stays. */

/* The normal impulse that is left: to the end of the approach, or until the work has been given
 * back. approach is the speed into the nose. */
static double impulse_left(const struct impact_run *run, bool compressing, double approach)
{
	double left = fmax(0.0, run->state.work);

	return compressing ? approach : approach + sqrt(approach * approach + 2.0 * left);
}

bool impact_fly_on(struct impact_run *run, bool compressing)
{
	struct impact_state *state = &run->state;
	double s = run->impact.sine, c = run->impact.cosine;
	double approach = state->into * c + state->up * s;
	double impulse = fmax(0.0, impulse_left(run, compressing, approach)), size;
	vector2 slip = {state->along + state->spin_speed[1] * s - state->spin_speed[2] * c,
	                state->spin_speed[0] - state->into * s + state->up * c};
	vector2 force[CONTACT_PLACES] = {{0.0, 0.0}, {0.0, 0.0}};

	run->flies = true;
	run->impact.lifted = true;
	size = sqrt(vector2_dot(slip, slip));
	if (size > 0.0)
		force[CONTACT_NOSE] =
		    slip * (fmin(run->impact.friction[CONTACT_NOSE] * impulse, size / 3.5) / size);
	impact_push(run, force, impulse);
	state->up -= c * force[CONTACT_NOSE][1] + s * impulse;
	state->work += impulse * (approach - 0.5 * impulse);
	run->steps++;
	run->lifted_steps++;
	return isfinite(state->along + state->up);
}
