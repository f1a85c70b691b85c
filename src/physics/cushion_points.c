/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_points.h"

#include <math.h>

#include "physics/cushion_polynomial.h"

/* E. Hairer and G. Wanner, Solving Ordinary Differential Equations II (1996), IV.5; computed from
 * the definition, the roots of P5 - P4, to 60 digits. */
const double points_place[POINTS] = {0.05710419611451768219, 0.2768430136381238277,
                                     0.5835904323689168201, 0.8602401356562194478, 1.0};

/* To 60 digits. */
const double points_integral[POINTS][POINTS] = {
    {0.07299886431790332431, -0.02673533110794557188, 0.01867692976398435441,
     -0.01287910609330643985, 0.005042839233882015207},
    {0.1537752314791824687, 0.1462148678474935066, -0.03644456890512808953, 0.02123306311930471942,
     -0.007935579902728777533},
    {0.1400630456848098715, 0.2989671294912834794, 0.1675850701352489634, -0.03396910168661774657,
     0.01094428874419225227},
    {0.1448943081095347575, 0.2765000687601592276, 0.32579792291042103, 0.1287567532549097612,
     -0.01570891737880532839},
    {0.1437135607912259413, 0.2813560151494620602, 0.3118265229757412541, 0.2231039010835707444,
     0.04}};

/* Series of vectors at all points. */
static void evaluate_vectors(const vector2 *c, int degree, const double t[POINTS],
                             vector2 value[POINTS])
{
	vector2 sum[POINTS];

#pragma GCC unroll 5
	for (int i = 0; i < POINTS; i++)
		sum[i] = c[degree];
	for (int k = degree - 1; k >= 0; k--) {
		vector2 next = c[k];

#pragma GCC unroll 5
		for (int i = 0; i < POINTS; i++)
			sum[i] = sum[i] * t[i] + next;
	}
#pragma GCC unroll 5
	for (int i = 0; i < POINTS; i++)
		value[i] = sum[i];
}

/* Series of numbers at all points. */
static void evaluate_numbers(const double *c, int degree, const double t[POINTS],
                             double value[POINTS])
{
	double sum[POINTS];

#pragma GCC unroll 5
	for (int i = 0; i < POINTS; i++)
		sum[i] = c[degree];
	for (int k = degree - 1; k >= 0; k--) {
#pragma GCC unroll 5
		for (int i = 0; i < POINTS; i++)
			sum[i] = sum[i] * t[i] + c[k];
	}
#pragma GCC unroll 5
	for (int i = 0; i < POINTS; i++)
		value[i] = sum[i];
}

/* Directions and sizes of one slip at all points. */
static void place_contact(const struct impact_series *series, const struct impact *impact,
                          int place, bool straight, const double t[POINTS],
                          struct point points[POINTS])
{
	const struct contact_series *contact = &series->contact[place];
	int order = series->order;
	bool follows = impact->motion[place] == CONTACT_FOLLOWS;
	vector2 way[POINTS];
	double size[POINTS];

	if (follows) {
		evaluate_vectors(contact->direction, order - 1, t, way);
		evaluate_numbers(contact->size, order, t, size);
	} else {
		evaluate_vectors(contact->slip, order, t, way);
	}
	for (int i = 0; i < POINTS; i++) {
		struct point *point = &points[i];
		double length = sqrt(vector2_dot(way[i], way[i]));

		point->size[place] = follows ? size[i] : length;
		point->direction[place] = impact->direction[place];
		if (straight)
			point->size[place] = vector2_dot(way[i], point->direction[place]);
		else if (length > 0.0)
			point->direction[place] = way[i] / length;
	}
}

/* The bed's friction as far as it answers a change of that at a sliding nose. */
static vector2 bed_answer(const struct impact *impact, vector2 bed_direction, vector2 nose)
{
	if (impact->lifted)
		return (vector2){0.0, 0.0};
	if (impact->motion[CONTACT_BED] == CONTACT_STICKS)
		return -impact->shared * nose / impact->own[CONTACT_BED];
	return impact->friction[CONTACT_BED] * impact->cosine * nose[1] * bed_direction;
}

