/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/tangents.h"

#include <math.h>

#include "shot/gradient_rows.h"

#define G STANDARD_GRAVITY

void tangents_start(struct play *play)
{
	struct shot_gradient *gradient = play->gradient;

	if (gradient == NULL)
		return;
	gradient->complete = true;
	for (size_t i = 0; i < play->scene->ball_count; i++) {
		row_zero(&gradient->balls[i].event_time, gradient_pairs(gradient));
		gradient->balls[i].pending = false;
	}
}

/* Adds the rate of a ball's state after some of its motion, times a factor times the time of its
 * event: to the form at the event (1) or back (-1). */
static void add_rate(struct play *play, size_t i, double factor, double elapsed)
{
	const struct moving_ball *moving = &play->balls[i];
	struct gradient_ball *ball = &play->gradient->balls[i];
	double spin = moving->start.spin.z;
	int n = gradient_pairs(play->gradient);
	struct vector3 acceleration, spin_rate;

	cloth_rates(&moving->motion, play->scene->bodies[i].radius, elapsed, &acceleration,
	            &spin_rate);
	double rate[STATE_PARTS] = {
	    moving->start.velocity.x, moving->start.velocity.y, acceleration.x, acceleration.y,
	    spin_rate.x,              spin_rate.y,
	    spin != 0.0 ? -copysign(moving->motion.side_decay, spin) : 0.0};

	for (int part = 0; part < STATE_PARTS; part++)
		if (rate[part] != 0.0)
			row_add(&ball->part[part], factor * rate[part], &ball->event_time, n);
}

/* A ball meets its event at the derivatives of the time given; those of an event at the same
 * instant are taken off first. */
static void meet(struct play *play, size_t i, const struct gradient_row *time)
{
	struct gradient_ball *ball = &play->gradient->balls[i];

	ball->event_time = *time;
	ball->pending = true;
	add_rate(play, i, 1.0, play->balls[i].elapsed);
}

/* A ball that changed at this instant already goes on with the motion that it has now. */
static void catch_up(struct play *play, size_t i)
{
	struct moving_ball *moving = &play->balls[i];
	struct constants constants;

	if (!play->gradient->balls[i].pending)
		return;
	constants = play_constants(play, i);
	moving->motion = cloth_motion_start(&moving->start, &play->scene->bodies[i], &constants);
	moving->elapsed = 0.0;
	tangents_begin(play, i);
}

void tangents_end_phase(struct play *play, size_t i)
{
	const struct moving_ball *moving = &play->balls[i];
	int n;
	struct gradient_ball *ball;
	double radius = play->scene->bodies[i].radius;
	struct vector3 way;
	double size;
	struct gradient_row wx, wy, time;

	if (play->gradient == NULL)
		return;
	n = gradient_pairs(play->gradient);
	ball = &play->gradient->balls[i];
	if (moving->motion.curved) { /* the time was found on the way */
		time = ball->event_time;
		meet(play, i, &time);
		return;
	}
	size = vector3_norm_flat(moving->motion.acceleration);
	/* What comes to its end points against the acceleration, and falls at 7/2 of that. */
	way = vector3_scale(-1.0 / size, moving->motion.acceleration);
	wx = ball->part[PART_VELOCITY_X];
	wy = ball->part[PART_VELOCITY_Y];
	if (moving->motion.phase == CLOTH_SLIDING) {
		tangents_slip(ball, radius, n, &wx, &wy);
		size *= 3.5;
	}
	for (int j = 0; j < n; j++)
		time.pair[j] = (way.x * wx.pair[j] + way.y * wy.pair[j]) / size;
	meet(play, i, &time);
}

void tangents_meet_rail(struct play *play, size_t i, enum rail rail)
{
	const struct moving_ball *moving = &play->balls[i];
	bool across = rail_is_long(rail);
	struct gradient_row time;
	double speed;
	int n;

	if (play->gradient == NULL)
		return;
	n = gradient_pairs(play->gradient);
	catch_up(play, i);
	speed = across ? moving->start.velocity.x : moving->start.velocity.y;
	row_zero(&time, n);
	if (speed != 0.0)
		row_add(&time, -1.0 / speed,
		        &play->gradient->balls[i].part[across ? PART_X : PART_Y], n);
	meet(play, i, &time);
}

