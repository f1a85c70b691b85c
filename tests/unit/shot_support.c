/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot_support.h"

#include <math.h>
#include <string.h>

#include "physics/cushion.h"

void shot_support_start(struct shot_support *shot, size_t balls)
{
	memset(shot, 0, sizeof *shot);
	shot->table = *table_find_preset("pool-9ft", strlen("pool-9ft"));
	shot->table.pockets = false;
	shot->constants = constants_centre();
	shot->need.everything = true;
	for (size_t i = 0; i < balls; i++) {
		double radius = 0.5 * shot->table.ball_diameter;

		shot->bodies[i] = (struct ball_body){radius, shot->table.ball_mass, 1.0};
		shot->states[i].position = vector3_make(0.173 + 0.131 * (double)(i % 7),
		                                        0.311 + 0.197 * (double)(i / 7), radius);
	}
	shot->scene = (struct shot_scene){.table = &shot->table,
	                                  .constants = &shot->constants,
	                                  .ball_count = balls,
	                                  .bodies = shot->bodies,
	                                  .tolerance = CUSHION_TOLERANCE};
}

double shot_support_between(struct random_stream *stream, double low, double high)
{
	return low + (high - low) * random_uniform(stream);
}

void shot_support_draw_constants(struct random_stream *stream, struct constants *constants)
{
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);

		constants->value[i] = shot_support_between(stream, prior->lowest, prior->highest);
	}
}

struct ball_state shot_support_ball(double x, double y, double radius, double heading, double v,
                                    double follow, double side)
{
	double c = cos(heading), s = sin(heading);

	return (struct ball_state){
	    .position = vector3_make(x, y, radius),
	    .velocity = vector3_make(v * c, v * s, 0.0),
	    .spin = vector3_scale(1.0 / radius, vector3_make(-follow * s, follow * c, side))};
}

/* A place for ball i that no earlier ball takes. */
static void draw_place(struct random_stream *stream, struct shot_support *shot, size_t i)
{
	double radius = shot->bodies[i].radius;
	bool free_place = false;

	while (!free_place) {
		struct vector3 *p = &shot->states[i].position;

		p->x = shot_support_between(stream, radius, shot->table.width - radius);
		p->y = shot_support_between(stream, radius, shot->table.length - radius);
		p->z = radius;
		free_place = true;
		for (size_t k = 0; k < i; k++)
			if (vector3_norm_flat(vector3_subtract(*p, shot->states[k].position)) <
			    radius + shot->bodies[k].radius)
				free_place = false;
	}
}

void shot_support_draw_shot(struct random_stream *stream, struct shot_support *shot)
{
	double offset = 0.5 * sqrt(random_uniform(stream));
	double turn = shot_support_between(stream, -M_PI, M_PI);
	double heading = shot_support_between(stream, -M_PI, M_PI);
	double v = shot_support_between(stream, 0.2, 7.0);

	for (size_t i = 0; i < shot->scene.ball_count; i++) {
		shot->states[i] = (struct ball_state){.velocity = {0.0, 0.0, 0.0}};
		draw_place(stream, shot, i);
	}
	shot->states[0] = shot_support_ball(
	    shot->states[0].position.x, shot->states[0].position.y, shot->bodies[0].radius, heading,
	    v, 2.5 * offset * sin(turn) * v, 2.5 * offset * cos(turn) * v);
}

void shot_support_play(const struct shot_support *shot, const struct shot_need *need,
                       struct shot_record *record)
{
	shot_play(&shot->scene, shot->states, need != NULL ? need : &shot->need, record);
}
