/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_series.h"

#include <math.h>

/* The series while each contact slides or sticks: coefficient k of forces, reaction and pace from
 * those of the slips up to k. All time goes into the products of series here. */

/* Both slide on a bed that bears. The newest term of every product is linear in the newest slips,
 * so that one matrix, made once, takes these to the next; all else is known from lower orders and
 * is summed up while the newest terms are still on their way: each term has to wait for the one
 * before, which takes a good part of the time.
 *
 * Here the two parts of a vector belong to the two contacts, nose and bed, unless it says else. */
struct pair_series {
	vector2 x[SERIES_TERMS], y[SERIES_TERMS]; /* slips */
	vector2 size[SERIES_TERMS];
	vector2 twice_x[SERIES_TERMS], twice_y[SERIES_TERMS]; /* a direction's parts, both twice */
	vector2 factor[SERIES_TERMS]; /* of the size and a force, that the direction multiplies */
	vector2 unit_x, unit_y, inverse_size; /* directions and sizes at the start */
	vector2 to_x[4], to_y[4];             /* from x and y of the nose, then of the bed */
	vector2 normal, bed_x, bed_y, nose_x, nose_y; /* what forces do to the slips */
	vector2 direction, across; /* of the contact that does not set the pace, x and y */
};

/* Known part of size^2 = x^2 + y^2, divided by the size; the products come in equal pairs. */
static inline vector2 known_sizes(const struct pair_series *pair, int k)
{
	const vector2 *x = pair->x, *y = pair->y, *size = pair->size;
	vector2 by_x = {0.0, 0.0}, by_y = {0.0, 0.0}, by_size = {0.0, 0.0};
	int low = k / 2, high = k - low;

	if (low == high && low > 0) {
		by_x = 0.5 * x[low] * x[low];
		by_y = 0.5 * y[low] * y[low];
		by_size = 0.5 * size[low] * size[low];
		low--;
		high++;
	}
	for (; low > 0; low--, high++) {
		by_x += x[low] * x[high];
		by_y += y[low] * y[high];
		by_size += size[low] * size[high];
	}
	return (by_x + by_y - by_size) * pair->inverse_size;
}

/* Sums of the products of a series of two factors with a direction that are known before the newest
 * terms of both; the newest of the known come last. */
static inline void known_products(const struct pair_series *pair, const vector2 *factor, int k,
                                  vector2 *by_x, vector2 *by_y)
{
	*by_x = *by_y = (vector2){0.0, 0.0};
	for (int j = 2; j < k - 1; j++) {
		*by_x += factor[j] * pair->twice_x[k - j];
		*by_y += factor[j] * pair->twice_y[k - j];
	}
	if (k > 2) {
		*by_x += factor[1] * pair->twice_x[k - 1] + factor[k - 1] * pair->twice_x[1];
		*by_y += factor[1] * pair->twice_y[k - 1] + factor[k - 1] * pair->twice_y[1];
	} else if (k == 2) {
		*by_x = factor[1] * pair->twice_x[1];
		*by_y = factor[1] * pair->twice_y[1];
	}
}

/* Coefficient k + 1 of the slips, from what is known of it. */
static inline void add_slips(struct impact_series *series, struct pair_series *pair, int k,
                             vector2 known_x, vector2 known_y)
{
	vector2 x = pair->x[k], y = pair->y[k];
	vector2 nose_x = vector2_both(x[0]), nose_y = vector2_both(y[0]);
	vector2 bed_x = vector2_both(x[1]), bed_y = vector2_both(y[1]);
	double n = series_inverse[k + 1];

	x = n * ((pair->to_x[0] * nose_x + pair->to_x[1] * nose_y) +
	         (pair->to_x[2] * bed_x + pair->to_x[3] * bed_y) + known_x);
	y = n * ((pair->to_y[0] * nose_x + pair->to_y[1] * nose_y) +
	         (pair->to_y[2] * bed_x + pair->to_y[3] * bed_y) + known_y);
	pair->x[k + 1] = x;
	pair->y[k + 1] = y;
	series->contact[CONTACT_NOSE].slip[k + 1] = (vector2){x[0], y[0]};
	series->contact[CONTACT_BED].slip[k + 1] = (vector2){x[1], y[1]};
}

