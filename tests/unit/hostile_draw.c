/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "hostile_draw.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

long hostile_shots_wanted(long usual)
{
	const char *text = getenv("HOSTILE_SHOTS");
	long wanted = text != NULL ? strtol(text, NULL, 10) : 0;

	return wanted > 0 ? wanted : usual;
}

long hostile_first(void)
{
	const char *text = getenv("HOSTILE_FIRST");
	long first = text != NULL ? strtol(text, NULL, 10) : 0;

	return first > 0 ? first : 0;
}

size_t hostile_draw_below(struct random_stream *stream, size_t limit)
{
	return (size_t)(random_bits(stream) % limit);
}

static double log_uniform(struct random_stream *stream, double low, double high)
{
	return exp(shot_support_between(stream, log(low), log(high)));
}

static void add_numbers(struct hostile *hostile, double *numbers, size_t count)
{
	for (size_t i = 0; i < count && hostile->count < HOSTILE_NUMBERS; i++)
		hostile->numbers[hostile->count++] = &numbers[i];
}

static void list_numbers(struct hostile *hostile)
{
	struct shot_support *shot = &hostile->shot;
	struct constant_terms *terms = &shot->constants.terms;

	hostile->count = 0;
	add_numbers(hostile, &shot->table.length, 1);
	add_numbers(hostile, &shot->table.width, 1);
	add_numbers(hostile, &shot->table.nose_height, 1);
	add_numbers(hostile, &shot->table.corner_mouth, 1);
	add_numbers(hostile, &shot->table.side_mouth, 1);
	add_numbers(hostile, shot->constants.value, CONSTANT_COUNT);
	add_numbers(hostile, &terms->slope_long, 1);
	add_numbers(hostile, &terms->slope_short, 1);
	add_numbers(hostile, &terms->liveliness_fall, 1);
	add_numbers(hostile, &terms->ball_friction_fall, 1);
	add_numbers(hostile, &terms->bed_restitution, 1);
	add_numbers(hostile, &shot->scene.tolerance, 1);
	for (size_t i = 0; i < shot->scene.ball_count; i++) {
		add_numbers(hostile, &shot->bodies[i].radius, 1);
		add_numbers(hostile, &shot->bodies[i].mass, 1);
		add_numbers(hostile, &shot->bodies[i].grip, 1);
		add_numbers(hostile, &shot->states[i].position.x, 1);
		add_numbers(hostile, &shot->states[i].position.y, 1);
		add_numbers(hostile, &shot->states[i].position.z, 1);
		add_numbers(hostile, &shot->states[i].velocity.x, 1);
		add_numbers(hostile, &shot->states[i].velocity.y, 1);
		add_numbers(hostile, &shot->states[i].velocity.z, 1);
		add_numbers(hostile, &shot->states[i].spin.x, 1);
		add_numbers(hostile, &shot->states[i].spin.y, 1);
		add_numbers(hostile, &shot->states[i].spin.z, 1);
		add_numbers(hostile, &hostile->irregular[i][0].liveliness, 1);
		add_numbers(hostile, &hostile->irregular[i][0].turn, 1);
	}
}

/* Some terms of the model, more often none. */
static void draw_terms(struct random_stream *stream, struct constant_terms *terms)
{
	if (random_bits(stream) % 4 == 0) {
		terms->slope_long = shot_support_between(stream, -0.01, 0.01);
		terms->slope_short = shot_support_between(stream, -0.01, 0.01);
	}
	if (random_bits(stream) % 4 == 0)
		terms->liveliness_fall = shot_support_between(stream, 0.0, 0.1);
	if (random_bits(stream) % 4 == 0)
		terms->ball_friction_fall = shot_support_between(stream, 0.0, 2.0);
	if (random_bits(stream) % 4 == 0)
		terms->bed_restitution = shot_support_between(stream, 0.0, 0.8);
}

