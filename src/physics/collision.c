/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/collision.h"

#include "physics/collision_meeting.h"

struct collision_frame collision_find_frame(const struct ball_state *first,
                                            const struct ball_state *second)
{
	struct vector3 line = vector3_subtract(second->position, first->position);
	struct collision_frame frame = {.distance = vector3_norm(line),
	                                .flat_distance = vector3_norm_flat(line)};
	/* Balls with one centre have no line between them, so they do not approach along it. */
	double inverse = frame.distance > 0.0 ? 1.0 / frame.distance : 0.0;
	struct vector3 n = frame.normal = vector3_scale(inverse, line);
	double cosine;

	if (n.z == 0.0) { /* the usual case: no rounding where there need be none */
		frame.level = vector3_make(-n.y, n.x, 0.0);
		frame.upward = vector3_make(0.0, 0.0, 1.0);
		return frame;
	}
	cosine = vector3_norm_flat(n);
	/* One ball right above the other: every direction is level. */
	frame.level = cosine > 0.0 ? vector3_make(-n.y / cosine, n.x / cosine, 0.0)
	                           : vector3_make(0.0, 1.0, 0.0);
	frame.upward = vector3_cross(n, frame.level);
	return frame;
}

double collision_approach(const struct ball_state *first, const struct ball_state *second)
{
	return vector3_dot(vector3_subtract(first->velocity, second->velocity),
	                   collision_find_frame(first, second).normal);
}

/* Where the surfaces slip: (spins x n) has the part spins . upward along level, and
 * -spins . level along upward. */
static void find_slip(struct collision_meeting *meeting)
{
	const struct collision_frame *frame = &meeting->frame;

	meeting->slip_level = vector3_dot(meeting->relative, frame->level) +
	                      vector3_dot(meeting->spins, frame->upward);
	meeting->slip_upward = vector3_dot(meeting->relative, frame->upward) -
	                       vector3_dot(meeting->spins, frame->level);
	meeting->slip = hypot(meeting->slip_level, meeting->slip_upward);
}

static double softening_at(const struct collision_contact *contact, double slip, double grips)
{
	double grip = sqrt(grips);

	return contact->friction_fall == 0.0 ? grip
	                                     : grip * exp(-contact->friction_fall * (slip - 1.0));
}

struct collision_meeting collision_meet(const struct ball_state *first,
                                        const struct ball_body *first_body,
                                        const struct ball_state *second,
                                        const struct ball_body *second_body,
                                        const struct collision_contact *contact)
{
	struct collision_meeting meeting = {
	    .frame = collision_find_frame(first, second),
	    .relative = vector3_subtract(first->velocity, second->velocity),
	    .spins = vector3_add(vector3_scale(first_body->radius, first->spin),
	                         vector3_scale(second_body->radius, second->spin)),
	    .reduced =
	        first_body->mass * second_body->mass / (first_body->mass + second_body->mass)};
	double most;

	meeting.approach = vector3_dot(meeting.relative, meeting.frame.normal);
	if (!(meeting.approach > 0.0))
		return meeting;
	find_slip(&meeting);
	meeting.softening =
	    softening_at(contact, meeting.slip, first_body->grip * second_body->grip);
	meeting.normal = (1.0 + contact->restitution) * meeting.reduced * meeting.approach;
	most = contact->friction * meeting.softening * meeting.normal;
	meeting.sticks = 2.0 / 7.0 * meeting.reduced * meeting.slip <= most;
	if (meeting.slip > 0.0)
		meeting.drag = (meeting.sticks ? 2.0 / 7.0 * meeting.reduced * meeting.slip : most) /
		               meeting.slip;
	return meeting;
}

struct collision_change collision_solve(const struct ball_state *first,
                                        const struct ball_body *first_body,
                                        const struct ball_state *second,
                                        const struct ball_body *second_body,
                                        const struct collision_contact *contact)
{
	struct collision_meeting meeting =
	    collision_meet(first, first_body, second, second_body, contact);
	const struct ball_body *bodies[2] = {first_body, second_body};
	const struct collision_frame *frame = &meeting.frame;
	struct collision_change change = {.approach = meeting.approach};
	double level = meeting.drag * meeting.slip_level;
	double upward = meeting.drag * meeting.slip_upward;

	if (!(meeting.approach > 0.0))
		return change;
	for (int i = 0; i < 2; i++) {
		double sign = i == 0 ? -1.0 : 1.0, mass = bodies[i]->mass;
		double turn = 2.5 / (mass * bodies[i]->radius);

		change.velocity[i] =
		    vector3_add(vector3_add(vector3_scale(sign * meeting.normal / mass, frame->normal),
		                            vector3_scale(sign * level / mass, frame->level)),
		                vector3_scale(sign * upward / mass, frame->upward));
		/* Both balls turn the same way: n x level = upward, n x upward = -level. */
		change.spin[i] = vector3_add(vector3_scale(turn * upward, frame->level),
		                             vector3_scale(-turn * level, frame->upward));
	}
	return change;
}
