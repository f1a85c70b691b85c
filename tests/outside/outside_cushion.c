/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "outside_cushion.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "outside_friction.h"

/* Speeds are in units of the speed of approach, impulses in units of that times the mass. The
 * solver integrates the changes since the start, so that a fast motion along the rail costs no
 * digits. */

#define WORK OUTSIDE_MOTION /* on the cushion */
#define NUMBERS (OUTSIDE_MOTION + 1)
/* In units of the error that a step may make: a slip as small is none, one that starts is taken to
 * be ahead by so much. */
#define SLIP_ENDED 100.0
#define SLIP_AHEAD 1000.0
#define OVERLAP 1e-8 /* the bed's reaction goes so far beyond 0 before it is gone or back */
#define PARTS_MOST 200

enum { ROOT_PART, ROOT_NOSE, ROOT_BED, ROOT_REACTION, ROOT_COUNT };

struct impact {
	const struct outside_cushion_law *law;
	double unit; /* the error that a step may make */
	struct outside_friction friction;
	double before[OUTSIDE_MOTION];
	/* A slip is measured from what was left of it when it ended last, plus a bit in the
	 * direction in which it started; toward[k] is a direction that it had lately, and tells which
	 * side of zero it is on. */
	double origin[OUTSIDE_CONTACTS][2], toward[OUTSIDE_CONTACTS][2];
	bool still[OUTSIDE_CONTACTS];    /* without slip since the last stop */
	bool released[OUTSIDE_CONTACTS]; /* stuck until the last stop, and cannot any more */
	bool gives_back;                 /* the part of restitution */
	double work_left;                /* at which it ends */
};

struct outside_cushion {
	struct outside_integrator *quick, *robust;
	struct outside_integrator *integrator; /* the one in use */
	double unit;
	struct impact impact;
	struct outside_cushion_tale tale;
};

/* Coefficients of the slips in the motion: x and t at the nose, x and y at the bed. */
static void slip_rows(double s, double rows[OUTSIDE_CONTACTS][2][OUTSIDE_MOTION])
{
	double c = sqrt(1.0 - s * s);

	memset(rows, 0, OUTSIDE_CONTACTS * 2 * OUTSIDE_MOTION * sizeof(double));
	rows[OUTSIDE_NOSE][0][OUTSIDE_VX] = 1.0;
	rows[OUTSIDE_NOSE][0][OUTSIDE_RWY] = s;
	rows[OUTSIDE_NOSE][0][OUTSIDE_RWZ] = -c;
	rows[OUTSIDE_NOSE][1][OUTSIDE_VY] = -s;
	rows[OUTSIDE_NOSE][1][OUTSIDE_RWX] = 1.0;
	rows[OUTSIDE_BED][0][OUTSIDE_VX] = 1.0;
	rows[OUTSIDE_BED][0][OUTSIDE_RWY] = -1.0;
	rows[OUTSIDE_BED][1][OUTSIDE_VY] = 1.0;
	rows[OUTSIDE_BED][1][OUTSIDE_RWX] = 1.0;
}

static void find_slips(const struct impact *impact, const double *change,
                       double slip[OUTSIDE_CONTACTS][2])
{
	double rows[OUTSIDE_CONTACTS][2][OUTSIDE_MOTION];

	slip_rows(impact->law->sine, rows);
	for (int k = 0; k < OUTSIDE_CONTACTS; k++)
		for (int i = 0; i < 2; i++) {
			slip[k][i] = -impact->origin[k][i];
			for (int j = 0; j < OUTSIDE_MOTION; j++)
				slip[k][i] += rows[k][i][j] * (impact->before[j] + change[j]);
		}
}

/* The size of a slip, negative where it has gone through zero, and its direction, which goes on
 * through zero: so a solver may try a step beyond the end of a slip without meeting a jump. */
static double signed_slip(const struct impact *impact, enum outside_contact k,
                          double slip[OUTSIDE_CONTACTS][2], double direction[2])
{
	double size = hypot(slip[k][0], slip[k][1]);
	const double *toward = impact->toward[k];

	if (slip[k][0] * toward[0] + slip[k][1] * toward[1] < 0.0)
		size = -size;
	for (int i = 0; i < 2; i++)
		direction[i] = size != 0.0 ? slip[k][i] / size : toward[i];
	return size;
}