/* A ball that moves in any way that a stroke or a contact could leave it in. */
static void draw_motion(struct random_stream *stream, struct ball_state *state, double radius)
{
	double heading = shot_support_between(stream, -M_PI, M_PI);
	double speed = log_uniform(stream, 1e-3, 12.0);

	state->velocity = vector3_make(speed * cos(heading), speed * sin(heading), 0.0);
	state->spin.x = speed / radius * random_normal(stream);
	state->spin.y = speed / radius * random_normal(stream);
	state->spin.z = speed / radius * random_normal(stream);
}

/* A scene and a start that a table can have. Few balls mostly, as the most are slow to play. */
static void draw_proper(struct random_stream *stream, struct hostile *hostile)
{
	struct shot_support *shot = &hostile->shot;
	size_t balls =
	    1 + hostile_draw_below(stream, random_bits(stream) % 8 == 0 ? SHOT_BALLS : 5);

	memset(hostile, 0, sizeof *hostile);
	shot_support_start(shot, balls);
	shot->table.pockets = random_bits(stream) % 2 == 0;
	if (random_bits(stream) % 2 == 0)
		shot_support_draw_constants(stream, &shot->constants);
	draw_terms(stream, &shot->constants.terms);
	for (size_t i = 0; i < balls && random_bits(stream) % 4 == 0; i++) {
		shot->bodies[i].radius *= shot_support_between(stream, 0.9, 1.1);
		shot->bodies[i].mass *= shot_support_between(stream, 0.7, 1.4);
		shot->bodies[i].grip = shot_support_between(stream, 0.5, 2.0);
	}
	shot_support_draw_shot(stream, shot);
	for (size_t i = 1; i < balls && random_bits(stream) % 2 == 0; i++)
		draw_motion(stream, &shot->states[i], shot->bodies[i].radius);
	for (size_t i = 0; i < balls; i++) {
		hostile->present[i] = i == 0 || random_bits(stream) % 8 != 0;
		for (int k = 0; k < SHOT_IRREGULAR; k++) {
			hostile->irregular[i][k].liveliness = 0.05 * random_uniform(stream);
			hostile->irregular[i][k].turn = 0.05 * random_uniform(stream) - 0.025;
		}
	}
	shot->scene.present = hostile->present;
	if (random_bits(stream) % 2 == 0)
		shot->scene.irregular =
		    (const struct rail_irregularity(*)[SHOT_IRREGULAR])hostile->irregular;
	list_numbers(hostile);
}

/* Balls that touch from the start, in a row, or frozen to rails. */
static void touch(struct random_stream *stream, struct hostile *hostile)
{
	struct shot_support *shot = &hostile->shot;

	for (size_t i = 1; i < shot->scene.ball_count; i++) {
		double way = shot_support_between(stream, -M_PI, M_PI);
		double reach = shot->bodies[i].radius + shot->bodies[i - 1].radius;
		struct vector3 *p = &shot->states[i].position;

		*p = shot->states[i - 1].position;
		p->x += reach * cos(way);
		p->y += reach * sin(way);
		p->z = shot->bodies[i].radius;
		if (random_bits(stream) % 4 == 0)
			p->x = random_bits(stream) % 2 == 0
			           ? shot->bodies[i].radius
			           : shot->table.width - shot->bodies[i].radius;
	}
}

/* Balls anywhere: inside one another, outside the table, below the bed. */
static void crowd(struct random_stream *stream, struct hostile *hostile)
{
	struct shot_support *shot = &hostile->shot;
	double span = log_uniform(stream, 1e-9, 10.0);
	bool together = random_bits(stream) % 2 == 0;

	if (!together)
		touch(stream, hostile);
	for (size_t i = 0; i < shot->scene.ball_count; i++) {
		struct vector3 *p = &shot->states[i].position;

		p->x = (together ? 0.6 : p->x) + shot_support_between(stream, -span, span);
		p->y = (together ? 1.2 : p->y) + shot_support_between(stream, -span, span);
		if (random_bits(stream) % 64 == 0)
			p->z = shot_support_between(stream, -span, span);
		if (random_bits(stream) % 8 == 0 && i > 0)
			*p = shot->states[i - 1].position;
		if (random_bits(stream) % 4 == 0)
			draw_motion(stream, &shot->states[i], shot->bodies[i].radius);
	}
}