/* The speed into the rail is (yB - tN) / (1 + sine), the work the integral of c speed pace. */
static inline void add_speed_and_work(struct impact_series *series, const struct impact *impact,
                                      const struct pair_series *pair, int k)
{
	double work = 0.0, share = 1.0 / (1.0 + impact->sine);

	for (int j = 0; j <= k; j++)
		work += series->pace[j] * series->speed[k - j];
	series->work[k + 1] = series_inverse[k + 1] * impact->cosine * work;
	series->speed[k + 1] = share * (pair->y[k + 1][1] - pair->y[k + 1][0]);
}

/* The newest term of the direction of a contact, from the part of its slip across and from what is
 * known: size direction = slip. */
static inline vector2 add_direction(struct pair_series *pair, int place, int k, vector2 known)
{
	double part = pair->across[0] * pair->x[k][place] + pair->across[1] * pair->y[k][place];
	vector2 newest = pair->inverse_size[place] * (part * pair->across) + known;

	pair->twice_x[k] = vector2_both(newest[0]);
	pair->twice_y[k] = vector2_both(newest[1]);
	return newest;
}

/* At the pace of the nose: its friction times its size is mu slip, and the reaction times its size
 * is s size + mu c y. */
static inline void slide_at_nose_pace(struct impact_series *series, const struct impact *impact,
                                      struct pair_series *pair, int k)
{
	double friction = impact->friction[CONTACT_NOSE], drag = impact->friction[CONTACT_BED];
	vector2 sizes = known_sizes(pair, k), by_x, by_y, direction, bed, reactions;

	known_products(pair, pair->factor, k, &by_x, &by_y);
	direction = pair->inverse_size[CONTACT_BED] *
	            -((vector2){by_x[0], by_y[0]} + sizes[1] * pair->direction);
	bed = drag * ((vector2){by_x[1], by_y[1]} + impact->sine * sizes[0] * pair->direction +
	              series->reaction[0] * direction);
	add_slips(series, pair, k, bed[0] * pair->bed_x,
	          bed[1] * pair->bed_y + sizes[0] * pair->normal);
	pair->size[k] = sizes + pair->unit_x * pair->x[k] + pair->unit_y * pair->y[k];
	series->pace[k] = pair->size[k][0];
	series->reaction[k] =
	    impact->sine * pair->size[k][0] + impact->cosine * friction * pair->y[k][0];
	pair->factor[k] = (vector2){pair->size[k][1], series->reaction[k]};
	direction = add_direction(pair, CONTACT_BED, k, direction);
	reactions = series->reaction[k] * pair->direction + series->reaction[0] * direction;
	series->contact[CONTACT_NOSE].force[k] = friction * series->contact[CONTACT_NOSE].slip[k];
	series->contact[CONTACT_BED].force[k] = drag * ((vector2){by_x[1], by_y[1]} + reactions);
}

/* At the pace of the bed: its friction times its size is mu K slip, the nose's mu times the bed's
 * size times its own direction. */
static inline void slide_at_bed_pace(struct impact_series *series, const struct impact *impact,
                                     struct pair_series *pair, int k)
{
	double friction = impact->friction[CONTACT_NOSE], drag = impact->friction[CONTACT_BED];
	double lean = impact->cosine * friction;
	const vector2 *slip = series->contact[CONTACT_BED].slip;
	vector2 sizes = known_sizes(pair, k), by_x, by_y, direction, nose, bed = {0.0, 0.0};

