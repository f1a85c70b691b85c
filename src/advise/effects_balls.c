/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/effects_contact.h"

#include <math.h>

#include "advise/effects_measures.h"

#define GAP 1e-6 /* between balls that all but touch [m] */

struct ball_state effects_object(const struct effects_bench *bench, const struct effect_play *play)
{
	const struct ball_body *object = &bench->bodies[BALL_OBJECT];
	double reach = bench->bodies[BALL_CUE].radius + object->radius;
	double cut = play->angle_deg * M_PI / 180.0;
	double ahead =
	    play->distance > 0.0 ? play->distance * bench->diamond : reach * cos(cut) + GAP;

	return (struct ball_state){.position = {reach * sin(cut), ahead, object->radius}};
}

bool effects_contact(const struct effects_bench *bench, const struct effect_play *play,
                     struct ball_state states[2])
{
	states[0] = effects_bench_strike(bench, play);
	states[1] = effects_object(bench, play);
	return effects_bench_meet(bench, states, 2);
}

static double angle_between(struct vector3 way, struct vector3 line)
{
	return fabs(atan2(way.x * line.y - way.y * line.x, way.x * line.x + way.y * line.y)) *
	       180.0 / M_PI;
}

double effect_throw(const struct effects_bench *bench, const struct effect_play *play)
{
	struct ball_state states[2];

	if (!effects_contact(bench, play, states))
		return (double)NAN;
	return angle_between(states[1].velocity,
	                     vector3_subtract(states[1].position, states[0].position));
}

/* The pair lies along y: the cue ball comes at an angle, so that all is turned until it goes along
 * y, as effects_object has it. */
double effect_frozen_pair(const struct effects_bench *bench, const struct effect_play *play)
{
	const double radius = bench->bodies[BALL_OBJECT2].radius;
	double reach = bench->bodies[BALL_OBJECT].radius + radius;
	struct ball_state states[3] = {effects_bench_strike(bench, play),
	                               effects_object(bench, play)};
	struct vector3 line;

	states[2] = states[1];
	states[2].position.y += reach;
	states[2].position.z = radius;
	line = vector3_subtract(states[2].position, states[1].position);
	if (!effects_bench_meet(bench, states, 3))
		return (double)NAN;
	return angle_between(states[2].velocity, line);
}