static struct outside_forces find_forces(const struct impact *impact, const double *change,
                                         double size[OUTSIDE_CONTACTS],
                                         double direction[OUTSIDE_CONTACTS][2])
{
	double slip[OUTSIDE_CONTACTS][2];

	find_slips(impact, change, slip);
	for (int k = 0; k < OUTSIDE_CONTACTS; k++)
		size[k] = signed_slip(impact, (enum outside_contact)k, slip, direction[k]);
	return outside_friction_forces(&impact->friction, direction);
}

static void rates(const void *data, const double *y, double *out)
{
	const struct outside_cushion *cushion = data;
	const struct impact *impact = &cushion->impact;
	double size[OUTSIDE_CONTACTS], direction[OUTSIDE_CONTACTS][2], s = impact->law->sine;
	struct outside_forces forces = find_forces(impact, y, size, direction);

	outside_friction_motion(s, &forces, out);
	out[WORK] = (impact->before[OUTSIDE_VY] + y[OUTSIDE_VY]) * sqrt(1.0 - s * s);
}

static void roots(const void *data, const double *y, double *out)
{
	const struct outside_cushion *cushion = data;
	const struct impact *impact = &cushion->impact;
	const struct outside_friction *friction = &impact->friction;
	double size[OUTSIDE_CONTACTS], direction[OUTSIDE_CONTACTS][2];
	struct outside_forces forces = find_forces(impact, y, size, direction);

	out[ROOT_PART] = impact->gives_back ? y[WORK] - impact->work_left
	                                    : impact->before[OUTSIDE_VY] + y[OUTSIDE_VY];
	for (int k = 0; k < OUTSIDE_CONTACTS; k++)
		out[ROOT_NOSE + k] =
		    friction->mode[k] == OUTSIDE_SLIPS
			? size[k] - SLIP_ENDED * impact->unit
			: outside_friction_reserve(friction, &forces, (enum outside_contact)k);
	out[ROOT_REACTION] =
	    forces.reaction + (friction->hold == OUTSIDE_LIFTED ? -OVERLAP : OVERLAP);
}

/* How the rates change with the direction of one slip, by a difference of the angle: it steers
 * Newton's iteration alone. */
static void rates_by_angle(const struct impact *impact, double direction[OUTSIDE_CONTACTS][2],
                           enum outside_contact k, double by[OUTSIDE_MOTION])
{
	const double step = 1e-6;
	double ahead[OUTSIDE_MOTION], behind[OUTSIDE_MOTION];
	double x = direction[k][0], y = direction[k][1];

	for (int way = 0; way < 2; way++) {
		double turn = way == 0 ? step : -step;
		struct outside_forces forces;

		direction[k][0] = x - turn * y;
		direction[k][1] = y + turn * x;
		forces = outside_friction_forces(&impact->friction, direction);
		outside_friction_motion(impact->law->sine, &forces, way == 0 ? ahead : behind);
	}
	direction[k][0] = x;
	direction[k][1] = y;
	for (int i = 0; i < OUTSIDE_MOTION; i++)
		by[i] = (ahead[i] - behind[i]) / (2.0 * step);
}

static void jacobian(const void *data, const double *y, double *by)
{
	const struct outside_cushion *cushion = data;
	const struct impact *impact = &cushion->impact;
	double size[OUTSIDE_CONTACTS], direction[OUTSIDE_CONTACTS][2], s = impact->law->sine;
	double rows[OUTSIDE_CONTACTS][2][OUTSIDE_MOTION], turned[OUTSIDE_MOTION];

	find_forces(impact, y, size, direction);
	slip_rows(s, rows);
	for (int k = 0; k < OUTSIDE_CONTACTS; k++) {
		if (impact->friction.mode[k] != OUTSIDE_SLIPS || size[k] == 0.0)
			continue;
		rates_by_angle(impact, direction, (enum outside_contact)k, turned);
		for (int j = 0; j < OUTSIDE_MOTION; j++) {
			double angle =
			    (direction[k][0] * rows[k][1][j] - direction[k][1] * rows[k][0][j]) /
			    size[k];

			for (int i = 0; i < OUTSIDE_MOTION; i++)
				by[j * NUMBERS + i] += turned[i] * angle;
		}
	}
	by[OUTSIDE_VY * NUMBERS + WORK] = sqrt(1.0 - s * s);
}