	known_products(pair, pair->size, k, &by_x, &by_y);
	for (int j = 1; j < k; j++)
		bed += slip[j] * pair->twice_y[k - j];
	direction = pair->inverse_size[CONTACT_NOSE] *
	            -((vector2){by_x[0], by_y[0]} + sizes[0] * pair->direction);
	nose = (vector2){by_x[1], by_y[1]};
	add_slips(
	    series, pair, k,
	    friction * (nose[0] + sizes[1] * pair->direction[0] + pair->size[0][1] * direction[0]) *
		    pair->nose_x +
		drag * lean * (bed[0] + slip[0][0] * direction[1]) * pair->bed_x,
	    friction * (nose[1] + sizes[1] * pair->direction[1] + pair->size[0][1] * direction[1]) *
		    pair->nose_y +
		drag * lean * (bed[1] + slip[0][1] * direction[1]) * pair->bed_y +
		sizes[1] * pair->normal);
	pair->size[k] = sizes + pair->unit_x * pair->x[k] + pair->unit_y * pair->y[k];
	series->pace[k] = pair->size[k][1];
	direction = add_direction(pair, CONTACT_NOSE, k, direction);
	nose += pair->size[k][1] * pair->direction + pair->size[0][1] * direction;
	bed += slip[k] * pair->direction[1] + slip[0] * direction[1];
	series->reaction[k] = impact->sine * pair->size[k][1] + lean * nose[1];
	series->contact[CONTACT_NOSE].force[k] = friction * nose;
	series->contact[CONTACT_BED].force[k] = drag * (impact->sine * slip[k] + lean * bed);
}

/* Adds to the matrix what a force does that is gain_x or gain_y, a row each for x and y of the
 * force, times the slip of a contact. */
static void add_gain(struct pair_series *pair, int from, vector2 force_x, vector2 force_y,
                     vector2 gain_x, vector2 gain_y)
{
	for (int part = 0; part < 2; part++) {
		pair->to_x[2 * from + part] += gain_x[part] * force_x;
		pair->to_y[2 * from + part] += gain_y[part] * force_y;
	}
}

static void set_matrix_at_nose_pace(const struct impact *impact, struct pair_series *pair)
{
	double friction = impact->friction[CONTACT_NOSE], drag = impact->friction[CONTACT_BED];
	vector2 lift = {impact->sine * pair->unit_x[0],
	                impact->sine * pair->unit_y[0] + impact->cosine * friction};
	vector2 push = drag * pair->factor[0][1] * pair->inverse_size[1] * pair->across;

	add_gain(pair, CONTACT_NOSE, pair->nose_x, pair->nose_y, (vector2){friction, 0.0},
	         (vector2){0.0, friction});
	add_gain(pair, CONTACT_NOSE, pair->bed_x, pair->bed_y, drag * pair->direction[0] * lift,
	         drag * pair->direction[1] * lift);
	add_gain(pair, CONTACT_BED, pair->bed_x, pair->bed_y, push[0] * pair->across,
	         push[1] * pair->across);
	pair->to_y[0] += pair->unit_x[0] * pair->normal;
	pair->to_y[1] += pair->unit_y[0] * pair->normal;
}

static void set_matrix_at_bed_pace(const struct impact *impact, struct pair_series *pair)
{
	double friction = impact->friction[CONTACT_NOSE], drag = impact->friction[CONTACT_BED];
	double lean = impact->cosine * friction, inverse = pair->inverse_size[0];
	vector2 unit = {pair->unit_x[1], pair->unit_y[1]};
	vector2 push = friction * pair->size[0][1] * inverse * pair->across;
	double bear = drag * (impact->sine + lean * pair->direction[1]);
	vector2 answer = drag * lean * inverse * pair->across[1] * pair->across;

	add_gain(pair, CONTACT_NOSE, pair->nose_x, pair->nose_y, push[0] * pair->across,
	         push[1] * pair->across);
	add_gain(pair, CONTACT_BED, pair->nose_x, pair->nose_y,
	         friction * pair->direction[0] * unit, friction * pair->direction[1] * unit);
	add_gain(pair, CONTACT_NOSE, pair->bed_x, pair->bed_y, pair->x[0][1] * answer,
	         pair->y[0][1] * answer);
	add_gain(pair, CONTACT_BED, pair->bed_x, pair->bed_y, (vector2){bear, 0.0},
	         (vector2){0.0, bear});
	pair->to_y[2] += unit[0] * pair->normal;
	pair->to_y[3] += unit[1] * pair->normal;
}

