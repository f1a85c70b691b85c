/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion.h"

#include <stdbool.h>

#include "physics/cushion_slopes.h"

/* Sets up the impact in units of the fastest motion. The order grows with the digits wanted: two a
 * digit took the least time. An error of the work is one of the speed that it is turned into. */
static void run_start(struct impact_run *run, const struct cushion_contact *contact,
                      double tolerance, struct vector3 v, struct vector3 rw)
{
	double accepted = 0.3 * fmax(1e-12, fmin(1e-3, tolerance));
	double order = rint(2.0 - 2.0 * log10(10.0 * accepted));

	run->impact = impact_make(contact->nose_sine, contact->friction, contact->bed_friction);
	run->state =
	    (struct impact_state){.along = v.x, .into = v.y, .spin_speed = {rw.x, rw.y, rw.z}};
	run->error = (struct series_error){.speed = accepted, .turn = 1e-3, .work = accepted * v.y};
	run->smallest = 0.3 * accepted;
	run->order = (int)fmin(SERIES_ORDER, fmax(8.0, order));
	run->size[CONTACT_NOSE] = run->size[CONTACT_BED] = 0.0;
	run->steps = run->lifted_steps = run->sticks = 0;
	run->may_lift = contact->may_lift;
	run->flies = run->wedged = false;
	run->tangent = NULL;
}

/* Whether the steps of cushion_glide.h serve: at the usual tolerance or a looser one, on a bed that
 * bears however the nose slips, for an impact that goes on well beyond compression. */
static bool may_glide(const struct cushion_contact *contact, double tolerance, double restitution)
{
	double sine = contact->nose_sine;

	return tolerance > 1e-9 && restitution > 0.05 &&
	       contact->friction > 0.0 && contact->bed_friction > 0.0 &&
	       contact->friction * sqrt(1.0 - sine * sine) < sine;
}

/* The order of the series and the error of a slip's direction with which derivatives that need not
 * be exact take the least time. */
#define COARSE_ORDER 17
#define COARSE_TURN 1e-5

/* Has the derivatives carried along. What they take goes with the number of steps, not with their
 * order: where they may be coarse, steps are long. */
static void carry_tangent(struct impact_run *run, struct impact_tangent *tangent, double tolerance)
{
	run->tangent = tangent;
	tangent->coarse = tolerance >= CUSHION_COARSE;
	run->error.turn = tangent->coarse ? COARSE_TURN : 1e-8;
	if (tangent->coarse)
		run->order = COARSE_ORDER;
}

static double largest(struct vector3 v)
{
	return fmax(fabs(v.x), fmax(fabs(v.y), fabs(v.z)));
}

static bool are_finite(const struct cushion_contact *contact, struct vector3 velocity,
                       struct vector3 spin_speed)
{
	return isfinite(velocity.x) && isfinite(velocity.y) && isfinite(spin_speed.x) &&
	       isfinite(spin_speed.y) && isfinite(spin_speed.z) && isfinite(contact->friction) &&
	       isfinite(contact->bed_friction) && isfinite(contact->restitution) &&
	       fabs(contact->nose_sine) < 1.0;
}

/* One impact, with its tangent unless that is NULL; *run is left at its end. */
static enum status solve(const struct cushion_contact *contact, double tolerance,
                         struct vector3 *velocity, struct vector3 *spin_speed,
                         struct cushion_outcome *outcome, struct impact_run *run,
                         struct impact_tangent *tangent, bool glides)
{
	double e = fmin(1.0, fmax(0.0, contact->restitution));
	double unit = fmax(fmax(fabs(velocity->x), velocity->y), largest(*spin_speed));

