/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_OUTSIDE_SOLVER_H
#define RESTPOINT_TESTS_OUTSIDE_SOLVER_H

#include <stdbool.h>
#include <stddef.h>

#include "model/constants.h"
#include "outside_cloth.h"
#include "physics/ball.h"
#include "table/table.h"

/* A second simulator of whole shots, to hold the program against. It shares no code with
 * src/physics and src/shot, only plain data: SUNDIALS integrates the equations of physics.md 1
 * with root functions for rails, pairs, ends of slip, of side spin and of motion
 * (outside_cloth.h), and those of physics.md 2 over the impulse of a cushion impact
 * (outside_cushion.h); ball on ball is written anew (outside_collision.h). Balls stay on the bed.
 *
 * Choices of the model that physics.md leaves open are those of src/shot/play.h and formats.md 1,
 * programmed here a second time: a ball slower than 5 mm/s stays at the rail, among touching balls
 * the fastest approach is solved first, a slow meeting is without rebound, contacts with one rail
 * count once, mouths of pockets. Not programmed here: what touching balls do that are driven
 * together for a while, or a ball that lies at a rail and is driven into it. A shot in which that
 * happens is marked `pressed`. */

#define OUTSIDE_EVENTS 256

enum outside_event_kind { OUTSIDE_RAIL, OUTSIDE_MEETING, OUTSIDE_POCKET };

struct outside_event {
	enum outside_event_kind kind;
	double time;
	size_t ball, other;      /* other: of a meeting, ball < other */
	enum rail rail;          /* of a rail or pocket */
	int number;              /* rail: which counted contact of the ball, 0: does not count;
	                            meeting: which of the shot */
	struct vector3 position; /* of `ball` [m] */
	double approach;         /* [m/s] */
};

struct outside_end {
	bool pocketed;
	struct vector3 position;      /* [m] */
	double rest_time, still_time; /* centre at rest, and side spin gone [s] */
};

enum outside_outcome {
	OUTSIDE_PLAYED,
	OUTSIDE_MISSED,    /* balls were found inside one another or a rail: an event was missed */
	OUTSIDE_GIVEN_UP,  /* too many events */
	OUTSIDE_UNSOLVED,  /* SUNDIALS failed between events */
	OUTSIDE_UNRESOLVED /* a cushion impact failed */
};

struct outside_record {
	enum outside_outcome outcome;
	bool pressed;
	size_t event_count;
	struct outside_event events[OUTSIDE_EVENTS];
	struct outside_end ends[OUTSIDE_BALLS];
	long steps; /* of SUNDIALS between events */
};

struct outside_scene {
	const struct table *table;
	const struct constants *constants; /* bed_restitution is not used */
	const struct ball_body *bodies;
};

/* What proof asks for: errors of a step of 1e-13, and steps short enough for two roots of one
 * function to fall into one never unnoticed. */
#define OUTSIDE_PROOF ((struct outside_accuracy){1e-13, 1e-14, 0.01})

/* A player of shots with `count` balls (1 to OUTSIDE_BALLS), good for any number of shots one after
 * the other. NULL when memory is out. */
struct outside_player *outside_player_open(size_t count, const struct outside_accuracy *accuracy);
void outside_player_close(struct outside_player *player);

/* Plays a shot until every ball rests and no spin is left. */
void outside_player_play(struct outside_player *player, const struct outside_scene *scene,
                         const struct ball_state *states, struct outside_record *record);

/* The largest distance between events of the same number and between ends of two records of one
 * shot [m]; HUGE_VAL when their events differ. */
double outside_record_distance(const struct outside_record *a, const struct outside_record *b,
                               size_t balls);

/* Cue on ball (physics.md 4), written anew: velocity and spin of *state receive those just after
 * the strike.
 *   aim, elevation  [rad]; with an end mass, elevation must be 0
 *   side, height    of the tip, in radii
 *   end_mass_ratio  mass of the ball over effective end mass of the cue; 0: no squirt */
void outside_strike(double speed, double aim, double side, double height, double elevation,
                    double end_mass_ratio, double radius, struct ball_state *state);

#endif