/* Terms of order zero, forces and matrix. */
static void start_pair(struct impact_series *series, const struct impact *impact,
                       struct pair_series *pair)
{
	const struct contact_series *nose = &series->contact[CONTACT_NOSE];
	const struct contact_series *bed = &series->contact[CONTACT_BED];
	bool nose_paces = series->paces[CONTACT_NOSE];

	pair->x[0] = (vector2){nose->slip[0][0], bed->slip[0][0]};
	pair->y[0] = (vector2){nose->slip[0][1], bed->slip[0][1]};
	pair->size[0] = (vector2){nose->size[0], bed->size[0]};
	pair->inverse_size = (vector2){nose->inverse_size, bed->inverse_size};
	pair->unit_x = pair->x[0] * pair->inverse_size;
	pair->unit_y = pair->y[0] * pair->inverse_size;
	pair->direction = impact->direction[nose_paces ? CONTACT_BED : CONTACT_NOSE];
	pair->across = vector2_turn(pair->direction);
	pair->twice_x[0] = vector2_both(pair->direction[0]);
	pair->twice_y[0] = vector2_both(pair->direction[1]);
	pair->normal = (vector2){impact->normal[CONTACT_NOSE][1], impact->normal[CONTACT_BED][1]};
	pair->nose_x = -(vector2){impact->own[CONTACT_NOSE][0], impact->shared[0]};
	pair->nose_y = -(vector2){impact->own[CONTACT_NOSE][1], impact->shared[1]};
	pair->bed_x = -(vector2){impact->shared[0], impact->own[CONTACT_BED][0]};
	pair->bed_y = -(vector2){impact->shared[1], impact->own[CONTACT_BED][1]};
	for (int i = 0; i < 4; i++)
		pair->to_x[i] = pair->to_y[i] = (vector2){0.0, 0.0};
	if (nose_paces) {
		series->reaction[0] =
		    impact->sine * nose->size[0] +
		    impact->cosine * impact->friction[CONTACT_NOSE] * nose->slip[0][1];
		pair->factor[0] = (vector2){bed->size[0], series->reaction[0]};
		set_matrix_at_nose_pace(impact, pair);
	} else {
		set_matrix_at_bed_pace(impact, pair);
	}
}

/* Forces, pace and reaction of order zero, and the slips of order one. */
static void slide_first(struct impact_series *series, const struct impact *impact,
                        struct pair_series *pair)
{
	bool nose_paces = series->paces[CONTACT_NOSE];
	struct contact_series *nose = &series->contact[CONTACT_NOSE];
	struct contact_series *bed = &series->contact[CONTACT_BED];
	double pace = nose_paces ? nose->size[0] : bed->size[0];
	double reaction = impact->sine + impact->cosine * impact->friction[CONTACT_NOSE] *
	                                     (nose_paces ? pair->unit_y[0] : pair->direction[1]);

	series->pace[0] = pace;
	series->reaction[0] = reaction * pace;
	nose->force[0] = impact->friction[CONTACT_NOSE] * pace * impact->direction[CONTACT_NOSE];
	bed->force[0] =
	    impact->friction[CONTACT_BED] * series->reaction[0] * impact->direction[CONTACT_BED];
	series_integrate(series, impact, 0);
	pair->x[1] = (vector2){nose->slip[1][0], bed->slip[1][0]};
	pair->y[1] = (vector2){nose->slip[1][1], bed->slip[1][1]};
}

static void slide_both(struct impact_series *series, const struct impact *impact, int order)
{
	struct pair_series pair;

	start_pair(series, impact, &pair);
	slide_first(series, impact, &pair);
	for (int k = 1; k < order; k++) {
		if (series->paces[CONTACT_NOSE])
			slide_at_nose_pace(series, impact, &pair, k);
		else
			slide_at_bed_pace(series, impact, &pair, k);
		add_speed_and_work(series, impact, &pair, k);
		series->contact[CONTACT_NOSE].size[k] = pair.size[k][0];
		series->contact[CONTACT_BED].size[k] = pair.size[k][1];
	}
}

/* The nose slides over a bed that sticks or does not bear, at the pace of the nose: all else is
 * linear in its size and slip. */
