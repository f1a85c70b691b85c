/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion.h"

#include <stdbool.h>
#include <string.h>

#include "physics/cushion_rates.h"

#define STEP_LIMIT 5000

/* The integration of one impact. The independent variable is the normal impulse, or, while slips
 * turn, a stretched one: d(impulse) = pace d(variable) with the pace shrinking as a turning slip
 * does, because the turn takes place over an impulse proportional to what is left of the slip. */
struct integration {
	struct impact impact;
	double state[IMPACT_VARIABLES];
	struct impact_friction friction; /* at state */
	double rates[IMPACT_VARIABLES];  /* at state, per impulse */
	double ending_slip;    /* below it a slip may be ended by a linear step [m/s] */
	double ending_impulse; /* longest such step */
	bool straight;                   /* nothing moves along the rail: no slip can turn */
	bool stretched[CONTACT_PLACES];  /* contacts that set the pace */
	double scale[IMPACT_VARIABLES];  /* error allowed in one step */
	double step;                     /* impulse of the next step to try, to first order */
	double landed;                   /* a speed below this is zero [m/s] */
	struct cushion_outcome outcome;
};

static double slip_size(const struct impact *impact, const double *state, enum contact_place place)
{
	double slip[2];

	impact_slip(impact, state, place, slip);
	return sqrt(slip[0] * slip[0] + slip[1] * slip[1]);
}

/* d(impulse)/d(variable) at a state. */
static double pace_at(const struct integration *run, const double *state)
{
	double inverse = 0.0;

	if (!run->stretched[CONTACT_NOSE] && !run->stretched[CONTACT_BED])
		return 1.0;
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (run->stretched[place])
			inverse += 1.0 / fmax(slip_size(&run->impact, state, place), run->landed);
	return 1.0 / inverse;
}

/* Whether a slip has turned to the direction in which it may follow. */
static bool contact_aligned(const struct integration *run, enum contact_place place, double size)
{
	struct impact impact = run->impact;
	const double *before = run->impact.mode[place].direction;
	const double *after = impact.mode[place].direction;

	impact.mode[place].follows = true;
	return impact_follow(&impact, run->state, place) &&
	       size * fabs(before[0] * after[1] - before[1] * after[0]) <=
	           run->impact.smallest_slip &&
	       before[0] * after[0] + before[1] * after[1] > 0.0;
}

/* Brings the mode of a slipping contact up to date: whether its slip follows, which way it goes,
 * and whether it sets the pace. In a straight shot no slip can turn: it needs no stretching and is
 * then integrated exactly. */
static void refresh_contact(struct integration *run, enum contact_place place)
{
	struct contact_mode *mode = &run->impact.mode[place];
	double size = slip_size(&run->impact, run->state, place);
	double slip[2];

	run->stretched[place] = false;
	if (mode->sticks)
		return;
	mode->follows = mode->follows && size <= run->impact.following_slip;
	if (mode->follows && impact_follow(&run->impact, run->state, place))
		return;
	mode->follows = false;
	if (size <= run->impact.smallest_slip)
		return;
	impact_slip(&run->impact, run->state, place, slip);
	mode->direction[0] = slip[0] / size;
	mode->direction[1] = slip[1] / size;
	mode->follows = !run->straight && size <= run->impact.following_slip &&
	                contact_aligned(run, place, size);
	run->stretched[place] = !run->straight && !mode->follows;
}

/* Brings modes, friction and rates up to date with the state. */
static void refresh(struct integration *run)
{
	run->friction = impact_friction(&run->impact, run->state);
	refresh_contact(run, CONTACT_NOSE);
	refresh_contact(run, CONTACT_BED);
	run->friction = impact_friction(&run->impact, run->state);
	impact_rates(&run->impact, run->state, &run->friction, run->rates);
}

static void rates_at(const struct integration *run, const double *state, double *rates)
{
	struct impact impact = run->impact;
	struct impact_friction friction;
	double pace = pace_at(run, state);

	for (int place = 0; place < CONTACT_PLACES; place++)
		if (impact.mode[place].follows)
			impact_follow(&impact, state, place);
	friction = impact_friction(&impact, state);
	impact_rates(&impact, state, &friction, rates);
	for (int i = 0; i < IMPACT_VARIABLES; i++)
		rates[i] *= pace;
}

/* One step of the pair of order 5(4) of Dormand & Prince, J. Comput. Appl. Math. 6, 19 (1980),
 * over `step` of the variable. Returns the error estimate relative to the error allowed. */