struct outside_cushion *outside_cushion_open(const struct outside_accuracy *accuracy)
{
	static const bool falling[ROOT_COUNT] = {true, true, true, false};
	struct outside_cushion *cushion = calloc(1, sizeof *cushion);
	struct outside_system system = {.size = NUMBERS,
	                                .root_count = ROOT_COUNT,
	                                .rates = rates,
	                                .roots = roots,
	                                .falling = falling,
	                                .jacobian = jacobian,
	                                .data = cushion};

	if (cushion == NULL)
		return NULL;
	cushion->unit = accuracy->absolute;
	cushion->quick = outside_integrator_open(&system, accuracy);
	system.backward = true;
	cushion->robust = outside_integrator_open(&system, accuracy);
	if (cushion->quick == NULL || cushion->robust == NULL) {
		outside_cushion_close(cushion);
		return NULL;
	}
	return cushion;
}

void outside_cushion_close(struct outside_cushion *cushion)
{
	if (cushion == NULL)
		return;
	outside_integrator_close(cushion->quick);
	outside_integrator_close(cushion->robust);
	free(cushion);
}

/* Decides how contacts without slip go on and from where slips are measured. */
static bool settle(struct outside_cushion *cushion, const double *y)
{
	struct impact *impact = &cushion->impact;
	struct outside_cushion_tale *tale = &cushion->tale;
	double slip[OUTSIDE_CONTACTS][2];

	impact->friction.hold = OUTSIDE_EITHER;
	if (!outside_friction_settle(&impact->friction, impact->still, impact->released,
	                             impact->toward, &tale->several))
		return false;
	memset(impact->released, 0, sizeof impact->released);
	memset(impact->origin, 0, sizeof impact->origin);
	find_slips(impact, y, slip);
	for (int k = 0; k < OUTSIDE_CONTACTS; k++) {
		bool slips = impact->friction.mode[k] == OUTSIDE_SLIPS;

		if (!impact->still[k])
			continue;
		for (int i = 0; i < 2 && slips; i++)
			impact->origin[k][i] =
			    slip[k][i] - SLIP_AHEAD * impact->unit * impact->toward[k][i];
		impact->still[k] = !slips;
	}
	return true;
}

/* Whether the bed holds the ball from here on: what the reaction says, or, where that has just been
 * found to go through zero, the other way than before. */
static void decide_hold(struct impact *impact, const double *y, enum outside_hold before,
                        bool crossed)
{
	double size[OUTSIDE_CONTACTS], direction[OUTSIDE_CONTACTS][2];
	struct outside_forces forces = find_forces(impact, y, size, direction);
	bool lifted = crossed ? before == OUTSIDE_PRESSED : forces.reaction < 0.0;

	impact->friction.hold = lifted ? OUTSIDE_LIFTED : OUTSIDE_PRESSED;
}

static void impact_start(struct impact *impact, const struct outside_cushion_law *law,
                         const double *motion, double unit)
{
	double slip[OUTSIDE_CONTACTS][2];
	double still[OUTSIDE_MOTION] = {0.0};

	memset(impact, 0, sizeof *impact);
	impact->law = law;
	impact->unit = unit;
	impact->friction.law = law;
	for (int i = 0; i < OUTSIDE_MOTION; i++)
		impact->before[i] = motion[i] / motion[OUTSIDE_VY];
	find_slips(impact, still, slip);
	for (int k = 0; k < OUTSIDE_CONTACTS; k++) {
		double size = hypot(slip[k][0], slip[k][1]);

		impact->still[k] = size <= SLIP_ENDED * impact->unit;
		for (int i = 0; i < 2; i++)
			impact->toward[k][i] = impact->still[k] ? 0.0 : slip[k][i] / size;
	}
}

/* Notes on which side of zero the slips are. */
static void follow_slips(struct impact *impact, const double *y)
{
	double slip[OUTSIDE_CONTACTS][2], direction[2];

	find_slips(impact, y, slip);
	for (int k = 0; k < OUTSIDE_CONTACTS; k++)
		if (impact->friction.mode[k] == OUTSIDE_SLIPS &&
		    signed_slip(impact, (enum outside_contact)k, slip, direction) != 0.0)
			memcpy(impact->toward[k], direction, sizeof direction);
}

