/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_tangent.h"

#include <math.h>

#include "physics/cushion_polynomial.h"

/* Carries the changes of an impact along one step of its series. They obey linear equations whose
 * coefficients the series gives; these are solved by Radau's collocation at five points (IIA, order
 * nine), which damps what is drawn to zero faster than a step is long. A change moves a force only
 * by turning a slip, so that two angles at each point are all there is to solve for. */

#define POINTS 5
#define ANGLES (CONTACT_PLACES * POINTS)

/* What changes friction: the angles of the slips, and the two coefficients. */
enum drive { DRIVE_NOSE, DRIVE_BED, DRIVE_NOSE_FRICTION, DRIVE_BED_FRICTION, DRIVES };

/* Points in [0, 1] and integrals of their Lagrange polynomials from 0 to each point: E. Hairer and
 * G. Wanner, Solving Ordinary Differential Equations II (1996), IV.5; computed from the definition
 * to 60 digits. */
static const double points[POINTS] = {0.05710419611451768219, 0.2768430136381238277,
                                      0.5835904323689168201, 0.8602401356562194478, 1.0};
static const double integral[POINTS][POINTS] = {
    {0.07299886431790332431, -0.02673533110794557188, 0.01867692976398435441,
     -0.01287910609330643985, 0.005042839233882015207},
    {0.1537752314791824687, 0.1462148678474935066, -0.03644456890512808953,
     0.02123306311930471942, -0.007935579902728777533},
    {0.1400630456848098715, 0.2989671294912834794, 0.1675850701352489634,
     -0.03396910168661774657, 0.01094428874419225227},
    {0.1448943081095347575, 0.2765000687601592276, 0.32579792291042103, 0.1287567532549097612,
     -0.01570891737880532839},
    {0.1437135607912259413, 0.2813560151494620602, 0.3118265229757412541,
     0.2231039010835707444, 0.04}};

struct point {
	double weight; /* pace times length of the interval */
	vector2 direction[CONTACT_PLACES];
	double size[CONTACT_PLACES];
	vector2 slip_rate[DRIVES][CONTACT_PLACES];
	double along_rate[DRIVES];
};

struct interval {
	struct impact impact; /* at the last point seen */
	struct friction friction;
	struct point point[POINTS];
	int active[CONTACT_PLACES], actives; /* contacts that turn */
	enum contact_place straight; /* whose slip goes straight to its end, or CONTACT_PLACES */
	double matrix[ANGLES][ANGLES];
	vector2 angle[ANGLES][TANGENT_PAIRS];
};

/* Directions and sizes at a place of the series. */
static void place_point(struct interval *interval, struct point *point,
                        const struct impact_series *series, double t)
{
	for (int place = 0; place < CONTACT_PLACES; place++) {
		const struct contact_series *contact = &series->contact[place];
		vector2 way;
		double size;

		if (interval->impact.motion[place] == CONTACT_STICKS)
			continue;
		if (interval->impact.motion[place] == CONTACT_FOLLOWS) {
			way = series_vector(contact->direction, series->order - 1, t);
			point->size[place] = polynomial_value(contact->size, series->order, t);
			size = sqrt(vector2_dot(way, way));
		} else {
			way = series_vector(contact->slip, series->order, t);
			size = sqrt(vector2_dot(way, way));
			point->size[place] = size;
		}
		if (place == (int)interval->straight)
			point->size[place] = vector2_dot(way, interval->impact.direction[place]);
		else if (size > 0.0)
			interval->impact.direction[place] = way / size;
		point->direction[place] = interval->impact.direction[place];
	}
}

/* What each drive does at a point. */
static void find_responses(struct interval *interval, struct point *point)
{
	const struct impact *impact = &interval->impact;

	friction_find(impact, &interval->friction);
	for (int drive = 0; drive < DRIVES; drive++) {
		int place = drive % CONTACT_PLACES;
		vector2 grip[CONTACT_PLACES] = {{0.0, 0.0}, {0.0, 0.0}};
		struct friction change;

		grip[place] = drive < CONTACT_PLACES
		                  ? impact->friction[place] * vector2_turn(impact->direction[place])
		                  : impact->direction[place];
		friction_respond(impact, &interval->friction, grip, &change);
		point->slip_rate[drive][CONTACT_NOSE] = change.rate[CONTACT_NOSE];
		point->slip_rate[drive][CONTACT_BED] = change.rate[CONTACT_BED];
		point->along_rate[drive] =
		    -change.force[CONTACT_NOSE][0] - change.force[CONTACT_BED][0];
	}
}

