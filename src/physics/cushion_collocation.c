/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_collocation.h"

#include <math.h>

#include "physics/cushion_points.h"

/* Carries the changes of an impact along a part of a step of its series. They obey linear equations
 * whose coefficients the series gives; these are solved by Radau's collocation at five points (IIA,
 * order nine), which damps what is drawn to zero faster than a step is long. A change moves a force
 * only by turning a slip, so that two angles at each point are all there is to solve for. */

#define ANGLES (CONTACT_PLACES * POINTS)

/* Two angles a point, and three pairs of columns beside them in each equation. */
#define ROW_PAIRS (ANGLES / 2 + TANGENT_PAIRS)

struct interval {
	struct impact impact;
	const struct impact_series *series;
	bool turns[CONTACT_PLACES];  /* contacts whose turning matters */
	enum contact_place straight; /* whose slip goes straight to its end, or CONTACT_PLACES */
	struct point point[POINTS];
	double inner[POINTS][POINTS]; /* integrals up to each point, with the weights */
	vector2 row[ANGLES][ROW_PAIRS];
};

/* The points between two places of the series. */
static void find_points(struct interval *interval, double from, double to)
{
	points_find(interval->series, &interval->impact, interval->straight, from, to,
	            interval->point);
	for (int i = 0; i < POINTS; i++)
		for (int j = 0; j < POINTS; j++)
			interval->inner[i][j] = points_integral[i][j] * interval->point[j].weight;
}

/* The parameters' own share of the rate of a slip across a direction, both columns at once. */
static vector2 own_rate(const struct point *point, int place, vector2 across)
{
	return (vector2){vector2_dot(across, point->slip_rate[DRIVE_NOSE_FRICTION][place]),
	                 vector2_dot(across, point->slip_rate[DRIVE_BED_FRICTION][place])};
}

/* The equation for an angle: size times angle is the part of the slip's change across it. */
static void set_equation(struct interval *interval, const struct impact_tangent *tangent, int i,
                         int place, vector2 *row)
{
	const struct point *here = &interval->point[i];
	vector2 across = vector2_turn(here->direction[place]);
	vector2 *right = row + ANGLES / 2;

	for (int pair = 0; pair < TANGENT_PAIRS; pair++)
		right[pair] = across[0] * tangent->slip[place][0][pair] +
		              across[1] * tangent->slip[place][1][pair];
	for (int j = 0; j < POINTS; j++) {
		const struct point *there = &interval->point[j];
		double share = interval->inner[i][j];

		right[TANGENT_FRICTION] += share * own_rate(there, place, across);
		row[j] =
		    -share * (vector2){vector2_dot(across, there->slip_rate[DRIVE_NOSE][place]),
		                       vector2_dot(across, there->slip_rate[DRIVE_BED][place])};
	}
	row[i][place] += here->size[place];
}

/* The equation of a contact that does not turn. */
static void set_still(vector2 *row, int i, int place)
{
	for (int j = 0; j < ROW_PAIRS; j++)
		row[j] = (vector2){0.0, 0.0};
	row[i][place] = 1.0;
}

/* Gauss's elimination. The diagonal leads by far, so that rows need not be exchanged. */
static void solve_equations(vector2 rows[ANGLES][ROW_PAIRS])
{
	for (int column = 0; column < ANGLES; column++) {
		const vector2 *lead = rows[column];
		double inverse = 1.0 / lead[column / 2][column % 2];

		for (int other = column + 1; other < ANGLES; other++) {
			vector2 *row = rows[other];
			double factor = row[column / 2][column % 2] * inverse;

			if (factor == 0.0)
				continue;
			for (int k = column / 2; k < ROW_PAIRS; k++)
				row[k] -= factor * lead[k];
		}
	}
	for (int column = ANGLES - 1; column >= 0; column--) {
		vector2 *right = rows[column] + ANGLES / 2;
		double inverse = 1.0 / rows[column][column / 2][column % 2];

		for (int pair = 0; pair < TANGENT_PAIRS; pair++)
			right[pair] *= inverse;
		for (int other = 0; other < column; other++) {
			double factor = rows[other][column / 2][column % 2];

			for (int pair = 0; pair < TANGENT_PAIRS; pair++)
				rows[other][ANGLES / 2 + pair] -= factor * right[pair];
		}
	}
}

