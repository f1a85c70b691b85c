/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_series.h"

#include <math.h>

/* The series while each contact slides or sticks: coefficient k of forces, reaction and pace from
 * those of the slips up to k. */

/* Both slide, on a bed that bears, at the pace of the nose: its friction times its size is mu slip,
 * and the reaction times its size is s size + mu c slip. The bed's direction (slip = size direction
 * solved for its newest term) and friction are sums over the same terms. */
static void slide_at_nose_pace(struct impact_series *series, const struct impact *impact, int k)
{
	struct contact_series *nose = &series->contact[CONTACT_NOSE];
	struct contact_series *bed = &series->contact[CONTACT_BED];
	const vector2 *direction = bed->direction + k - 1;
	const double *size = bed->size + 1, *reaction = series->reaction + 1;
	vector2 rest = bed->slip[k], drag = {0.0, 0.0};

	nose->force[k] = impact->friction[CONTACT_NOSE] * nose->slip[k];
	series->pace[k] = nose->size[k];
	series->reaction[k] = impact->sine * nose->size[k] + impact->cosine * nose->force[k][1];
	for (; direction >= bed->direction; direction--) {
		rest -= *size++ * *direction;
		drag += *reaction++ * *direction;
	}
	bed->direction[k] = rest * bed->inverse_size;
	bed->force[k] =
	    impact->friction[CONTACT_BED] * (drag + series->reaction[0] * bed->direction[k]);
}

/* The same at the pace of the bed: its friction times its size is mu K slip. */
static void slide_at_bed_pace(struct impact_series *series, const struct impact *impact, int k)
{
	struct contact_series *nose = &series->contact[CONTACT_NOSE];
	struct contact_series *bed = &series->contact[CONTACT_BED];
	const vector2 *direction = nose->direction + k - 1, *slip = bed->slip + 1;
	const double *nose_size = nose->size + 1, *bed_size = bed->size + 1;
	double lean = impact->cosine * impact->friction[CONTACT_NOSE];
	vector2 rest = nose->slip[k], force = {0.0, 0.0}, drag = {0.0, 0.0};

	for (; direction >= nose->direction; direction--) {
		rest -= *nose_size++ * *direction;
		force += *bed_size++ * *direction;
		drag += (*direction)[1] * *slip++;
	}
	nose->direction[k] = rest * nose->inverse_size;
	force += bed->size[0] * nose->direction[k];
	drag += nose->direction[k][1] * bed->slip[0];
	nose->force[k] = impact->friction[CONTACT_NOSE] * force;
	series->pace[k] = bed->size[k];
	series->reaction[k] = impact->sine * bed->size[k] + lean * force[1];
	bed->force[k] = impact->friction[CONTACT_BED] * (impact->sine * bed->slip[k] + lean * drag);
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
	nose->direction[0] = impact->direction[CONTACT_NOSE];
	bed->direction[0] = impact->direction[CONTACT_BED];
	for (int k = 0; k < order; k++) {
		if (nose_slides && k > 0)
			series_add_size(nose, k);
		if (bed_slides && k > 0)
			series_add_size(bed, k);
		if (!bed_slides)
			slide_nose(series, impact, k);
		else if (!nose_slides)
			slide_bed(series, impact, up, k);
		else if (nose_paces)
			slide_at_nose_pace(series, impact, k);
		else
			slide_at_bed_pace(series, impact, k);
		series_integrate(series, impact, k);
	}
}