/* Constants at their limits, at those of the formulas, and some beyond. */
static void stretch(struct random_stream *stream, struct hostile *hostile)
{
	static const double beyond[] = {0.0,  -0.0,  1.0, 1.0 + 1e-15,
	                                -0.3, 1e-12, 7.0, 0.9999999999};
	struct constants *constants = &hostile->shot.constants;
	double *terms[] = {&constants->terms.slope_long, &constants->terms.slope_short,
	                   &constants->terms.liveliness_fall, &constants->terms.ball_friction_fall,
	                   &constants->terms.bed_restitution, &constants->terms.nap_long};

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)id);

		constants->value[id] =
		    random_bits(stream) % 2 == 0 ? prior->lowest : prior->highest;
		if (random_bits(stream) % 8 == 0)
			constants->value[id] =
			    beyond[hostile_draw_below(stream, sizeof beyond / sizeof beyond[0])];
	}
	for (size_t i = 0; i < sizeof terms / sizeof terms[0]; i++) {
		static const double values[] = {0.0,   0.0,    0.0,  0.0, 0.0, 0.0,
		                                0.001, -0.001, 0.02, 0.1, 1.0, -2.0};

		*terms[i] = values[hostile_draw_below(stream, sizeof values / sizeof values[0])];
	}
}

/* Puts numbers in that nobody would. */
static void poison(struct random_stream *stream, struct hostile *hostile)
{
	static const double bad[] = {NAN,     HUGE_VAL, -HUGE_VAL, 0.0,    -0.0,       5e-324,
	                             -5e-324, 1e-310,   DBL_MIN,   1e-160, DBL_MAX,    -DBL_MAX,
	                             1e154,   -1e155,   1e18,      1e6,    -1e6,       1.0,
	                             -1.0,    0.028575, 1e-9,      -1e-9,  DBL_EPSILON};

	for (size_t k = 1 + hostile_draw_below(stream, 3); k-- > 0;)
		*hostile->numbers[hostile_draw_below(stream, hostile->count)] =
		    bad[hostile_draw_below(stream, sizeof bad / sizeof bad[0])];
}

/* Every number of any size, or scaled. */
static void scale(struct random_stream *stream, struct hostile *hostile)
{
	double most = log_uniform(stream, 1.001, 1e6);

	for (size_t i = 0; i < hostile->count; i++)
		if (random_bits(stream) % 16 == 0)
			*hostile->numbers[i] *= log_uniform(stream, 1.0 / most, most) *
			                        (random_bits(stream) % 64 == 0 ? -1.0 : 1.0);
}

typedef void spoil(struct random_stream *stream, struct hostile *hostile);

static void leave(struct random_stream *stream, struct hostile *hostile)
{
	(void)stream;
	(void)hostile;
}

static spoil *const ways[HOSTILE_WAYS] = {leave, touch, crowd, stretch, poison, scale};

const char *const hostile_way_names[HOSTILE_WAYS] = {"proper",    "touching", "crowded",
                                                     "stretched", "poisoned", "scaled"};

static void draw_need(struct random_stream *stream, const struct shot_support *shot,
                      struct shot_need *need)
{
	memset(need, 0, sizeof *need);
	need->everything = random_bits(stream) % 4 != 0;
	need->struck = random_bits(stream) % 2 == 0;
	need->ball_contacts = (int)(random_bits(stream) % 3);
	need->sounds = (int)(random_bits(stream) % 3);
	for (size_t i = 0; i < shot->scene.ball_count; i++)
		need->rails[i] = (int)(random_bits(stream) % 3);
}

void hostile_draw(long i, struct hostile *hostile)
{
	struct random_stream stream = random_start(5501, (uint64_t)i);

	draw_proper(&stream, hostile);
	ways[i % HOSTILE_WAYS](&stream, hostile);
	draw_need(&stream, &hostile->shot, &hostile->need);
}
