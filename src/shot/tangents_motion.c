/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "physics/slope.h"
#include "shot/gradient_rows.h"
#include "shot/tangents.h"

/* Derivatives of a ball's state while it moves (see tangents.h). */

#define G STANDARD_GRAVITY

void tangents_friction(const struct play *play, enum constant_id id, size_t i, double factor,
                       struct gradient_row *row)
{
	const struct shot_gradient *gradient = play->gradient;
	double value = play->scene->constants->value[id], grip = play->scene->bodies[i].grip;

	row_zero(row, gradient_pairs(gradient));
	for (int j = 0; j < gradient->count; j++) {
		const struct shot_direction *direction = &gradient->directions[j];

		if (direction->kind == DIRECTION_CONSTANT && direction->constant == id)
			gradient_set(row, j, factor * grip);
		else if (direction->kind == DIRECTION_GRIP && direction->ball == i)
			gradient_set(row, j, factor * value);
	}
}

void tangents_direction(const struct play *play, enum direction_kind kind, int which,
                        struct gradient_row *row)
{
	const struct shot_gradient *gradient = play->gradient;

	row_zero(row, gradient_pairs(gradient));
	for (int j = 0; j < gradient->count; j++) {
		const struct shot_direction *direction = &gradient->directions[j];
		int of = kind == DIRECTION_TERM ? (int)direction->term : (int)direction->constant;

		if (direction->kind == kind && of == which)
			gradient_set(row, j, 1.0);
	}
}

/* Derivatives of the acceleration -size w/|w| along and across w. */
struct turning {
	struct gradient_row x, y;
};

/* From those of w (wx, wy, overwritten) and of the size. */
static void turning_rows(struct vector3 w, double size, struct gradient_row *wx,
                         struct gradient_row *wy, const struct gradient_row *by_size, int n,
                         struct turning *turning)
{
	double speed = vector3_norm_flat(w), c = w.x / speed, s = w.y / speed;

	/* d(w/|w|) = (dw across w) / |w|, turned by a right angle from w. */
	for (int j = 0; j < n; j++) {
		direction_pair across = (c * wy->pair[j] - s * wx->pair[j]) * (size / speed);

		turning->x.pair[j] = s * across - c * by_size->pair[j];
		turning->y.pair[j] = -c * across - s * by_size->pair[j];
	}
}

void tangents_slip(const struct gradient_ball *ball, double radius, int n, struct gradient_row *ux,
                   struct gradient_row *uy)
{
	for (int j = 0; j < n; j++) {
		ux->pair[j] =
		    ball->part[PART_VELOCITY_X].pair[j] - radius * ball->part[PART_SPIN_Y].pair[j];
		uy->pair[j] =
		    ball->part[PART_VELOCITY_Y].pair[j] + radius * ball->part[PART_SPIN_X].pair[j];
	}
}

/* Moves place, velocity and spin on by a time with an acceleration that changes so; the spin's rate
 * is lever times the acceleration turned by a right angle. */
static void advance_rows(struct gradient_ball *ball, const struct turning *turning, double lever,
                         double time, int n)
{
	struct gradient_row *part = ball->part;

	for (int j = 0; j < n; j++) {
		direction_pair ax = turning->x.pair[j] * time, ay = turning->y.pair[j] * time;

		part[PART_X].pair[j] += time * (part[PART_VELOCITY_X].pair[j] + 0.5 * ax);
		part[PART_Y].pair[j] += time * (part[PART_VELOCITY_Y].pair[j] + 0.5 * ay);
		part[PART_VELOCITY_X].pair[j] += ax;
		part[PART_VELOCITY_Y].pair[j] += ay;
		part[PART_SPIN_X].pair[j] += lever * ay;
		part[PART_SPIN_Y].pair[j] -= lever * ax;
	}
}

static void advance_sliding(struct play *play, size_t i, double time)
{
	const struct moving_ball *moving = &play->balls[i];
	struct gradient_ball *ball = &play->gradient->balls[i];
	double radius = play->scene->bodies[i].radius;
	int n = gradient_pairs(play->gradient);
	struct gradient_row ux, uy, size;
	struct turning turning;

	tangents_friction(play, SLIDING_FRICTION, i, G, &size);
	tangents_slip(ball, radius, n, &ux, &uy);
	turning_rows(ball_slip(&moving->start, radius),
	             vector3_norm_flat(moving->motion.acceleration), &ux, &uy, &size, n, &turning);
	advance_rows(ball, &turning, 2.5 / radius, time, n);
}

static void advance_rolling(struct play *play, size_t i, double time)
{
	const struct moving_ball *moving = &play->balls[i];
	struct gradient_ball *ball = &play->gradient->balls[i];
	int n = gradient_pairs(play->gradient);
	struct gradient_row size, by_one;
	struct turning turning;

	tangents_direction(play, DIRECTION_CONSTANT, ROLLING_RESISTANCE, &by_one);
	row_zero(&size, n);
	row_add(&size, G, &by_one, n);
	turning_rows(moving->start.velocity, vector3_norm_flat(moving->motion.acceleration),
	             &ball->part[PART_VELOCITY_X], &ball->part[PART_VELOCITY_Y], &size, n,
	             &turning);
	advance_rows(ball, &turning, -1.0 / play->scene->bodies[i].radius, time, n);
}