static void slide_nose(struct impact_series *series, const struct impact *impact, int k)
{
	struct contact_series *nose = &series->contact[CONTACT_NOSE];
	struct contact_series *bed = &series->contact[CONTACT_BED];

	series->pace[k] = nose->size[k];
	nose->force[k] = impact->friction[CONTACT_NOSE] * nose->slip[k];
	series->reaction[k] = impact->sine * nose->size[k] + impact->cosine * nose->force[k][1];
	bed->force[k] = (vector2){0.0, 0.0};
	if (impact->motion[CONTACT_BED] == CONTACT_STICKS)
		bed->force[k] = (nose->size[k] * impact->normal[CONTACT_BED] -
		                 impact->shared * nose->force[k]) /
		                impact->own[CONTACT_BED];
}

/* The nose sticks over a sliding bed, at the pace of the bed. The upward friction u that keeps the
 * nose from slipping is a quotient,
 *   u (own size + shared mu c y) = normal size - shared mu s y,
 * with y the bed's slip along Y. The bed's friction times its size is mu (s + c u) slip. */
static void slide_bed(struct impact_series *series, const struct impact *impact, double *up, int k)
{
	struct contact_series *nose = &series->contact[CONTACT_NOSE];
	struct contact_series *bed = &series->contact[CONTACT_BED];
	double own = impact->own[CONTACT_NOSE][1];
	double lever = impact->shared[1] * impact->friction[CONTACT_BED];
	double rest =
	    impact->normal[CONTACT_NOSE][1] * bed->size[k] - lever * impact->sine * bed->slip[k][1];
	vector2 drag = {0.0, 0.0};

	for (int j = 0; j < k; j++) {
		rest -=
		    up[j] * (own * bed->size[k - j] + lever * impact->cosine * bed->slip[k - j][1]);
		drag += up[j] * bed->slip[k - j];
	}
	up[k] = rest / (own * bed->size[0] + lever * impact->cosine * bed->slip[0][1]);
	drag = impact->sine * bed->slip[k] + impact->cosine * (drag + up[k] * bed->slip[0]);
	bed->force[k] = impact->friction[CONTACT_BED] * drag;
	/* The nose does not slip, so its friction times the size follows from its own equation. */
	nose->force[k] =
	    (bed->size[k] * impact->normal[CONTACT_NOSE] - impact->shared * bed->force[k]) /
	    impact->own[CONTACT_NOSE];
	series->pace[k] = bed->size[k];
	series->reaction[k] = impact->sine * bed->size[k] + impact->cosine * nose->force[k][1];
}

/* Whether the nose is nearer to the end of its slip than the bed, as the impulse goes. */
static bool nose_ends_sooner(const struct impact_series *series, const struct friction *friction)
{
	double rate[CONTACT_PLACES];

	for (int place = 0; place < CONTACT_PLACES; place++)
		rate[place] = fabs(friction->rate[place][0]) + fabs(friction->rate[place][1]);
	return series->contact[CONTACT_NOSE].size[0] * rate[CONTACT_BED] <=
	       series->contact[CONTACT_BED].size[0] * rate[CONTACT_NOSE];
}

void series_slide(struct impact_series *series, const struct impact *impact,
                  const struct friction *friction, int order)
{
	struct contact_series *nose = &series->contact[CONTACT_NOSE];
	struct contact_series *bed = &series->contact[CONTACT_BED];
	bool nose_slides = impact->motion[CONTACT_NOSE] == CONTACT_SLIDES;
	bool bed_slides =
	    impact->motion[CONTACT_BED] == CONTACT_SLIDES && !(nose_slides && impact->lifted);
	bool nose_paces = nose_slides && (!bed_slides || nose_ends_sooner(series, friction));
	double up[SERIES_TERMS];

	series->paces[CONTACT_NOSE] = nose_paces;
	series->paces[CONTACT_BED] = !nose_paces;
	if (nose_slides && bed_slides) {
		slide_both(series, impact, order);
		return;
	}
	for (int k = 0; k < order; k++) {
		if (k > 0)
			series_add_size(nose_slides ? nose : bed, k);
		if (nose_slides)
			slide_nose(series, impact, k);
		else
			slide_bed(series, impact, up, k);
		series_integrate(series, impact, k);
	}
}