/* The answer of a sticking nose to a change of the bed's friction but for that of the reaction;
 * adds the latter to *bed. */
static vector2 nose_answer(const struct impact *impact, vector2 bed_direction, vector2 *bed)
{
	double drag = impact->friction[CONTACT_BED];
	double factor = impact->own[CONTACT_NOSE][1] +
	                impact->shared[1] * drag * impact->cosine * bed_direction[1];
	double up = -impact->shared[1] * (*bed)[1] / factor;

	*bed += drag * impact->cosine * up * bed_direction;
	return (vector2){-(*bed)[0] * impact->shared[0] / impact->own[CONTACT_NOSE][0], up};
}

/* What each drive does at a point. */
static void find_responses(const struct impact *impact, struct point *point)
{
	vector2 bed = point->direction[CONTACT_BED], nose = point->direction[CONTACT_NOSE];
	vector2 nose_way[DRIVES] = {[DRIVE_NOSE] =
	                                impact->friction[CONTACT_NOSE] * vector2_turn(nose),
	                            [DRIVE_NOSE_FRICTION] = nose};
	vector2 bed_way[DRIVES] = {[DRIVE_BED] = impact->friction[CONTACT_BED] * vector2_turn(bed),
	                           [DRIVE_BED_FRICTION] = bed};
	bool nose_sticks = impact->motion[CONTACT_NOSE] == CONTACT_STICKS;
	bool bed_slides = impact->motion[CONTACT_BED] != CONTACT_STICKS && !impact->lifted;

	for (int drive = 0; drive < DRIVES; drive++) {
		vector2 *force = point->force[drive], *rate = point->slip_rate[drive];

		force[CONTACT_NOSE] = force[CONTACT_BED] = (vector2){0.0, 0.0};
		if (drive % CONTACT_PLACES == CONTACT_NOSE && !nose_sticks) {
			force[CONTACT_NOSE] = nose_way[drive];
			force[CONTACT_BED] = bed_answer(impact, bed, nose_way[drive]);
		} else if (drive % CONTACT_PLACES == CONTACT_BED && bed_slides) {
			force[CONTACT_BED] = point->reaction * bed_way[drive];
			if (nose_sticks)
				force[CONTACT_NOSE] = nose_answer(impact, bed, &force[CONTACT_BED]);
		}
		rate[CONTACT_NOSE] = -impact->own[CONTACT_NOSE] * force[CONTACT_NOSE] -
		                     impact->shared * force[CONTACT_BED];
		rate[CONTACT_BED] = -impact->shared * force[CONTACT_NOSE] -
		                    impact->own[CONTACT_BED] * force[CONTACT_BED];
	}
}

void points_find(const struct impact_series *series, const struct impact *impact,
                 enum contact_place straight, double from, double to, struct point point[POINTS])
{
	double t[POINTS], pace[POINTS], reaction[POINTS];

	for (int i = 0; i < POINTS; i++)
		t[i] = from + (to - from) * points_place[i];
	evaluate_numbers(series->pace, series->order - 1, t, pace);
	evaluate_numbers(series->reaction, series->order - 1, t, reaction);
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (impact->motion[place] != CONTACT_STICKS)
			place_contact(series, impact, place, place == (int)straight, t, point);
	for (int i = 0; i < POINTS; i++) {
		point[i].weight = (to - from) * pace[i];
		point[i].reaction = reaction[i] / pace[i];
		find_responses(impact, &point[i]);
	}
}

double points_size(const struct impact_series *series, const struct impact *impact, int place,
                   double at)
{
	const struct contact_series *contact = &series->contact[place];
	vector2 slip;

	if (impact->motion[place] == CONTACT_FOLLOWS)
		return polynomial_value(contact->size, series->order, at);
	slip = series_vector(contact->slip, series->order, at);
	return sqrt(vector2_dot(slip, slip));
}