	if (!(velocity->y > 0.0) || !are_finite(contact, *velocity, *spin_speed))
		return STATUS_INTERNAL;
	run_start(run, contact, tolerance,
	          vector3_make(velocity->x / unit, velocity->y / unit, 0.0),
	          vector3_make(spin_speed->x / unit, spin_speed->y / unit, spin_speed->z / unit));
	if (tangent != NULL)
		carry_tangent(run, tangent, tolerance);
	run->glides = glides && may_glide(contact, tolerance, e);
	run->part = PART_COMPRESSION;
	run->share = e * e;
	if (!impact_run_through(run))
		return STATUS_INTERNAL;
	if (outcome != NULL)
		*outcome = (struct cushion_outcome){.approach = velocity->y * run->impact.cosine,
		                                    .impulse = unit * run->state.impulse,
		                                    .steps = run->steps,
		                                    .lifted_steps = run->lifted_steps,
		                                    .sticks = run->sticks,
		                                    .hops = run->flies};
	velocity->x = unit * run->state.along;
	velocity->y = unit * run->state.into;
	if (run->flies)
		velocity->z = unit * fmax(0.0, run->state.up);
	*spin_speed =
	    vector3_scale(unit, vector3_make(run->state.spin_speed[0], run->state.spin_speed[1],
	                                     run->state.spin_speed[2]));
	return STATUS_OK;
}

enum status cushion_solve(const struct cushion_contact *contact, double tolerance,
                          struct vector3 *velocity, struct vector3 *spin_speed,
                          struct cushion_outcome *outcome)
{
	struct impact_run run;
	enum status status =
	    solve(contact, tolerance, velocity, spin_speed, outcome, &run, NULL, true);

	/* What the Runge-Kutta method gives up, the series may still solve. */
	if (status != STATUS_OK)
		status = solve(contact, tolerance, velocity, spin_speed, outcome, &run, NULL, false);
	return status;
}

enum status cushion_solve_slopes(const struct cushion_contact *contact, double tolerance,
                                 struct vector3 *velocity, struct vector3 *spin_speed,
                                 struct cushion_outcome *outcome, struct cushion_slopes *slopes)
{
	double unit = fmax(fmax(fabs(velocity->x), velocity->y), largest(*spin_speed));
	double e = fmin(1.0, fmax(0.0, contact->restitution));
	struct impact_run run;
	struct impact_tangent tangent;
	enum status status =
	    solve(contact, tolerance, velocity, spin_speed, outcome, &run, &tangent, false);

	if (status == STATUS_OK)
		slopes_gather(&run, e, unit, slopes);
	return status;
}

struct vector3 cushion_to_rail(enum rail rail, struct vector3 v)
{
	switch (rail) {
	case RAIL_HEAD:
		return vector3_make(-v.x, -v.y, v.z);
	case RAIL_LEFT:
		return vector3_make(v.y, -v.x, v.z);
	case RAIL_RIGHT:
		return vector3_make(-v.y, v.x, v.z);
	case RAIL_FOOT:
	case RAIL_COUNT:
		break;
	}
	return v;
}

struct vector3 cushion_from_rail(enum rail rail, struct vector3 v)
{
	switch (rail) {
	case RAIL_HEAD:
		return vector3_make(-v.x, -v.y, v.z);
	case RAIL_LEFT:
		return vector3_make(-v.y, v.x, v.z);
	case RAIL_RIGHT:
		return vector3_make(v.y, -v.x, v.z);
	case RAIL_FOOT:
	case RAIL_COUNT:
		break;
	}
	return v;
}

struct vector3 cushion_turn(struct vector3 velocity, double turn)
{
	double c = cos(turn), s = sin(turn);

	return vector3_make(velocity.x * c - velocity.y * s,
	                    fmin(0.0, velocity.x * s + velocity.y * c), velocity.z);
}

enum status cushion_rebound(enum rail rail, const struct cushion_contact *contact, double turn,
                            double tolerance, double radius, struct ball_state *state,
                            struct cushion_outcome *outcome)
{
	struct vector3 velocity = cushion_to_rail(rail, state->velocity);
	struct vector3 spin_speed = vector3_scale(radius, cushion_to_rail(rail, state->spin));
	enum status status = cushion_solve(contact, tolerance, &velocity, &spin_speed, outcome);

	if (status != STATUS_OK)
		return status;
	state->velocity = cushion_from_rail(rail, cushion_turn(velocity, turn));
	state->spin = vector3_scale(1.0 / radius, cushion_from_rail(rail, spin_speed));
	return STATUS_OK;
}
