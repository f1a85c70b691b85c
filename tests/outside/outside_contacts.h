/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OUTSIDE_CONTACTS_H
#define RESTPOINT_TESTS_OUTSIDE_CONTACTS_H

#include "outside_cushion.h"
#include "outside_integrator.h"
#include "outside_solver.h"

/* The state of a shot that the outside reference plays, and what its contacts do. Internal to
 * tests/outside. */

struct outside_player {
	struct outside_integrator *integrator;
	struct outside_cushion *cushion;
	struct outside_cloth cloth;
	double y[OUTSIDE_BALLS * OUTSIDE_BALL_NUMBERS];
	double time;
	double farthest[OUTSIDE_BALLS][RAIL_COUNT]; /* from a rail since its last contact [m] */
	int contacts[OUTSIDE_BALLS];                /* counted, with rails */
	int meetings;
	struct outside_record *record;
};

/* The centre of a ball, now. */
struct vector3 outside_contacts_place(const struct outside_player *player, size_t i);

/* Ball i meets a rail; lies: it lay there when its motion began, now. */
void outside_contacts_rail(struct outside_player *player, size_t i, enum rail rail, bool lies);

/* Solves all pairs of balls that touch and approach at this instant. True when there were any. */
bool outside_contacts_balls(struct outside_player *player);

/* Marks the shot when touching balls, or a ball and a rail, are driven together. */
void outside_contacts_find_pressed(struct outside_player *player);

#endif
