/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_slopes.h"

#include <math.h>

/* A change of the state, as slips of both contacts and travel along the rail. */
struct change {
	double slip[CONTACT_PLACES][2];
	double along;
};

/* One unit of an incoming velocity or spin. */
static struct change unit_change(const struct impact *impact, int which)
{
	double s = impact->sine, c = impact->cosine;
	const struct change units[CUSHION_OUT] = {
	    [CUSHION_ALONG] = {{{1.0, 0.0}, {1.0, 0.0}}, 1.0},
	    [CUSHION_INTO] = {{{0.0, -s}, {0.0, 1.0}}, 0.0},
	    [CUSHION_SPIN_X] = {{{0.0, 1.0}, {0.0, 1.0}}, 0.0},
	    [CUSHION_SPIN_Y] = {{{s, 0.0}, {-1.0, 0.0}}, 0.0},
	    [CUSHION_SPIN_Z] = {{{-c, 0.0}, {0.0, 0.0}}, 0.0}};

	return units[which];
}

/* Writes a change at the end of the impact into a column, as velocity and spin. */
static void put_change(const struct impact *impact, const struct change *change, double unit,
                       struct cushion_slopes *slopes, int column)
{
	double s = impact->sine, c = impact->cosine;
	const double *nose = change->slip[CONTACT_NOSE], *bed = change->slip[CONTACT_BED];
	double into = (bed[1] - nose[1]) / (1.0 + s), spin_y = change->along - bed[0];

	slopes->by[CUSHION_ALONG][column] = unit * change->along;
	slopes->by[CUSHION_INTO][column] = unit * into;
	slopes->by[CUSHION_SPIN_X][column] = unit * (bed[1] - into);
	slopes->by[CUSHION_SPIN_Y][column] = unit * spin_y;
	slopes->by[CUSHION_SPIN_Z][column] = unit * (change->along + s * spin_y - nose[0]) / c;
}

/* What a change of the slips at the start has become, and travel along the rail that came in. */
static struct change carried(const struct impact_tangent *tangent, const struct change *start)
{
	struct change change = {.along = start->along};

	for (int from = 0; from < CONTACT_PLACES; from++)
		for (int part = 0; part < 2; part++) {
			double amount = start->slip[from][part];

			change.along += amount * tangent->along[from][part];
			for (int i = 0; i < 2 * CONTACT_PLACES; i++)
				change.slip[i / 2][i % 2] +=
				    amount * tangent->slip[i / 2][i % 2][from][part];
		}
	return change;
}

/* The change by a friction coefficient. */
static struct change by_friction(const struct impact_tangent *tangent, enum contact_place place)
{
	struct change change = {.along = tangent->along[TANGENT_FRICTION][place]};

	for (int i = 0; i < 2 * CONTACT_PLACES; i++)
		change.slip[i / 2][i % 2] = tangent->slip[i / 2][i % 2][TANGENT_FRICTION][place];
	return change;
}

/* The impulse by which a unit more of restitution puts off the end; from a standstill at the rail,
 * as constant rates begin. */
static double delay(const struct impact_run *run, double restitution)
{
	double lever = run->impact.cosine;

	if (run->wedged)
		return 0.0;
	if (restitution > 0.0)
		return 2.0 * restitution * run->compression / (-lever * run->state.into);
	return sqrt(2.0 * run->compression / (-lever * tangent_into_rate(run->tangent)));
}

static struct change by_restitution(const struct impact_run *run, double restitution)
{
	const struct impact_tangent *tangent = run->tangent;
	double impulse = delay(run, restitution);
	struct change change = {.along = impulse * tangent_along_rate(tangent)};

	for (int i = 0; i < 2 * CONTACT_PLACES; i++)
		change.slip[i / 2][i % 2] = impulse * tangent->friction.rate[i / 2][i % 2];
	return change;
}

void slopes_gather(const struct impact_run *run, double restitution, double unit,
                   struct cushion_slopes *slopes)
{
	const struct impact *impact = &run->impact;
	struct change change;

	if (run->flies) {
		for (int i = 0; i < CUSHION_OUT * CUSHION_IN; i++)
			slopes->by[i / CUSHION_IN][i % CUSHION_IN] = NAN;
		return;
	}
	for (int in = 0; in < CUSHION_OUT; in++) {
		change = unit_change(impact, in);
		change = carried(run->tangent, &change);
		put_change(impact, &change, 1.0, slopes, in);
	}
	change = by_restitution(run, restitution);
	put_change(impact, &change, unit, slopes, CUSHION_RESTITUTION_IN);
	change = by_friction(run->tangent, CONTACT_NOSE);
	put_change(impact, &change, unit, slopes, CUSHION_FRICTION_IN);
	change = by_friction(run->tangent, CONTACT_BED);
	put_change(impact, &change, unit, slopes, CUSHION_BED_FRICTION_IN);
}
