/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_series.h"

#include <math.h>

const double series_inverse[SERIES_TERMS + 1] = {
    0.0,      1.0,      1.0 / 2,  1.0 / 3,  1.0 / 4,  1.0 / 5,  1.0 / 6,  1.0 / 7,  1.0 / 8,
    1.0 / 9,  1.0 / 10, 1.0 / 11, 1.0 / 12, 1.0 / 13, 1.0 / 14, 1.0 / 15, 1.0 / 16, 1.0 / 17,
    1.0 / 18, 1.0 / 19, 1.0 / 20, 1.0 / 21, 1.0 / 22, 1.0 / 23, 1.0 / 24, 1.0 / 25, 1.0 / 26};

/* From size^2 = slip . slip; the products come in equal pairs. */
void series_add_size(struct contact_series *contact, int k)
{
	const vector2 *low = contact->slip + 1, *high = contact->slip + k - 1;
	const double *size = contact->size + 1, *size_high = contact->size + k - 1;
	vector2 slips = contact->slip[0] * contact->slip[k];
	double sizes = 0.0;

	for (; low < high; low++, high--, size++, size_high--) {
		slips += *low * *high;
		sizes += *size * *size_high;
	}
	if (low == high) {
		slips += 0.5 * *low * *low;
		sizes += 0.5 * *size * *size;
	}
	contact->size[k] = (slips[0] + slips[1] - sizes) * contact->inverse_size;
}

/* From slip = size direction. */
void series_add_direction(struct contact_series *contact, int k)
{
	const vector2 *direction = contact->direction + k - 1;
	vector2 rest = contact->slip[k];

	for (const double *size = contact->size + 1; size <= contact->size + k; size++)
		rest -= *size * *direction--;
	contact->direction[k] = rest * contact->inverse_size;
}

/* The work is the integral of c times speed times pace. */
static double work_term(const struct impact_series *series, int k)
{
	const double *speed = series->speed + k, *pace = series->pace;
	double work = 0.0;

	if (!series->paces[CONTACT_NOSE] && !series->paces[CONTACT_BED])
		return *speed;
	for (; speed >= series->speed; pace++, speed--)
		work += *pace * *speed;
	return work;
}

void series_integrate(struct impact_series *series, const struct impact *impact, int k)
{
	struct contact_series *nose = &series->contact[CONTACT_NOSE];
	struct contact_series *bed = &series->contact[CONTACT_BED];
	double n = series_inverse[k + 1], pace = series->pace[k];
	vector2 nose_force = nose->force[k], bed_force = bed->force[k];

	nose->slip[k + 1] =
	    n * (pace * impact->normal[CONTACT_NOSE] - impact->own[CONTACT_NOSE] * nose_force -
	         impact->shared * bed_force);
	bed->slip[k + 1] = n * (pace * impact->normal[CONTACT_BED] - impact->shared * nose_force -
	                        impact->own[CONTACT_BED] * bed_force);
	series->speed[k + 1] =
	    n * (impact->sine * nose_force[1] - impact->cosine * pace - bed_force[1]);
	series->work[k + 1] = n * impact->cosine * work_term(series, k);
}

/* Whether no direction that matters turns: then all rates are constant. That of the bed does not
 * matter while there is no reaction. */
static bool nothing_turns(const struct impact *impact, const struct friction *friction)
{
	for (int place = 0; place < CONTACT_PLACES; place++)
		if (impact->motion[place] != CONTACT_STICKS && impact->friction[place] != 0.0 &&
		    !(place == CONTACT_BED && impact->lifted) &&
		    vector2_cross(impact->direction[place], friction->rate[place]) != 0.0)
			return false;
	return true;
}

/* Nothing turns: the slips are linear, the work is of second order. */
static void build_straight(struct impact_series *series, const struct impact *impact,
                           const struct friction *friction)
{
	series->order = 2;
	series->turns = false;
	series->pace[0] = 1.0;
	series->pace[1] = 0.0;
	series->reaction[0] = friction->reaction;
	series->reaction[1] = 0.0;
	for (int place = 0; place < CONTACT_PLACES; place++) {
		struct contact_series *contact = &series->contact[place];

		contact->direction[0] = impact->direction[place];
		contact->direction[1] = (vector2){0.0, 0.0};
		contact->force[0] = friction->force[place];
		contact->force[1] = (vector2){0.0, 0.0};
		contact->size[1] = vector2_dot(impact->direction[place], friction->rate[place]);
		contact->size[2] = 0.0;
	}
	series_integrate(series, impact, 0);
	series_integrate(series, impact, 1);
}

/* Whether a slip starts from zero at a bed that bears, under a nose that slides. */
static bool starts_rolling(const struct impact_series *series, const struct impact *impact,
                           const struct friction *friction)
{
	return impact->motion[CONTACT_NOSE] == CONTACT_SLIDES &&
	       impact->motion[CONTACT_BED] == CONTACT_FOLLOWS && !impact->lifted &&
	       series->contact[CONTACT_BED].size[0] == 0.0 &&
	       vector2_dot(impact->direction[CONTACT_BED], friction->rate[CONTACT_BED]) > 0.0;
}