static double trial_step(const struct integration *run, double step, double *next)
{
	static const double a[7][6] = {
	    {0},
	    {1.0 / 5},
	    {3.0 / 40, 9.0 / 40},
	    {44.0 / 45, -56.0 / 15, 32.0 / 9},
	    {19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729},
	    {9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656},
	    {35.0 / 384, 0.0, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84}};
	static const double e[7] = {71.0 / 57600,      0.0,           -71.0 / 16695, 71.0 / 1920,
	                            -17253.0 / 339200, 22.0 / 525,    -1.0 / 40};
	double k[7][IMPACT_VARIABLES];
	double pace = pace_at(run, run->state), worst = 0.0;

	for (int i = 0; i < IMPACT_VARIABLES; i++)
		k[0][i] = pace * run->rates[i];
	for (int stage = 1; stage < 7; stage++) {
		for (int i = 0; i < IMPACT_VARIABLES; i++) {
			double sum = 0.0;

			for (int j = 0; j < stage; j++)
				sum += a[stage][j] * k[j][i];
			next[i] = run->state[i] + step * sum;
		}
		rates_at(run, next, k[stage]);
	}
	for (int i = 0; i < IMPACT_VARIABLES; i++) {
		double error = 0.0;

		for (int stage = 0; stage < 7; stage++)
			error += e[stage] * k[stage][i];
		worst = fmax(worst, fabs(step * error) / run->scale[i]);
	}
	return worst;
}

/* A slip that shrinks along its own direction ends at an impulse that can be told: stop just short
 * of it, so that no step reaches over the place where the direction is not defined. */
static double slip_step_limit(const struct integration *run, double limit)
{
	for (int place = 0; place < CONTACT_PLACES; place++) {
		double slip[2], rate[2], size, closing;

		if (run->impact.mode[place].sticks || run->stretched[place])
			continue;
		impact_slip(&run->impact, run->state, place, slip);
		impact_slip_rate(&run->impact, &run->friction, place, rate);
		size = slip[0] * slip[0] + slip[1] * slip[1];
		closing = -(slip[0] * rate[0] + slip[1] * rate[1]);
		if (closing > 0.0)
			limit = fmin(limit, 0.999 * size / closing);
	}
	return limit;
}

static void settle(struct integration *run, const bool ended[CONTACT_PLACES])
{
	if (!ended[CONTACT_NOSE] && !ended[CONTACT_BED])
		return;
	impact_settle(&run->impact, run->state, ended);
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (ended[place] && run->impact.mode[place].sticks)
			run->outcome.sticks++;
	refresh(run);
}

/* Whether the slip of a contact is over, or so nearly over, and shrinking along itself, that the
 * last bit may be taken in one linear step; *impulse receives the length of that step. */
static bool slip_ends(const struct integration *run, enum contact_place place, double limit,
                      double *impulse)
{
	const struct contact_mode *mode = &run->impact.mode[place];
	double size = slip_size(&run->impact, run->state, place);
	double rate[2], closing;

	*impulse = 0.0;
	if (mode->sticks)
		return false;
	impact_slip_rate(&run->impact, &run->friction, place, rate);
	closing = -(mode->direction[0] * rate[0] + mode->direction[1] * rate[1]);
	if (size <= run->impact.smallest_slip)
		return closing > 0.0;
	if (!(closing > 0.0) || !(mode->follows || run->straight) || size > run->ending_slip)
		return false;
	*impulse = size / closing;
	return *impulse < fmin(limit, run->ending_impulse);
}

/* Looks for contacts whose slip has ended, and for contacts that can no longer stick, and decides
 * how they go on. */
static void settle_contacts(struct integration *run, double limit)
{
	bool ended[CONTACT_PLACES] = {false, false}, released[CONTACT_PLACES];

	for (int place = 0; place < CONTACT_PLACES; place++)
		released[place] = run->impact.mode[place].sticks &&
		                  impact_cone_margin(&run->impact, &run->friction, place) <= 0.0;
	settle(run, released);
	for (int place = 0; place < CONTACT_PLACES; place++) {
		double impulse;

		ended[place] = slip_ends(run, place, limit, &impulse);
		for (int i = 0; ended[place] && i < IMPACT_VARIABLES; i++)
			run->state[i] += impulse * run->rates[i];
	}
	settle(run, ended);
}