/* Sums up what the forces change, part by part, over the interval. */
static void sum_forces(const struct interval *interval,
                       vector2 sum[CONTACT_PLACES][2][TANGENT_PAIRS])
{
	for (int i = 0; i < POINTS; i++) {
		const struct point *point = &interval->point[i];
		double weight = interval->inner[POINTS - 1][i];
		const vector2 *nose = interval->row[2 * i] + ANGLES / 2;
		const vector2 *bed = interval->row[2 * i + 1] + ANGLES / 2;

		for (int place = 0; place < CONTACT_PLACES; place++)
			for (int part = 0; part < 2; part++) {
				double by_nose = weight * point->force[DRIVE_NOSE][place][part];
				double by_bed = weight * point->force[DRIVE_BED][place][part];
				vector2 *into = sum[place][part];

				for (int pair = 0; pair < TANGENT_PAIRS; pair++)
					into[pair] += by_nose * nose[pair] + by_bed * bed[pair];
				into[TANGENT_FRICTION] +=
				    weight *
				    (vector2){point->force[DRIVE_NOSE_FRICTION][place][part],
				              point->force[DRIVE_BED_FRICTION][place][part]};
			}
	}
}

/* Rate of the speed into the rail by a drive, times 1 + sine. */
static double into_rate(const struct point *point, enum drive drive)
{
	return point->slip_rate[drive][CONTACT_BED][1] - point->slip_rate[drive][CONTACT_NOSE][1];
}

/* The change of the work is the integral of that of the speed into the rail, itself an integral. */
static void add_work(const struct interval *interval, struct impact_tangent *tangent)
{
	double share = interval->impact.cosine / (1.0 + interval->impact.sine), total = 0.0;
	vector2 sum[TANGENT_PAIRS] = {{0.0, 0.0}};

	for (int j = 0; j < POINTS; j++) {
		const struct point *point = &interval->point[j];
		const vector2 *nose = interval->row[2 * j] + ANGLES / 2;
		const vector2 *bed = interval->row[2 * j + 1] + ANGLES / 2;
		double weight = 0.0;

		total += interval->inner[POINTS - 1][j];
		for (int i = 0; i < POINTS; i++)
			weight += interval->inner[POINTS - 1][i] * interval->inner[i][j];
		for (int pair = 0; pair < TANGENT_PAIRS; pair++)
			sum[pair] += weight * (into_rate(point, DRIVE_NOSE) * nose[pair] +
			                       into_rate(point, DRIVE_BED) * bed[pair]);
		sum[TANGENT_FRICTION] += weight * (vector2){into_rate(point, DRIVE_NOSE_FRICTION),
		                                            into_rate(point, DRIVE_BED_FRICTION)};
	}
	for (int pair = 0; pair < TANGENT_PAIRS; pair++)
		tangent->work[pair] +=
		    share * (sum[pair] + total * (tangent->slip[CONTACT_BED][1][pair] -
		                                  tangent->slip[CONTACT_NOSE][1][pair]));
}

/* Carries the changes from one place of the series to another. */
static void cross_interval(struct interval *interval, struct impact_tangent *tangent, double from,
                           double to)
{
	const struct impact *impact = &interval->impact;
	vector2 sum[CONTACT_PLACES][2][TANGENT_PAIRS] = {{{{0.0, 0.0}}}};

	find_points(interval, from, to);
	for (int i = 0; i < POINTS; i++)
		for (int place = 0; place < CONTACT_PLACES; place++)
			if (interval->turns[place])
				set_equation(interval, tangent, i, place,
				             interval->row[2 * i + place]);
			else
				set_still(interval->row[2 * i + place], i, place);
	solve_equations(interval->row);
	add_work(interval, tangent);
	sum_forces(interval, sum);
	for (int part = 0; part < 2; part++)
		for (int pair = 0; pair < TANGENT_PAIRS; pair++) {
			vector2 nose = sum[CONTACT_NOSE][part][pair];
			vector2 bed = sum[CONTACT_BED][part][pair];

			tangent->slip[CONTACT_NOSE][part][pair] -=
			    impact->own[CONTACT_NOSE][part] * nose + impact->shared[part] * bed;
			tangent->slip[CONTACT_BED][part][pair] -=
			    impact->shared[part] * nose + impact->own[CONTACT_BED][part] * bed;
			if (part == 0)
				tangent->along[pair] -= nose + bed;
		}
}