/* Derivatives of the slopes that drive a ball: a rail may hold it against one of them. */
static void slope_rows(const struct play *play, size_t i, struct gradient_row *by_long,
                       struct gradient_row *by_short)
{
	const struct constant_terms *terms = &play->scene->constants->terms;
	struct constants driving = play_constants(play, i);
	int n = gradient_pairs(play->gradient);

	tangents_direction(play, DIRECTION_TERM, TERM_SLOPE_LONG, by_long);
	tangents_direction(play, DIRECTION_TERM, TERM_SLOPE_SHORT, by_short);
	if (driving.terms.slope_long != terms->slope_long)
		row_zero(by_long, n);
	if (driving.terms.slope_short != terms->slope_short)
		row_zero(by_short, n);
}

/* Adds what a nap does to a rolling ball: as a fall of 7/5 of it would. */
static void add_nap(const struct play *play, size_t i, struct gradient_row *by_long)
{
	struct constants driving = play_constants(play, i);
	int n = gradient_pairs(play->gradient);
	struct gradient_row by_nap;

	if (driving.terms.nap_long != play->scene->constants->terms.nap_long) {
		row_zero(by_long, n); /* the rail holds the ball against both */
		return;
	}
	tangents_direction(play, DIRECTION_TERM, TERM_NAP, &by_nap);
	row_add(by_long, -1.4, &by_nap, n);
}

/* On a slope: also when the phase would end, by the derivatives, for the event if it does. */
static void advance_curved(struct play *play, size_t i, double time)
{
	const struct moving_ball *moving = &play->balls[i];
	struct gradient_ball *ball = &play->gradient->balls[i];
	bool slides = moving->motion.phase == CLOTH_SLIDING;
	double value =
	    play->scene->constants->value[slides ? SLIDING_FRICTION : ROLLING_RESISTANCE];
	double friction = value * (slides ? play->scene->bodies[i].grip : 1.0);
	int n = gradient_pairs(play->gradient);
	struct gradient_row in[SLOPE_BY], out[SLOPE_PARTS];
	struct slope_slopes slopes;

	slope_differentiate(&moving->start, &moving->motion, play->scene->bodies[i].radius,
	                    friction, time, &slopes);
	for (int k = 0; k < 4; k++)
		row_copy(&in[k], &ball->part[PART_VELOCITY_X + k], n);
	if (slides)
		tangents_friction(play, SLIDING_FRICTION, i, 1.0, &in[SLOPE_BY_FRICTION]);
	else
		tangents_direction(play, DIRECTION_CONSTANT, ROLLING_RESISTANCE,
		                   &in[SLOPE_BY_FRICTION]);
	slope_rows(play, i, &in[SLOPE_BY_LONG], &in[SLOPE_BY_SHORT]);
	if (!slides)
		add_nap(play, i, &in[SLOPE_BY_LONG]);
	row_zero(&ball->event_time, n);
	for (int m = 0; m < SLOPE_BY; m++)
		row_add(&ball->event_time, slopes.duration[m], &in[m], n);
	for (int k = 0; k < SLOPE_PARTS; k++) {
		row_zero(&out[k], n);
		if (k < SLOPE_VELOCITY_X)
			row_copy(&out[k], &ball->part[k], n);
		for (int m = 0; m < SLOPE_BY; m++)
			row_add(&out[k], slopes.by[k][m], &in[m], n);
	}
	for (int k = 0; k < SLOPE_PARTS; k++)
		row_copy(&ball->part[k], &out[k], n);
}

/* The side spin falls at its own rate until it is gone. */
static void advance_side(struct play *play, size_t i, double time)
{
	const struct moving_ball *moving = &play->balls[i];
	struct gradient_row *side = &play->gradient->balls[i].part[PART_SPIN_Z];
	double spin = moving->start.spin.z;
	int n = gradient_pairs(play->gradient);
	struct gradient_row rate;

	if (fabs(spin) <= moving->motion.side_decay * time) {
		row_zero(side, n);
		return;
	}
	tangents_friction(play, SPIN_FRICTION, i, 2.5 * G / play->scene->bodies[i].radius, &rate);
	row_add(side, -copysign(time, spin), &rate, n);
}

void tangents_advance(struct play *play, size_t i, double time)
{
	if (play->gradient == NULL || time <= 0.0)
		return;
	if (play->balls[i].motion.phase == CLOTH_FLYING)
		play->gradient->complete = false;
	else if (play->balls[i].motion.curved)
		advance_curved(play, i, time);
	else if (play->balls[i].motion.phase == CLOTH_SLIDING)
		advance_sliding(play, i, time);
	else if (play->balls[i].motion.phase == CLOTH_ROLLING)
		advance_rolling(play, i, time);
	advance_side(play, i, time);
}
