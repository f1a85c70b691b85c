/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_TANGENTS_H
#define RESTPOINT_SHOT_TANGENTS_H

#include "physics/collision.h"
#include "physics/cushion.h"
#include "shot/contacts.h"
#include "shot/gradient.h"

/* Derivatives carried along while a shot is played. Internal to src/shot; every function does
 * nothing when the play carries none (play->gradient is NULL).
 *
 * At an event the derivatives of a ball's state pass through two forms: at the fixed time of the
 * event (tangents_advance), and at the event, which itself moves in time (tangents_meet_...): the
 * rate of the state before it, times the derivative of the event's time, is added. The contact acts
 * on this form. When the motion that follows is known, its rate times that time is taken off again
 * (tangents_begin). */

/* The play starts. */
void tangents_start(struct play *play);

/* From ball->start over `elapsed` seconds of ball->motion; call before ball->start changes. */
void tangents_advance(struct play *play, size_t ball, double elapsed);

/* A phase of motion (ball->motion, just ended) ended now. */
void tangents_end_phase(struct play *play, size_t ball);

/* A ball meets a rail, two balls meet: when, by the derivatives. The motions are still those that
 * led there, but for balls that changed at this instant. */
void tangents_meet_rail(struct play *play, size_t ball, enum rail rail);
void tangents_meet_ball(struct play *play, size_t first, size_t second);

/* The derivatives of the event recorded last, of a ball. */
void tangents_record(struct play *play, size_t ball);

/* What a rail impact does. */
struct tangent_rebound {
	enum rail rail;
	struct cushion_slopes slopes; /* before the turn */
	struct vector3 turned;        /* velocity in the rail's frame after it [m/s] */
	double turn;                  /* [rad] */
	bool turned_back;             /* the turn would have sent the ball into the rail */
	unsigned impact;              /* its number among the ball's impacts, from 0 */
	double restitution;           /* of this rail at this approach, even, not clamped */
	double factor;                /* 1 + liveliness, of the impact and of the rail; 0 where the
	                                 restitution is clamped */
	double by_rail;               /* d(restitution used) / d(liveliness of the rail) */
	double friction;              /* at the nose, for a rail of grip 1 */
	double rail_grip;
	double excess;                /* approach speed at the nose - 1 m/s */
	double nose_cosine;
};
void tangents_rebound(struct play *play, size_t ball, const struct tangent_rebound *rebound);

/* A slow ball stays at a rail. */
void tangents_stay(struct play *play, size_t ball, enum rail rail);

/* What a contact of two balls does. */
void tangents_collide(struct play *play, size_t first, size_t second,
                      const struct collision_slopes *slopes);

/* The motion after an event is known: ball->start, ball->motion. */
void tangents_begin(struct play *play, size_t ball);

/* A ball fell, or the play ends. */
void tangents_end(struct play *play, size_t ball);

/* Derivatives of factor * constant * grip of a ball by the directions. */
void tangents_friction(const struct play *play, enum constant_id id, size_t ball, double factor,
                       struct gradient_row *row);

/* 1 for the directions of one constant or one term (kind says which), else 0. */
void tangents_direction(const struct play *play, enum direction_kind kind, int which,
                        struct gradient_row *row);

/* Derivatives of a ball's slip, for the first n pairs of directions. */
void tangents_slip(const struct gradient_ball *ball, double radius, int n, struct gradient_row *ux,
                   struct gradient_row *uy);

#endif
