/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_series.h"

/* A sweep of the series while the nose follows and the bed, which bears, slides: what
 * cushion_follow.c does whatever the contacts do, for the case that takes most of the time. The
 * newest angle of the direction at the nose, `angle`, is the one unknown of an order; all forces
 * are linear in it, and all else is a sum of what is known. */

struct trail {
	struct impact_series *series;
	const struct impact *impact;
	double friction, drag, lean;
	vector2 turned;        /* first direction at the nose */
	vector2 nose_answer;   /* slip rate there by the angle */
	double slope;          /* of the turning rate by the angle */
	vector2 along, across; /* first direction at the bed */
};

/* Sums of products over what is known before coefficient k, but for those with a first term. */
struct known {
	vector2 turns;       /* turn with direction, of coefficients k - 1 */
	vector2 by_x, by_y;  /* parts of the direction at the nose with the slip rate there */
	double lags;         /* size with turn, but for the first and the last of it */
	vector2 load, sizes; /* reaction and size with direction at the bed */
	double half;         /* half of the products of directions at the bed */
};

static inline __attribute__((always_inline)) struct known sum_up(const struct trail *trail, int k)
{
	const struct contact_series *nose = &trail->series->contact[CONTACT_NOSE];
	const struct contact_series *bed = &trail->series->contact[CONTACT_BED];
	vector2 turns = {0.0, 0.0}, by_x = turns, by_y = turns, load = turns, sizes = turns;
	vector2 half = turns;
	double lags = 0.0;

	for (int j = 1; j < k; j++) {
		vector2 direction = nose->direction[j], other = bed->direction[k - j];

		turns += nose->turn[k - 1 - j] * direction;
		by_x += direction[0] * nose->rate[k - j];
		by_y += direction[1] * nose->rate[k - j];
		lags += nose->size[j + 1] * nose->turn[k - 1 - j];
		load += trail->series->reaction[j] * other;
		sizes += bed->size[j] * other;
	}
	for (int low = 1; 2 * low < k; low++)
		half += bed->direction[low] * bed->direction[k - low];
	if (k % 2 == 0)
		half += 0.5 * bed->direction[k / 2] * bed->direction[k / 2];
	return (struct known){turns, by_x, by_y, lags, load, sizes, half[0] + half[1]};
}

/* Coefficient k of the direction and the size of the slip at the bed. */
static inline __attribute__((always_inline)) void add_bed(const struct trail *trail,
                                                          const struct known *known, int k)
{
	struct contact_series *bed = &trail->series->contact[CONTACT_BED];
	vector2 rest = bed->slip[k] - known->sizes;

	bed->direction[k] = vector2_cross(trail->along, rest) * bed->inverse_size * trail->across -
	                    known->half * trail->along;
	bed->size[k] = vector2_dot(trail->along, rest) + bed->size[0] * known->half;
}

/* Coefficient k of the rest, k + 1 of slips. */
static inline __attribute__((always_inline)) void add_order(const struct trail *trail, int k)
{
	struct impact_series *series = trail->series;
	const struct impact *impact = trail->impact;
	struct contact_series *nose = &series->contact[CONTACT_NOSE];
	struct contact_series *bed = &series->contact[CONTACT_BED];
	struct known known = sum_up(trail, k);
	double n = series_inverse[k + 1], excess, angle, growth;
	vector2 load, first = nose->direction[0];

	add_bed(trail, &known, k);
	nose->direction[k] = series_inverse[k] * vector2_turn(known.turns);
	load = known.load + series->reaction[0] * bed->direction[k] +
	       trail->lean * nose->direction[k][1] * trail->along;
	nose->rate[k] = -impact->own[CONTACT_NOSE] * trail->friction * nose->direction[k] -
	                impact->shared * trail->drag * load;
	excess = vector2_cross(first, nose->rate[k]) +
	         vector2_cross(nose->direction[k], nose->rate[0]) + known.by_x[1] - known.by_y[0] -
	         known.lags - nose->size[0] * nose->turn[k];
	angle = -excess / (trail->slope - k * nose->size[1]);
	nose->turn[k - 1] = k * angle;
	nose->direction[k] += angle * trail->turned;
	nose->rate[k] += angle * trail->nose_answer;
	growth = vector2_dot(first, nose->rate[k]) +
	         vector2_dot(nose->direction[k], nose->rate[0]) + known.by_x[0] + known.by_y[1];
	nose->size[k + 1] = n * growth;
	nose->force[k] = trail->friction * nose->direction[k];
	series->reaction[k] = trail->lean * nose->direction[k][1];
	bed->force[k] =
	    trail->drag * (load + angle * trail->lean * trail->turned[1] * trail->along);
	nose->slip[k + 1] = n * nose->rate[k];
	bed->slip[k + 1] =
	    -n * (impact->shared * nose->force[k] + impact->own[CONTACT_BED] * bed->force[k]);
	series->pace[k] = 0.0;
}

VECTOR_CLONES void series_trail(struct impact_series *series, const struct impact *impact,
                                double slope, int order)
{
	struct contact_series *nose = &series->contact[CONTACT_NOSE];
	struct contact_series *bed = &series->contact[CONTACT_BED];
	double lever = 1.0 / (1.0 + impact->sine);
	struct trail trail = {.series = series,
	                      .impact = impact,
	                      .friction = impact->friction[CONTACT_NOSE],
	                      .drag = impact->friction[CONTACT_BED],
	                      .slope = slope};

	trail.lean = impact->cosine * trail.friction;
	trail.turned = vector2_turn(nose->direction[0]);
	trail.along = bed->direction[0];
	trail.across = vector2_turn(bed->direction[0]);
	trail.nose_answer =
	    -impact->own[CONTACT_NOSE] * trail.friction * trail.turned -
	    impact->shared * trail.drag * trail.lean * trail.turned[1] * trail.along;
	series->pace[0] = 1.0;
	nose->slip[1] = nose->rate[0];
	bed->slip[1] = bed->rate[0];
	nose->size[1] = vector2_dot(nose->direction[0], nose->rate[0]);
	for (int k = 1; k < order; k++)
		add_order(&trail, k);
	for (int k = 0; k < order; k++) {
		series->speed[k + 1] = lever * (bed->slip[k + 1][1] - nose->slip[k + 1][1]);
		series->work[k + 1] = series_inverse[k + 1] * impact->cosine * series->speed[k];
	}
}
