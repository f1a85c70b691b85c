/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "shot/gradient_rows.h"
#include "shot/tangents.h"

/* What contacts do to the derivatives carried along (see tangents.h). */

/* Swaps a pair of rows of the table's frame for the same in the rail's frame; the frame's turn is
 * read off what it does to the unit vectors. */
static void turn_rows(struct gradient_row *x, struct gradient_row *y, struct vector3 of_x,
                      struct vector3 of_y, int n)
{
	for (int j = 0; j < n; j++) {
		direction_pair a = x->pair[j], b = y->pair[j];

		x->pair[j] = of_x.x * a + of_y.x * b;
		y->pair[j] = of_x.y * a + of_y.y * b;
	}
}

static void frame_rows(struct gradient_row *in, enum rail rail, int n,
                       struct vector3 (*frame)(enum rail, struct vector3))
{
	struct vector3 x = frame(rail, vector3_make(1.0, 0.0, 0.0));
	struct vector3 y = frame(rail, vector3_make(0.0, 1.0, 0.0));

	turn_rows(&in[0], &in[1], x, y, n);
	turn_rows(&in[2], &in[3], x, y, n);
}

/* Derivatives of the restitution that an impact uses; speed: those of the velocity into the rail. */
static void restitution_row(const struct shot_gradient *gradient, const struct play *play,
                            size_t i, const struct tangent_rebound *rebound,
                            const struct gradient_row *speed, struct gradient_row *row, int n)
{
	double fall = play->scene->constants->terms.liveliness_fall;

	row_zero(row, n);
	if (rebound->factor == 0.0)
		return;
	row_add(row, -fall * rebound->nose_cosine * rebound->factor, speed, n);
	for (int j = 0; j < gradient->count; j++) {
		const struct shot_direction *direction = &gradient->directions[j];
		double slope = 0.0;

		if (direction->kind == DIRECTION_CONSTANT &&
		    direction->constant == CUSHION_RESTITUTION)
			slope = rebound->factor;
		else if (direction->kind == DIRECTION_TERM &&
		         direction->term == TERM_LIVELINESS_FALL)
			slope = -rebound->excess * rebound->factor;
		else if (direction->kind == DIRECTION_LIVELINESS && direction->ball == i &&
		         direction->impact == rebound->impact)
			slope = rebound->restitution;
		else if (direction->kind == DIRECTION_RAIL_LIVELINESS &&
		         direction->rail == rebound->rail)
			slope = rebound->by_rail;
		if (slope != 0.0)
			gradient_set(row, j, gradient_at(row, j) + slope);
	}
}

/* Derivatives of the friction at the nose. */
static void friction_row(const struct play *play, size_t i, const struct tangent_rebound *rebound,
                         struct gradient_row *row)
{
	const struct shot_gradient *gradient = play->gradient;

	tangents_friction(play, CUSHION_FRICTION, i, rebound->rail_grip, row);
	for (int j = 0; j < gradient->count; j++)
		if (gradient->directions[j].kind == DIRECTION_RAIL_GRIP &&
		    gradient->directions[j].rail == rebound->rail)
			gradient_set(row, j, rebound->friction);
}

/* The outgoing velocity is turned about z. */
static void turn_velocity(const struct shot_gradient *gradient, size_t i,
                          const struct tangent_rebound *rebound, struct gradient_row *out, int n)
{
	double c = cos(rebound->turn), s = sin(rebound->turn);

	turn_rows(&out[0], &out[1], vector3_make(c, s, 0.0), vector3_make(-s, c, 0.0), n);
	for (int j = 0; j < gradient->count; j++) {
		const struct shot_direction *direction = &gradient->directions[j];

		if (direction->kind != DIRECTION_TURN || direction->ball != i ||
		    direction->impact != rebound->impact)
			continue;
		gradient_set(&out[0], j, gradient_at(&out[0], j) - rebound->turned.y);
		gradient_set(&out[1], j, gradient_at(&out[1], j) + rebound->turned.x);
	}
	if (rebound->turned_back)
		row_zero(&out[1], n);
}

