/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_series.h"

/* The series of a ball that rolls up to the cushion: the nose slides, and a slip starts from zero
 * at a bed that bears. The pace is 1. That slip divided by the impulse has the same direction and
 * is not zero, so that directions and sizes of both come from their products as those of sliding
 * contacts do; and the newest direction at the bed is where friction, which depends on it, takes
 * the slip: one linear equation.
 *
 * All vectors are taken apart into what is along the contact's first direction and across it. As a
 * direction has the size 1, its part along is told by products of lower coefficients, so that one
 * number is left for each contact, and the numbers of an order wait for each other but a few times.
 * The two parts of a vector of the compiler belong to the two contacts, nose and bed, or, in `way`,
 * `load` and the gains, to along and across. */

struct start {
	vector2 along[SERIES_TERMS], across[SERIES_TERMS]; /* of the directions */
	vector2 sizes[SERIES_TERMS];                       /* of the slip; of slip / impulse */
	vector2 way[SERIES_TERMS], load[SERIES_TERMS];     /* load: K times direction */
	vector2 bearing[SERIES_TERMS];                     /* K, twice */
	double inverse[SERIES_TERMS];                      /* of (k + 1) size + pull, at the bed */
	vector2 size;                                      /* the first sizes */
	double inverse_size;                               /* at the nose */
	double pull;  /* by which friction at the bed answers its direction */
	double bears; /* K at first */
	/* What the direction at the nose does to the slips, and friction at the bed to that of the
	 * nose: of a part, in the order along, across, to the parts along and across. */
	vector2 nose_to_nose[2], nose_to_bed[2], bed_to_nose[2];
	vector2 lean; /* K by the direction at the nose */
	double drag, own;
};

/* The parts along and across a direction of what a factor for each part does to a vector. */
static vector2 turned_gain(vector2 factor, vector2 vector, vector2 direction)
{
	vector2 result = factor * vector;

	return (vector2){vector2_dot(direction, result), vector2_cross(direction, result)};
}

static void set_start(struct start *start, const struct impact_series *series,
                      const struct impact *impact, const struct friction *friction, int order)
{
	const struct contact_series *nose_series = &series->contact[CONTACT_NOSE];
	vector2 nose = impact->direction[CONTACT_NOSE], bed = impact->direction[CONTACT_BED];
	double grip = impact->friction[CONTACT_NOSE];
	vector2 ways[2][2] = {{nose, vector2_turn(nose)}, {bed, vector2_turn(bed)}};

	start->drag = impact->friction[CONTACT_BED];
	start->own = impact->own[CONTACT_BED][0];
	start->bears = friction->reaction;
	start->size =
	    (vector2){nose_series->size[0], vector2_dot(friction->rate[CONTACT_BED], bed)};
	start->inverse_size = nose_series->inverse_size;
	start->pull = start->drag * start->bears * start->own;
	for (int part = 0; part < 2; part++) {
		start->nose_to_nose[part] =
		    -grip * turned_gain(impact->own[CONTACT_NOSE], ways[0][part], nose);
		start->nose_to_bed[part] = -grip * turned_gain(impact->shared, ways[0][part], bed);
		start->bed_to_nose[part] =
		    -start->drag * turned_gain(impact->shared, ways[1][part], nose);
		start->lean[part] = impact->cosine * grip * ways[0][part][1];
	}
	/* Quotients take long, but these can be had before they are waited for. */
	for (int k = 1; k < order; k++)
		start->inverse[k] = 1.0 / ((k + 1) * start->size[CONTACT_BED] + start->pull);
}

/* Sums of products that are known before coefficient k: half of those of directions, sizes with
 * directions, and reaction with the direction at the bed. */
struct known {
	vector2 half, along, across, load;
};

static inline __attribute__((always_inline)) struct known sum_up(const struct start *start, int k)
{
	const vector2 *along = start->along, *across = start->across;
	struct known sum = {{0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}};
	int low = k / 2, high = k - low;

	for (int j = 2; j < k; j++) {
		sum.along += start->sizes[k - j] * along[j];
		sum.across += start->sizes[k - j] * across[j];
		sum.load += start->bearing[k - j] * start->way[j];
	}
	if (k > 1) {
		sum.along += start->sizes[k - 1] * along[1];
		sum.across += start->sizes[k - 1] * across[1];
		sum.load += start->bearing[k - 1] * start->way[1];
	}
	if (low == high) {
		sum.half = 0.5 * (along[low] * along[low] + across[low] * across[low]);
		low--;
		high++;
	}
	for (; low > 0; low--, high++)
		sum.half += along[low] * along[high] + across[low] * across[high];
	return sum;
}