void tangents_meet_ball(struct play *play, size_t i, size_t j)
{
	const struct ball_state *first = &play->balls[i].start, *second = &play->balls[j].start;
	struct vector3 line = vector3_subtract(second->position, first->position);
	struct vector3 speed = vector3_subtract(second->velocity, first->velocity);
	struct gradient_ball *balls;
	struct gradient_row time;
	double closing;
	int n;

	if (play->gradient == NULL)
		return;
	n = gradient_pairs(play->gradient);
	balls = play->gradient->balls;
	catch_up(play, i);
	catch_up(play, j);
	closing = line.x * speed.x + line.y * speed.y;
	for (int k = 0; k < n; k++)
		time.pair[k] =
		    -(line.x * (balls[j].part[PART_X].pair[k] - balls[i].part[PART_X].pair[k]) +
		      line.y * (balls[j].part[PART_Y].pair[k] - balls[i].part[PART_Y].pair[k])) /
		    closing;
	meet(play, i, &time);
	meet(play, j, &time);
}

void tangents_record(struct play *play, size_t i)
{
	const struct gradient_ball *ball;
	struct gradient_event *event;
	int n;

	if (play->gradient == NULL || play->record->event_count > GRADIENT_EVENTS)
		return;
	n = gradient_pairs(play->gradient);
	ball = &play->gradient->balls[i];
	event = &play->gradient->events[play->record->event_count - 1];
	row_copy(&event->time, &ball->event_time, n);
	row_copy(&event->x, &ball->part[PART_X], n);
	row_copy(&event->y, &ball->part[PART_Y], n);
}

/* A ball that begins to roll or to rest with derivatives that do not fits them in no time: a slip
 * of the first order ends within a time of that order, and takes 2/7 of itself from the velocity. */
static void fit_phase(struct play *play, size_t i)
{
	enum cloth_phase phase = play->balls[i].motion.phase;
	struct gradient_row *part = play->gradient->balls[i].part;
	double radius = play->scene->bodies[i].radius;
	int n = gradient_pairs(play->gradient);
	struct gradient_row ux, uy;

	if (phase == CLOTH_ROLLING) {
		tangents_slip(&play->gradient->balls[i], radius, n, &ux, &uy);
		row_add(&part[PART_VELOCITY_X], -2.0 / 7.0, &ux, n);
		row_add(&part[PART_VELOCITY_Y], -2.0 / 7.0, &uy, n);
		row_zero(&part[PART_SPIN_X], n);
		row_zero(&part[PART_SPIN_Y], n);
		row_add(&part[PART_SPIN_X], -1.0 / radius, &part[PART_VELOCITY_Y], n);
		row_add(&part[PART_SPIN_Y], 1.0 / radius, &part[PART_VELOCITY_X], n);
	} else if (phase == CLOTH_REST) {
		for (int k = PART_VELOCITY_X; k < PART_SPIN_Z; k++)
			row_zero(&part[k], n);
	}
	if (play->balls[i].start.spin.z == 0.0 && play->balls[i].motion.phase == CLOTH_REST)
		row_zero(&part[PART_SPIN_Z], n);
}

void tangents_begin(struct play *play, size_t i)
{
	if (play->gradient == NULL)
		return;
	if (play->gradient->balls[i].pending)
		add_rate(play, i, -1.0, 0.0);
	play->gradient->balls[i].pending = false;
	fit_phase(play, i);
}

/* When the side spin of a ball is gone, if that is later than the ball's rest. */
static void end_side(struct play *play, size_t i, struct gradient_end *end)
{
	const struct moving_ball *moving = &play->balls[i];
	const struct ball_end *ended = &play->record->ends[i];
	const struct gradient_ball *ball = &play->gradient->balls[i];
	double decay = moving->motion.side_decay, spin = moving->start.spin.z;
	int n = gradient_pairs(play->gradient);
	struct gradient_row rate;

	row_copy(&end->still_time, &end->rest_time, n);
	if (!(ended->still_time > ended->rest_time) || spin == 0.0)
		return;
	tangents_friction(play, SPIN_FRICTION, i, 2.5 * G / play->scene->bodies[i].radius, &rate);
	row_zero(&end->still_time, n);
	row_add(&end->still_time, copysign(1.0 / decay, spin), &ball->part[PART_SPIN_Z], n);
	row_add(&end->still_time, -fabs(spin) / (decay * decay), &rate, n);
}

void tangents_end(struct play *play, size_t i)
{
	struct gradient_end *end;
	struct gradient_ball *ball;
	int n;

	if (play->gradient == NULL)
		return;
	n = gradient_pairs(play->gradient);
	end = &play->gradient->ends[i];
	ball = &play->gradient->balls[i];
	row_copy(&end->x, &ball->part[PART_X], n);
	row_copy(&end->y, &ball->part[PART_Y], n);
	row_copy(&end->rest_time, &ball->event_time, n);
	end_side(play, i, end);
}