/* The parameters' own share of a slip rate, both columns at once. */
static vector2 own_rate(const struct point *point, int place, int part)
{
	return (vector2){point->slip_rate[DRIVE_NOSE_FRICTION][place][part],
	                 point->slip_rate[DRIVE_BED_FRICTION][place][part]};
}

/* The equations: size times angle is the part of the slip's change across it. */
static void set_equations(struct interval *interval, const struct impact_tangent *tangent)
{
	for (int i = 0; i < POINTS; i++) {
		const struct point *here = &interval->point[i];

		for (int x = 0; x < interval->actives; x++) {
			int place = interval->active[x], row = i * interval->actives + x;
			vector2 across = vector2_turn(here->direction[place]);
			vector2 *right = interval->angle[row];

			for (int pair = 0; pair < TANGENT_PAIRS; pair++)
				right[pair] = across[0] * tangent->slip[place][0][pair] +
				              across[1] * tangent->slip[place][1][pair];
			for (int j = 0; j < POINTS; j++) {
				const struct point *there = &interval->point[j];
				vector2 lever = integral[i][j] * there->weight * across;
				double *entry = &interval->matrix[row][j * interval->actives];

				right[TANGENT_FRICTION] += lever[0] * own_rate(there, place, 0) +
				                           lever[1] * own_rate(there, place, 1);
				for (int y = 0; y < interval->actives; y++)
					entry[y] = -vector2_dot(
					    lever, there->slip_rate[interval->active[y]][place]);
			}
			interval->matrix[row][row] += here->size[place];
		}
	}
}

/* Gauss's elimination. The diagonal leads by far, so that rows need not be exchanged. */
static void solve_equations(struct interval *interval)
{
	int size = POINTS * interval->actives;

	for (int column = 0; column < size; column++) {
		double inverse = 1.0 / interval->matrix[column][column];

		for (int row = column + 1; row < size; row++) {
			double factor = interval->matrix[row][column] * inverse;

			for (int k = column + 1; k < size; k++)
				interval->matrix[row][k] -= factor * interval->matrix[column][k];
			for (int pair = 0; pair < TANGENT_PAIRS; pair++)
				interval->angle[row][pair] -=
				    factor * interval->angle[column][pair];
		}
	}
	for (int row = size - 1; row >= 0; row--)
		for (int pair = 0; pair < TANGENT_PAIRS; pair++) {
			vector2 rest = interval->angle[row][pair];

			for (int k = row + 1; k < size; k++)
				rest -= interval->matrix[row][k] * interval->angle[k][pair];
			interval->angle[row][pair] = rest / interval->matrix[row][row];
		}
}

/* The change of the work is the integral of that of the speed into the rail, itself an integral. */
static void add_work(const struct interval *interval, struct impact_tangent *tangent,
                     vector2 slip_rate[POINTS][2][TANGENT_PAIRS])
{
	double share = interval->impact.cosine / (1.0 + interval->impact.sine);
	double total = 0.0;

	for (int i = 0; i < POINTS; i++)
		total += integral[POINTS - 1][i] * interval->point[i].weight;
	for (int pair = 0; pair < TANGENT_PAIRS; pair++)
		tangent->work[pair] += share * total *
		                       (tangent->slip[CONTACT_BED][1][pair] -
		                        tangent->slip[CONTACT_NOSE][1][pair]);
	for (int j = 0; j < POINTS; j++) {
		double weight = 0.0;

		for (int i = 0; i < POINTS; i++)
			weight += integral[POINTS - 1][i] * interval->point[i].weight *
			          integral[i][j];
		weight *= share * interval->point[j].weight;
		for (int pair = 0; pair < TANGENT_PAIRS; pair++)
			tangent->work[pair] +=
			    weight * (slip_rate[j][CONTACT_BED][pair] -
			              slip_rate[j][CONTACT_NOSE][pair]);
	}
}

/* Adds what the drives do at one point; across_rate receives the rates of the second parts of both
 * slips, per impulse. */