/* A contact that arrives without slip (a rolling ball on the bed) is settled before the start. */
static void settle_start(struct integration *run)
{
	bool ended[CONTACT_PLACES];

	for (int place = 0; place < CONTACT_PLACES; place++)
		ended[place] =
		    slip_size(&run->impact, run->state, place) <= run->impact.smallest_slip;
	refresh(run);
	settle(run, ended);
}

static double cone_margin(const struct integration *run, const double *state)
{
	double margin = HUGE_VAL;

	for (int place = 0; place < CONTACT_PLACES; place++)
		if (run->impact.mode[place].sticks) {
			struct impact_friction friction = impact_friction(&run->impact, state);

			margin = fmin(margin, impact_cone_margin(&run->impact, &friction, place));
		}
	return margin;
}

/* Shortens a step after which a sticking contact would need more friction than there is, to where
 * it needs exactly what there is. */
static double shorten_to_cone(const struct integration *run, double step, double *next)
{
	double low = 0.0, high = step;

	for (int i = 0; i < 60 && high - low > 1e-15 * step; i++) {
		double middle = 0.5 * (low + high);

		trial_step(run, middle, next);
		if (cone_margin(run, next) < 0.0)
			high = middle;
		else
			low = middle;
	}
	trial_step(run, high, next);
	return high;
}

static void accept_step(struct integration *run, const double *next)
{
	if (run->friction.lifted)
		run->outcome.lifted_steps++;
	run->outcome.steps++;
	memcpy(run->state, next, sizeof run->state);
	refresh(run);
}

/* A part of the impact: while the cushion is compressed it ends with the speed of approach, after
 * that with the work given back. */
struct landing {
	bool compressing;
	double work; /* value of IMPACT_WORK at the end of restitution */
};

/* Impulse from the present state to the end of the part, the rates taken as constant. */
static double landing_step(const struct integration *run, const struct landing *landing)
{
	double speed = run->state[IMPACT_VY], rate = run->rates[IMPACT_VY];
	double left;

	if (landing->compressing)
		return speed / -rate;
	/* c (v h + v' h^2 / 2) = -c left with v <= 0 and v' < 0 */
	left = (run->state[IMPACT_WORK] - landing->work) / run->impact.cosine;
	return 2.0 * left / (sqrt(fmax(0.0, speed * speed - 2.0 * rate * left)) - speed);
}

/* Speed still to be lost (compression), or work still to be given back over the speed
 * (restitution): zero at the end, negative beyond it. */
static double landing_left(const struct integration *run, const struct landing *landing,
                           const double *state)
{
	if (landing->compressing)
		return state[IMPACT_VY];
	return (state[IMPACT_WORK] - landing->work) /
	       (run->impact.cosine * fmax(-state[IMPACT_VY], run->landed));
}

/* Finds the step that ends the part, between none and one that oversteps it, by false position
 * (the variant that halves the weight of an end kept twice). */
static double shorten_to_landing(const struct integration *run, const struct landing *landing,
                                 double step, double *next)
{
	double low = 0.0, high = step;
	double low_left = landing_left(run, landing, run->state);
	double high_left = landing_left(run, landing, next);

	for (int i = 0; i < 100; i++) {
		double middle = low + (high - low) * low_left / (low_left - high_left);
		double left;

		trial_step(run, middle, next);
		left = landing_left(run, landing, next);
		if (fabs(left) <= run->landed || middle <= low || middle >= high)
			return middle;
		if (left > 0.0) {
			low = middle;
			low_left = left;
			high_left *= 0.5;
		} else {
			high = middle;
			high_left = left;
			low_left *= 0.5;
		}
	}
	return high;
}

/* Integrates one part of the impact to its end. False when the steps run away or a number is not
 * finite. */
static bool integrate_part(struct integration *run, const struct landing *landing)
{
	double next[IMPACT_VARIABLES];

	for (unsigned tries = 0; tries < STEP_LIMIT; tries++) {
		double pace = pace_at(run, run->state);
		double limit = slip_step_limit(run, landing_step(run, landing));
		double step = fmin(run->step, limit) / pace;
		double error = trial_step(run, step, next);

		if (!isfinite(error) || !(step > 0.0))
			return false;
		if (error > 1.0) {
			run->step = pace * step * fmax(0.2, 0.85 * pow(error, -0.2));
			continue;
		}
		if (cone_margin(run, next) < 0.0)
			step = shorten_to_cone(run, step, next);
		if (landing_left(run, landing, next) < -run->landed)
			step = shorten_to_landing(run, landing, step, next);
		accept_step(run, next);
		settle_contacts(run, landing_step(run, landing));
		if (landing_left(run, landing, run->state) <= run->landed)
			return true;
		run->step = pace_at(run, run->state) * step *
		            fmin(5.0, 0.85 * pow(fmax(error, 1e-10), -0.2));
	}
	return false;
}