void tangents_rebound(struct play *play, size_t i, const struct tangent_rebound *rebound)
{
	const struct shot_gradient *gradient = play->gradient;
	double radius = play->scene->bodies[i].radius;
	struct gradient_row in[CUSHION_IN], out[CUSHION_OUT], *part;
	int n;

	if (gradient == NULL)
		return;
	n = gradient_pairs(gradient);
	part = &play->gradient->balls[i].part[PART_VELOCITY_X];
	for (int k = 0; k < CUSHION_OUT; k++) {
		row_zero(&in[k], n);
		row_zero(&out[k], n);
		row_add(&in[k], k < 2 ? 1.0 : radius, &part[k], n);
	}
	frame_rows(in, rebound->rail, n, cushion_to_rail);
	restitution_row(gradient, play, i, rebound, &in[1], &in[5], n);
	friction_row(play, i, rebound, &in[6]);
	tangents_friction(play, SLIDING_FRICTION, i, 1.0, &in[7]);
	for (int k = 0; k < CUSHION_OUT; k++)
		for (int m = 0; m < CUSHION_IN; m++)
			row_add(&out[k], rebound->slopes.by[k][m], &in[m], n);
	turn_velocity(gradient, i, rebound, out, n);
	frame_rows(out, rebound->rail, n, cushion_from_rail);
	for (int k = 0; k < CUSHION_OUT; k++) {
		row_zero(&part[k], n);
		row_add(&part[k], k < 2 ? 1.0 : 1.0 / radius, &out[k], n);
	}
}

void tangents_stay(struct play *play, size_t i, enum rail rail)
{
	struct gradient_row *part;
	int n;

	if (play->gradient == NULL)
		return;
	n = gradient_pairs(play->gradient);
	part = play->gradient->balls[i].part;
	row_zero(&part[rail_is_long(rail) ? PART_VELOCITY_X : PART_VELOCITY_Y], n);
	row_zero(&part[rail_is_long(rail) ? PART_SPIN_Y : PART_SPIN_X], n);
}

/* Derivatives of what the contact law is given besides the states. */
static void law_rows(const struct play *play, size_t i, size_t j, struct gradient_row *rows, int n)
{
	const struct shot_gradient *gradient = play->gradient;

	for (int k = 0; k < COLLISION_LAW; k++)
		row_zero(&rows[k], n);
	for (int k = 0; k < gradient->count; k++) {
		const struct shot_direction *direction = &gradient->directions[k];

		if (direction->kind == DIRECTION_CONSTANT &&
		    direction->constant == BALL_RESTITUTION)
			gradient_set(&rows[0], k, 1.0);
		else if (direction->kind == DIRECTION_CONSTANT &&
		         direction->constant == BALL_FRICTION)
			gradient_set(&rows[1], k, 1.0);
		else if (direction->kind == DIRECTION_TERM &&
		         direction->term == TERM_BALL_FRICTION_FALL)
			gradient_set(&rows[2], k, 1.0);
		else if (direction->kind == DIRECTION_GRIP && direction->ball == i)
			gradient_set(&rows[3], k, 1.0);
		else if (direction->kind == DIRECTION_GRIP && direction->ball == j)
			gradient_set(&rows[4], k, 1.0);
	}
}

void tangents_collide(struct play *play, size_t i, size_t j, const struct collision_slopes *slopes)
{
	struct gradient_row in[2 * STATE_PARTS + COLLISION_LAW];
	size_t balls[2] = {i, j};
	int n;

	if (play->gradient == NULL)
		return;
	n = gradient_pairs(play->gradient);
	for (int side = 0; side < 2; side++)
		for (int k = 0; k < STATE_PARTS; k++)
			row_copy(&in[side * STATE_PARTS + k],
			         &play->gradient->balls[balls[side]].part[k], n);
	law_rows(play, i, j, in + 2 * STATE_PARTS, n);
	for (int side = 0; side < 2; side++)
		for (int k = 0; k < COLLISION_OUT; k++) {
			struct gradient_row *part =
			    &play->gradient->balls[balls[side]].part[PART_VELOCITY_X + k];

			for (int m = 0; m < COLLISION_IN; m++)
				row_add(part, slopes->by[side * COLLISION_OUT + k][m], &in[m], n);
		}
}
