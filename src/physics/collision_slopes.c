/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/collision_meeting.h"

/* Derivatives of the contact of two balls: what collision_meet and collision_solve work out,
 * differentiated line by line for one input after the other. */

/* Rates of change of a meeting's numbers with one input; those left 0 do not depend on it. */
struct rates {
	struct vector3 line;     /* from the first centre to the second */
	struct vector3 relative; /* as in struct collision_meeting */
	struct vector3 spins;
	double restitution, friction, fall, grip_share; /* of the law; the last of ln sqrt(grips) */
	struct collision_frame frame;
	double slip_level, slip_upward, normal, drag;
};

/* A level motion of one centre past the other turns the directions about the vertical, and tilts
 * them where the line is tilted already. */
static void set_frame_rates(const struct collision_frame *frame, struct rates *rates)
{
	struct vector3 n = frame->normal;
	struct vector3 ahead = vector3_make(frame->level.y, -frame->level.x, 0.0);
	double turn = vector3_dot(rates->line, frame->level) / frame->flat_distance;
	double tilt = n.z * vector3_dot(rates->line, ahead) / frame->distance;

	rates->frame.normal =
	    vector3_subtract(vector3_scale(frame->flat_distance / frame->distance * turn, frame->level),
	                     vector3_scale(tilt, frame->upward));
	rates->frame.level = vector3_scale(-turn, ahead);
	rates->frame.upward = vector3_subtract(vector3_scale(tilt, n),
	                                       vector3_scale(n.z * turn, frame->level));
}

static double dot_rate(struct vector3 a, struct vector3 a_rate, struct vector3 b,
                       struct vector3 b_rate)
{
	return vector3_dot(a_rate, b) + vector3_dot(a, b_rate);
}

static void set_impulse_rates(const struct collision_meeting *meeting,
                              const struct collision_contact *contact, struct rates *rates)
{
	const struct collision_frame *frame = &meeting->frame;
	struct vector3 relative = meeting->relative, spins = meeting->spins;
	double approach, slip, softening;

	approach = dot_rate(relative, rates->relative, frame->normal, rates->frame.normal);
	rates->slip_level = dot_rate(relative, rates->relative, frame->level, rates->frame.level) +
	                    dot_rate(spins, rates->spins, frame->upward, rates->frame.upward);
	rates->slip_upward = dot_rate(relative, rates->relative, frame->upward, rates->frame.upward) -
	                     dot_rate(spins, rates->spins, frame->level, rates->frame.level);
	rates->normal = meeting->reduced * (rates->restitution * meeting->approach +
	                                    (1.0 + contact->restitution) * approach);
	if (meeting->sticks) /* drag is 2/7 of the reduced mass */
		return;
	slip = (meeting->slip_level * rates->slip_level + meeting->slip_upward * rates->slip_upward) /
	       meeting->slip;
	softening = meeting->softening * (rates->grip_share - rates->fall * (meeting->slip - 1.0) -
	                                  contact->friction_fall * slip);
	rates->drag = ((rates->friction * meeting->softening + contact->friction * softening) *
	                   meeting->normal +
	               contact->friction * meeting->softening * rates->normal -
	               meeting->drag * slip) /
	              meeting->slip;
}

static void set_column(const struct collision_meeting *meeting, const struct rates *rates,
                       const struct ball_body *bodies[2], int column,
                       struct collision_slopes *slopes)
{
	const struct collision_frame *frame = &meeting->frame;
	double level = meeting->drag * meeting->slip_level;
	double upward = meeting->drag * meeting->slip_upward;
	double level_rate = rates->drag * meeting->slip_level + meeting->drag * rates->slip_level;
	double upward_rate = rates->drag * meeting->slip_upward + meeting->drag * rates->slip_upward;
	struct vector3 impulse, torque;

	impulse = vector3_add(vector3_add(vector3_scale(rates->normal, frame->normal),
	                                  vector3_scale(meeting->normal, rates->frame.normal)),
	                      vector3_add(vector3_scale(level_rate, frame->level),
	                                  vector3_scale(level, rates->frame.level)));
	impulse = vector3_add(impulse, vector3_add(vector3_scale(upward_rate, frame->upward),
	                                           vector3_scale(upward, rates->frame.upward)));
	torque = vector3_subtract(vector3_add(vector3_scale(upward_rate, frame->level),
	                                      vector3_scale(upward, rates->frame.level)),
	                          vector3_add(vector3_scale(level_rate, frame->upward),
	                                      vector3_scale(level, rates->frame.upward)));
	for (int i = 0; i < 2; i++) {
		double push = (i == 0 ? -1.0 : 1.0) / bodies[i]->mass;
		double turn = 2.5 / (bodies[i]->mass * bodies[i]->radius);
		double numbers[COLLISION_OUT] = {push * impulse.x, push * impulse.y, turn * torque.x,
		                                 turn * torque.y, turn * torque.z};

		for (int k = 0; k < COLLISION_OUT; k++)
			slopes->by[i * COLLISION_OUT + k][column] = numbers[k];
	}
}

/* How the numbers that a meeting starts from depend on one input. */
static struct rates input_rates(const struct ball_body *bodies[2], int column)
{
	struct rates rates = {.restitution = 0.0};
	int ball = column / COLLISION_STATE, number = column % COLLISION_STATE;
	double sign = ball == 0 ? 1.0 : -1.0;
	struct vector3 axis = vector3_make(number == 0 || number == 2 || number == 4,
	                                   number == 1 || number == 3 || number == 5, number == 6);

	if (ball < 2 && number < 2) {
		rates.line = vector3_scale(-sign, axis);
	} else if (ball < 2 && number < 4) {
		rates.relative = vector3_scale(sign, axis);
	} else if (ball < 2) {
		rates.spins = vector3_scale(bodies[ball]->radius, axis);
	} else {
		rates.restitution = number == 0;
		rates.friction = number == 1;
		rates.fall = number == 2;
		if (number >= 3)
			rates.grip_share = 0.5 / bodies[number - 3]->grip;
	}
	return rates;
}

void collision_find_slopes(const struct ball_state *first, const struct ball_body *first_body,
                           const struct ball_state *second, const struct ball_body *second_body,
                           const struct collision_contact *contact,
                           struct collision_slopes *slopes)
{
	const struct ball_body *bodies[2] = {first_body, second_body};
	struct collision_meeting meeting =
	    collision_meet(first, first_body, second, second_body, contact);

	*slopes = (struct collision_slopes){.by = {{0.0}}};
	if (!(meeting.approach > 0.0) || meeting.frame.flat_distance <= 0.0)
		return;
	if (meeting.sticks) /* holds where there is no slip, too */
		meeting.drag = 2.0 / 7.0 * meeting.reduced;
	for (int column = 0; column < COLLISION_IN; column++) {
		struct rates rates = input_rates(bodies, column);

		if (column % COLLISION_STATE < 2 && column < 2 * COLLISION_STATE)
			set_frame_rates(&meeting.frame, &rates);
		set_impulse_rates(&meeting, contact, &rates);
		set_column(&meeting, &rates, bodies, column, slopes);
	}
}