/* The logarithm of the factor by which a slip grows in a part of a step. */
static double growth(const struct interval *interval, int place, double from, double to)
{
	double before = points_size(interval->series, &interval->impact, place, from);
	double after = points_size(interval->series, &interval->impact, place, to);

	return before > 0.0 ? log(fmax(after, 1e-10 * before) / before) : 0.0;
}

/* How fast a sliding slip grows, shrinks or turns, in proportion to its size. */
static double change_rate(const struct contact_series *contact, int order, double at)
{
	vector2 slip = contact->slip[order], rate = {0.0, 0.0};

	for (int k = order - 1; k >= 0; k--) {
		rate = rate * at + slip;
		slip = slip * at + contact->slip[k];
	}
	return sqrt(vector2_dot(rate, rate) / vector2_dot(slip, slip));
}

/* The most by which a slip may grow, shrink or turn in a piece of a step, as such a logarithm and
 * an angle. Of 10000 random impacts, pieces an eighth as long change the derivatives of one by more
 * than 1e-7 of the largest: by 3e-7. */
#define PIECE_CHANGE 1.0
/* The same of derivatives that need not be exact. */
#define PIECE_CHANGE_COARSE 4.0

/* The same of the slip that sets the pace, in a part of a step. */
static double pace_change(const struct interval *interval, int place, double from, double to)
{
	const struct impact_series *series = interval->series;
	double most = 0.0;

	for (int i = 0; i <= 2; i++)
		most = fmax(most, change_rate(&series->contact[place], series->order,
		                              from + 0.5 * i * (to - from)));
	return most * (to - from);
}

/* In equal pieces, or, where a slip that does not set the pace grows or shrinks by much, in pieces
 * in proportion to its size, for it turns the faster the smaller it is. */
static void cross_in_pieces(struct interval *interval, struct impact_tangent *tangent, double start,
                            double end)
{
	double even = 0.0, uneven = 0.0, from = start;
	double most = tangent->coarse ? PIECE_CHANGE_COARSE : PIECE_CHANGE;
	int pieces;

	for (int place = 0; place < CONTACT_PLACES; place++) {
		double here;

		if (!interval->turns[place])
			continue;
		if (interval->series->paces[place]) {
			even = fmax(even, pace_change(interval, place, start, end));
			continue;
		}
		here = growth(interval, place, start, end);
		if (fabs(here) > fabs(uneven))
			uneven = here;
	}
	pieces = (int)ceil(fmax(1.0, fmax(even, fabs(uneven)) / most));
	if (!tangent->coarse)
		pieces *= 2;
	for (int piece = 1; piece <= pieces; piece++) {
		double share = (double)piece / pieces, to;

		if (fabs(uneven) > most)
			share = expm1(uneven * share) / expm1(uneven);
		to = start + (end - start) * share;
		cross_interval(interval, tangent, from, to);
		from = to;
	}
}

bool collocation_turns(const struct impact *impact, enum contact_place place)
{
	return impact->motion[place] != CONTACT_STICKS && impact->friction[place] != 0.0 &&
	       !(place == CONTACT_BED && impact->lifted);
}

void collocation_cross(struct impact_tangent *tangent, const struct impact *impact,
                       const struct impact_series *series, enum contact_place straight, double from,
                       double to)
{
	struct interval interval;

	interval.impact = *impact;
	interval.series = series;
	interval.straight = straight;
	for (int place = 0; place < CONTACT_PLACES; place++)
		interval.turns[place] = collocation_turns(impact, (enum contact_place)place);
	cross_in_pieces(&interval, tangent, from, to);
}