static void integration_start(struct integration *run, const struct cushion_contact *contact,
                              double tolerance, struct vector3 v, struct vector3 rw)
{
	double speed = sqrt(v.x * v.x + v.y * v.y + vector3_dot(rw, rw));

	memset(run, 0, sizeof *run);
	run->impact.sine = contact->nose_sine;
	run->impact.cosine = sqrt(1.0 - contact->nose_sine * contact->nose_sine);
	run->impact.friction[CONTACT_NOSE] = contact->friction;
	run->impact.friction[CONTACT_BED] = contact->bed_friction;
	run->impact.smallest_slip = 0.3 * tolerance * speed;
	run->impact.following_slip = 0.5 * pow(tolerance, 0.4) * speed;
	run->state[IMPACT_VX] = v.x;
	run->state[IMPACT_VY] = v.y;
	run->state[IMPACT_RWX] = rw.x;
	run->state[IMPACT_RWY] = rw.y;
	run->state[IMPACT_RWZ] = rw.z;
	for (int i = 0; i < IMPACT_VARIABLES; i++)
		run->scale[i] = tolerance * speed;
	run->scale[IMPACT_WORK] = tolerance * speed * speed;
	run->ending_slip = 0.1 * sqrt(tolerance) * speed;
	run->ending_impulse = 0.1 * sqrt(tolerance) * speed;
	run->straight = fmax(fabs(v.x), fmax(fabs(rw.y), fabs(rw.z))) <= 1e-14 * speed;
	run->step = HUGE_VAL;
	run->landed = 1e-14 * speed;
	run->outcome.approach = v.y * run->impact.cosine;
}

enum status cushion_solve(const struct cushion_contact *contact, double tolerance,
                          struct vector3 *velocity, struct vector3 *spin_speed,
                          struct cushion_outcome *outcome)
{
	double e = fmin(1.0, fmax(0.0, contact->restitution));
	struct landing landing = {.compressing = true};
	struct integration run;

	if (!(velocity->y > 0.0) || !isfinite(velocity->x + velocity->y) ||
	    !isfinite(spin_speed->x + spin_speed->y + spin_speed->z) || !isfinite(e))
		return STATUS_INTERNAL;
	integration_start(&run, contact, tolerance, *velocity, *spin_speed);
	settle_start(&run);
	if (!integrate_part(&run, &landing))
		return STATUS_INTERNAL;
	run.state[IMPACT_VY] = 0.0;
	refresh(&run);
	landing.compressing = false;
	landing.work = (1.0 - e * e) * run.state[IMPACT_WORK];
	run.step = HUGE_VAL;
	if (e > 0.0 && !integrate_part(&run, &landing))
		return STATUS_INTERNAL;
	velocity->x = run.state[IMPACT_VX];
	velocity->y = run.state[IMPACT_VY];
	*spin_speed =
	    vector3_make(run.state[IMPACT_RWX], run.state[IMPACT_RWY], run.state[IMPACT_RWZ]);
	run.outcome.impulse = run.state[IMPACT_IMPULSE];
	if (outcome != NULL)
		*outcome = run.outcome;
	return STATUS_OK;
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

enum status cushion_rebound(enum rail rail, const struct cushion_contact *contact, double turn,
                            double tolerance, double radius, struct ball_state *state,
                            struct cushion_outcome *outcome)
{
	struct vector3 velocity = cushion_to_rail(rail, state->velocity);
	struct vector3 spin_speed = vector3_scale(radius, cushion_to_rail(rail, state->spin));
	enum status status = cushion_solve(contact, tolerance, &velocity, &spin_speed, outcome);
	struct vector3 turned;

	if (status != STATUS_OK)
		return status;
	turned = vector3_make(velocity.x * cos(turn) - velocity.y * sin(turn),
	                      velocity.x * sin(turn) + velocity.y * cos(turn), velocity.z);
	turned.y = fmin(0.0, turned.y);
	state->velocity = cushion_from_rail(rail, turned);
	state->spin = vector3_scale(1.0 / radius, cushion_from_rail(rail, spin_speed));
	return STATUS_OK;
}