/* A slip has ended, or a contact that stuck lets go. */
static void change_contact(struct outside_cushion *cushion, const double *y, enum outside_contact k)
{
	struct impact *impact = &cushion->impact;
	struct outside_cushion_tale *tale = &cushion->tale;
	double size[OUTSIDE_CONTACTS], direction[OUTSIDE_CONTACTS][2];

	impact->still[k] = true;
	if (impact->friction.mode[k] == OUTSIDE_SLIPS) {
		*(k == OUTSIDE_NOSE ? &tale->nose_ends : &tale->bed_ends) += 1;
		return;
	}
	struct outside_forces forces = find_forces(impact, y, size, direction);
	double pull = hypot(forces.at[k][0], forces.at[k][1]);

	impact->released[k] = true;
	tale->releases++;
	for (int i = 0; i < 2; i++)
		impact->toward[k][i] = forces.at[k][i] / pull;
}

/* Begins anew after a contact has changed. */
static bool go_on(struct outside_cushion *cushion, const double *y, bool crossed)
{
	struct impact *impact = &cushion->impact;
	struct outside_friction before = impact->friction;
	const enum outside_mode *mode = impact->friction.mode;

	if (!settle(cushion, y))
		return false;
	decide_hold(impact, y, before.hold, crossed);
	cushion->tale.nose_sticks +=
	    mode[OUTSIDE_NOSE] == OUTSIDE_STICKS && before.mode[OUTSIDE_NOSE] == OUTSIDE_SLIPS;
	cushion->tale.bed_sticks +=
	    mode[OUTSIDE_BED] == OUTSIDE_STICKS && before.mode[OUTSIDE_BED] == OUTSIDE_SLIPS;
	return outside_integrator_restart(cushion->integrator, y);
}

/* Runs until compression or restitution ends. */
static bool run_part(struct outside_cushion *cushion, double *y)
{
	bool found[OUTSIDE_ROOTS] = {false}, crossed = false;
	double t;

	for (int part = 0; part < PARTS_MOST; part++) {
		enum outside_step step;

		if (!go_on(cushion, y, crossed))
			return false;
		do {
			step = outside_integrator_step(cushion->integrator, &t, y, found);
			follow_slips(&cushion->impact, y);
		} while (step == OUTSIDE_STEPPED);
		if (step == OUTSIDE_FAILED)
			return false;
		crossed = found[ROOT_REACTION];
		for (int k = 0; k < OUTSIDE_CONTACTS; k++)
			if (found[ROOT_NOSE + k]) {
				change_contact(cushion, y, (enum outside_contact)k);
				crossed = false;
			}
		cushion->tale.lifts += crossed;
		if (found[ROOT_PART])
			return true;
	}
	return false;
}

/* A whole impact with one of the integrators; y receives the change of the motion, and the work. */
static bool run_impact(struct outside_cushion *cushion, const struct outside_cushion_law *law,
                       const double *motion, struct outside_integrator *integrator, double *y)
{
	struct impact *impact = &cushion->impact;
	double e = law->restitution;

	cushion->integrator = integrator;
	memset(&cushion->tale, 0, sizeof cushion->tale);
	memset(y, 0, NUMBERS * sizeof *y);
	impact_start(impact, law, motion, cushion->unit);
	if (!run_part(cushion, y))
		return false;
	impact->gives_back = true;
	impact->work_left = (1.0 - e * e) * y[WORK];
	return e <= 0.0 || run_part(cushion, y);
}

bool outside_cushion_rebound(struct outside_cushion *cushion, const struct outside_cushion_law *law,
                             double motion[OUTSIDE_MOTION], struct outside_cushion_tale *tale)
{
	double approach = motion[OUTSIDE_VY], y[NUMBERS];

	if (!run_impact(cushion, law, motion, cushion->quick, y) &&
	    !run_impact(cushion, law, motion, cushion->robust, y))
		return false;
	for (int i = 0; i < OUTSIDE_MOTION; i++)
		motion[i] = approach * (cushion->impact.before[i] + y[i]);
	if (tale != NULL)
		*tale = cushion->tale;
	return true;
}