/* Coefficient k of everything, and k + 1 of the slip at the nose, from *slip, its parts along and
 * across of order k. */
static inline __attribute__((always_inline)) void add_order(struct start *start, int k,
                                                            vector2 *slip)
{
	struct known known = sum_up(start, k);
	double n = series_inverse[k + 1], bearing, along, angle;
	double nose_along = -known.half[0], bed_along = -known.half[1];
	double nose_across = ((*slip)[1] - known.across[0]) * start->inverse_size;
	vector2 push = nose_along * start->nose_to_bed[0] - start->own * start->drag * known.load +
	               nose_across * start->nose_to_bed[1];

	bearing = start->lean[0] * nose_along + start->lean[1] * nose_across;
	angle = (push[1] - (k + 1) * known.across[1]) * start->inverse[k];
	along = n * (push[0] - start->own * start->drag * bearing - start->pull * bed_along);
	start->along[k] = (vector2){nose_along, bed_along};
	start->across[k] = (vector2){nose_across, angle};
	start->sizes[k] = (vector2){(*slip)[0], along} - known.along + start->size * known.half;
	start->way[k] = (vector2){bed_along, angle};
	start->bearing[k] = vector2_both(bearing);
	start->load[k] = known.load + (vector2){bearing, 0.0} + start->bears * start->way[k];
	*slip = n * (nose_along * start->nose_to_nose[0] + nose_across * start->nose_to_nose[1] +
	             (start->load[k][0] * start->bed_to_nose[0] +
	              start->load[k][1] * start->bed_to_nose[1]));
}

/* Coefficient k of directions, forces and pace, and k + 1 of slips, speed and work, in the plane of
 * the contacts. */
static inline __attribute__((always_inline)) void
put_order(struct impact_series *series, const struct impact *impact, const struct start *start,
          const vector2 across[CONTACT_PLACES], int k)
{
	struct contact_series *nose = &series->contact[CONTACT_NOSE];
	struct contact_series *bed = &series->contact[CONTACT_BED];
	double n = series_inverse[k + 1];

	nose->direction[k] =
	    start->along[k][0] * nose->direction[0] + start->across[k][0] * across[CONTACT_NOSE];
	bed->direction[k] =
	    start->along[k][1] * bed->direction[0] + start->across[k][1] * across[CONTACT_BED];
	nose->size[k] = start->sizes[k][0];
	bed->size[k + 1] = start->sizes[k][1];
	nose->force[k] = impact->friction[CONTACT_NOSE] * nose->direction[k];
	bed->force[k] = start->drag * (start->load[k][0] * bed->direction[0] +
	                               start->load[k][1] * across[CONTACT_BED]);
	nose->slip[k + 1] =
	    -n * (impact->own[CONTACT_NOSE] * nose->force[k] + impact->shared * bed->force[k]);
	bed->slip[k + 1] =
	    -n * (impact->shared * nose->force[k] + impact->own[CONTACT_BED] * bed->force[k]);
	series->speed[k + 1] = n * (impact->sine * nose->force[k][1] - bed->force[k][1]);
	series->work[k + 1] = n * impact->cosine * series->speed[k];
	series->reaction[k] = start->bearing[k][0];
	series->pace[k] = 0.0;
}

VECTOR_CLONES void series_start(struct impact_series *series, const struct impact *impact,
                                const struct friction *friction, int order)
{
	vector2 slip = {
	    vector2_dot(impact->direction[CONTACT_NOSE], friction->rate[CONTACT_NOSE]),
	    vector2_cross(impact->direction[CONTACT_NOSE], friction->rate[CONTACT_NOSE])};
	vector2 across[CONTACT_PLACES];
	struct start start;

	set_start(&start, series, impact, friction, order);
	for (int k = 1; k < order; k++)
		add_order(&start, k, &slip);
	for (int place = 0; place < CONTACT_PLACES; place++) {
		struct contact_series *contact = &series->contact[place];

		contact->direction[0] = impact->direction[place];
		contact->force[0] = friction->force[place];
		across[place] = vector2_turn(impact->direction[place]);
	}
	series->contact[CONTACT_BED].size[1] = start.size[CONTACT_BED];
	series->reaction[0] = start.bears;
	series->pace[0] = 1.0;
	series_integrate(series, impact, 0);
	for (int k = 1; k < order; k++)
		put_order(series, impact, &start, across, k);
}