static void add_point(const struct interval *interval, struct impact_tangent *tangent, int i,
                      vector2 across_rate[2][TANGENT_PAIRS])
{
	const struct point *point = &interval->point[i];
	double weight = integral[POINTS - 1][i] * point->weight;

	for (int pair = 0; pair < TANGENT_PAIRS; pair++) {
		vector2 along = {0.0, 0.0};

		if (pair == TANGENT_FRICTION)
			along = (vector2){point->along_rate[DRIVE_NOSE_FRICTION],
			                  point->along_rate[DRIVE_BED_FRICTION]};
		for (int x = 0; x < interval->actives; x++)
			along += point->along_rate[interval->active[x]] *
			         interval->angle[i * interval->actives + x][pair];
		tangent->along[pair] += weight * along;
		for (int place = 0; place < CONTACT_PLACES; place++)
			for (int part = 0; part < 2; part++) {
				vector2 rate = {0.0, 0.0};

				if (pair == TANGENT_FRICTION)
					rate = own_rate(point, place, part);
				for (int x = 0; x < interval->actives; x++)
					rate +=
					    point->slip_rate[interval->active[x]][place][part] *
					    interval->angle[i * interval->actives + x][pair];
				tangent->slip[place][part][pair] += weight * rate;
				if (part == 1)
					across_rate[place][pair] = rate;
			}
	}
}

/* Carries the changes from one place of the series to another. */
static void cross_interval(struct interval *interval, struct impact_tangent *tangent,
                           const struct impact_series *series, double from, double to)
{
	vector2 rate[POINTS][2][TANGENT_PAIRS];
	struct impact_tangent before = *tangent;

	for (int i = 0; i < POINTS; i++) {
		struct point *point = &interval->point[i];
		double t = from + (to - from) * points[i];

		point->weight =
		    (to - from) * polynomial_value(series->pace, series->order - 1, t);
		place_point(interval, point, series, t);
		find_responses(interval, point);
	}
	set_equations(interval, tangent);
	solve_equations(interval);
	for (int i = 0; i < POINTS; i++)
		add_point(interval, tangent, i, rate[i]);
	for (int pair = 0; pair < TANGENT_PAIRS; pair++)
		before.work[pair] = tangent->work[pair];
	add_work(interval, &before, rate);
	for (int pair = 0; pair < TANGENT_PAIRS; pair++)
		tangent->work[pair] = before.work[pair];
}

/* The logarithm of the factor by which a slip grows in a step. */
static double growth(const struct impact_series *series, const struct impact *impact, int place,
                     double length)
{
	const struct contact_series *contact = &series->contact[place];
	double before = contact->size[0], after;
	vector2 slip = series_vector(contact->slip, series->order, length);

	if (!(before > 0.0))
		return 0.0;
	after = impact->motion[place] == CONTACT_FOLLOWS
	            ? polynomial_value(contact->size, series->order, length)
	            : sqrt(vector2_dot(slip, slip));
	return log(fmax(after, 1e-10 * before) / before);
}

/* The most by which a slip may grow or shrink in a piece of a step, as such a logarithm. */
#define PIECE_GROWTH 1.25

/* Carries the changes along a step in equal pieces, or, where a slip that does not set the pace
 * grows or shrinks by much, in pieces in proportion to its size, for it turns the faster the
 * smaller it is. */
static void cross_step(struct interval *interval, struct impact_tangent *tangent,
                       const struct impact_series *series, double length)
{
	double even = 0.0, uneven = 0.0, from = 0.0;
	int pieces;

	for (int x = 0; x < interval->actives; x++) {
		int place = interval->active[x];
		double here = growth(series, &interval->impact, place, length);

		if (series->paces[place])
			even = fmax(even, fabs(here));
		else if (fabs(here) > fabs(uneven))
			uneven = here;
	}
	pieces = 2 * (int)ceil(fmax(1.0, fmax(even, fabs(uneven)) / PIECE_GROWTH));
	for (int piece = 1; piece <= pieces; piece++) {
		double share = (double)piece / pieces;

		if (fabs(uneven) > PIECE_GROWTH)
			share = expm1(uneven * share) / expm1(uneven);
		cross_interval(interval, tangent, series, from, length * share);
		from = length * share;
	}
}

void tangent_step(struct impact_tangent *tangent, const struct impact *impact,
                  const struct impact_series *series, double length, enum contact_place ends)
{
	struct interval interval = {.impact = *impact, .straight = CONTACT_PLACES};

	if (ends != CONTACT_PLACES && impact->motion[ends] == CONTACT_SLIDES)
		interval.straight = ends;
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (impact->motion[place] != CONTACT_STICKS && impact->friction[place] != 0.0 &&
		    !(place == CONTACT_BED && impact->lifted))
			interval.active[interval.actives++] = place;
	if (length > 0.0)
		cross_step(&interval, tangent, series, length);
	else
		friction_find(impact, &interval.friction);
	tangent->end = interval.impact;
	tangent->into = polynomial_value(series->speed, series->order, length);
	tangent->friction = interval.friction;
}