bool series_build(struct impact_series *series, struct impact *impact, int order,
                  const vector2 slip[CONTACT_PLACES], const double size[CONTACT_PLACES],
                  double speed, double left, const struct series_error *error)
{
	struct friction friction;

	series->order = order;
	series->turns = true;
	series->speed[0] = speed;
	series->work[0] = 0.0;
	for (int place = 0; place < CONTACT_PLACES; place++) {
		series->paces[place] = false;
		series->contact[place].slip[0] = slip[place];
		series->contact[place].size[0] = size[place];
		series->contact[place].inverse_size =
		    size[place] > 0.0 ? 1.0 / size[place] : HUGE_VAL;
	}
	friction_find(impact, &friction);
	if (nothing_turns(impact, &friction)) {
		build_straight(series, impact, &friction);
		return true;
	}
	if (starts_rolling(series, impact, &friction)) {
		series_start(series, impact, &friction, order);
		return true;
	}
	if (impact->motion[CONTACT_NOSE] == CONTACT_FOLLOWS ||
	    impact->motion[CONTACT_BED] == CONTACT_FOLLOWS)
		return series_follow(series, impact, order, left, error);
	series_slide(series, impact, &friction, order);
	return true;
}

/* One over what is accepted of the last terms of each quantity. */
struct acceptance {
	double slip[CONTACT_PLACES], speed, work;
};

static struct acceptance accept_terms(const struct impact_series *series,
                                      const struct impact *impact, const struct series_error *error)
{
	struct acceptance inverse = {.speed = 1.0 / error->speed, .work = 1.0 / error->work};

	for (int place = 0; place < CONTACT_PLACES; place++) {
		inverse.slip[place] = inverse.speed;
		if (impact->motion[place] == CONTACT_SLIDES)
			inverse.slip[place] = larger(
			    inverse.speed, series->contact[place].inverse_size / error->turn);
	}
	return inverse;
}

/* How many times the largest term of order k exceeds what is accepted of its quantity. */
static double term_excess(const struct impact_series *series, const struct acceptance *inverse,
                          int k)
{
	double excess =
	    larger(fabs(series->speed[k]) * inverse->speed, fabs(series->work[k]) * inverse->work);

	for (int place = 0; place < CONTACT_PLACES; place++) {
		vector2 slip = series->contact[place].slip[k];

		excess = larger(excess, (fabs(slip[0]) + fabs(slip[1])) * inverse->slip[place]);
	}
	return excess;
}

/* x^(-1/k), to a few digits: it only says how long a step may be. */
static double short_root(double x, int k)
{
	int exponent;
	double mantissa = frexp(x, &exponent);

	return (double)expf((float)-series_inverse[k] *
	                    (logf((float)mantissa) + 0.6931472f * (float)exponent));
}

double series_step(const struct impact_series *series, const struct impact *impact,
                   const struct series_error *error)
{
	struct acceptance inverse;
	double step = HUGE_VAL;

	if (!series->turns)
		return step;
	inverse = accept_terms(series, impact, error);
	for (int k = series->order > 7 ? series->order - 1 : series->order; k <= series->order;
	     k++) {
		double excess = term_excess(series, &inverse, k);

		if (excess > 0.0)
			step = fmin(step, short_root(excess, k));
	}
	return step;
}

int series_order_needed(const struct impact_series *series, const struct impact *impact,
                        const struct series_error *error, int known, double step, int most)
{
	struct acceptance inverse = accept_terms(series, impact, error);
	float accepted = logf((float)error->speed);
	float fall =
	    logf((float)step) + (float)series_inverse[known] *
				    (logf((float)term_excess(series, &inverse, known)) + accepted);
	int order = known;

	if (!(fall < 0.0f))
		return most;
	while (order < most && (float)(order - 1) * fall > accepted)
		order++;
	return order;
}

vector2 series_vector(const vector2 *c, int degree, double t)
{
	vector2 value = c[degree];

	for (int k = degree - 1; k >= 0; k--)
		value = value * t + c[k];
	return value;
}

void series_advance(const struct impact_series *series, double step, vector2 force[CONTACT_PLACES],
                    double *impulse)
{
	vector2 nose = {0.0, 0.0}, bed = {0.0, 0.0};
	double sum = 0.0;

	for (int k = series->order - 1; k >= 0; k--) {
		double n = series_inverse[k + 1];

		nose = nose * step + n * series->contact[CONTACT_NOSE].force[k];
		bed = bed * step + n * series->contact[CONTACT_BED].force[k];
		sum = sum * step + n * series->pace[k];
	}
	force[CONTACT_NOSE] = nose * step;
	force[CONTACT_BED] = bed * step;
	*impulse = sum * step;
}
