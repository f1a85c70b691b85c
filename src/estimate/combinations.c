/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/combinations.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

#include "estimate/directions.h"
#include "estimate/fit_states.h"

/* A combination varies less than this times what each of its parts alone would make it vary. */
#define BETTER_THAN_PARTS 0.7
/* A power law is told when the best pair varies more than this times as much. */
#define CLEARLY_BETTER 2.0
/* Plain ratios and products are told when no pair with a square varies less by this. */
#define NEARLY_AS_WELL 1.2
/* Of a combination told, at least this part of its length says something new. */
#define NEW_ENOUGH 0.5

/* Whether the combination is known, none of its parts as well, and it is not told yet. */
static bool worth_telling(const struct directions *known, const double exponents[CONSTANT_COUNT])
{
	double direction[CONSTANT_COUNT], rest[CONSTANT_COUNT], deviation;
	int parts = 0;

	directions_of(known, exponents, direction);
	deviation = sqrt(directions_variance(known, direction));
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		if (exponents[i] == 0.0)
			continue;
		parts++;
		if (deviation >=
		    BETTER_THAN_PARTS * fabs(direction[i]) * sqrt(known->covariance[i][i]))
			return false;
	}
	return parts > 1 && directions_share(known, exponents) <= 1.0 - FIT_LEARNED_ENOUGH &&
	       directions_new_part(known, direction, rest) >= NEW_ENOUGH;
}

/* Exponents of a direction to one decimal, the largest 1, the first above 0. */
static void round_exponents(const struct directions *known, const double direction[CONSTANT_COUNT],
                            double exponents[CONSTANT_COUNT])
{
	double largest = 0.0, sign = 0.0;

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		exponents[i] = direction[i] / known->slope[i];
		largest = fmax(largest, fabs(exponents[i]));
	}
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		exponents[i] = round(10.0 * exponents[i] / largest) / 10.0;
		if (sign == 0.0)
			sign = exponents[i];
	}
	for (int i = 0; i < CONSTANT_COUNT; i++)
		exponents[i] = sign < 0.0 && exponents[i] != 0.0 ? -exponents[i] : exponents[i];
}

/* Part that matters least: whose share of the direction is smallest. */
static int least_part(const double direction[CONSTANT_COUNT])
{
	int least = -1;

	for (int i = 0; i < CONSTANT_COUNT; i++)
		if (direction[i] != 0.0 &&
		    (least < 0 || fabs(direction[i]) < fabs(direction[least])))
			least = i;
	return least;
}

/* The product of powers next to the best direction, with as few parts as do. *found: there is one
 * that is worth telling. False when memory is out. */
static bool find_power(const struct directions *known, double exponents[CONSTANT_COUNT],
                       bool *found)
{
	double direction[CONSTANT_COUNT], trial[CONSTANT_COUNT], least = HUGE_VAL;

	*found = false;
	if (!directions_best(known, direction))
		return false;
	for (int i = 0; i < CONSTANT_COUNT; i++)
		if (!known->among[i])
			direction[i] = 0.0;
	for (int parts = CONSTANT_COUNT; parts > 1 && least_part(direction) >= 0; parts--) {
		round_exponents(known, direction, trial);
		if (worth_telling(known, trial) &&
		    directions_share(known, trial) < NEARLY_AS_WELL * least) {
			memcpy(exponents, trial, CONSTANT_COUNT * sizeof *exponents);
			least = fmin(least, directions_share(known, trial));
			*found = true;
		}
		direction[least_part(direction)] = 0.0;
	}
	return true;
}

/* The ratio or product of two, with a square on one at most, that is known best. */
static bool find_pair(const struct directions *known, double exponents[CONSTANT_COUNT])
{
	static const double powers[][2] = {{1, -1}, {1, 1}, {1, -2}, {1, 2}, {2, -1}, {2, 1}};
	double least = HUGE_VAL;

	for (size_t p = 0; p < sizeof powers / sizeof powers[0]; p++)
		for (int i = 0; i < CONSTANT_COUNT; i++)
			for (int k = i + 1; k < CONSTANT_COUNT; k++) {
				double trial[CONSTANT_COUNT] = {0.0}, share;

				trial[i] = powers[p][0];
				trial[k] = powers[p][1];
				if (!known->among[i] || !known->among[k] ||
				    !worth_telling(known, trial))
					continue;
				share = directions_share(known, trial);
				if (share * (p > 1 ? NEARLY_AS_WELL : 1.0) >= least)
					continue;
				least = share;
				memcpy(exponents, trial, sizeof trial);
			}
	return least < HUGE_VAL;
}

/* Logarithm of a constant's value, or of its loss. */
static double log_part(enum constant_id id, double scaled)
{
	return constant_prior(id)->scale == SCALE_LOG ? scaled : -log1p(exp(scaled));
}

static double log_combination(const double exponents[CONSTANT_COUNT],
                              const double scaled[CONSTANT_COUNT])
{
	double sum = 0.0;

	for (int i = 0; i < CONSTANT_COUNT; i++)
		if (exponents[i] != 0.0)
			sum += exponents[i] * log_part((enum constant_id)i, scaled[i]);
	return sum;
}

/* Value and interval. False when memory is out. */
static bool fill_interval(const struct directions *known, const double exponents[CONSTANT_COUNT],
                          struct interval *interval)
{
	const struct fit_result *result = known->result;
	size_t count = result->draw_count;
	double direction[CONSTANT_COUNT];
	double middle = log_combination(exponents, result->centre);
	double *sorted = calloc(count + 1, sizeof *sorted), deviation, low, high;

	if (sorted == NULL)
		return false;
	directions_of(known, exponents, direction);
	deviation = sqrt(directions_variance(known, direction));
	low = middle - result->coverage * deviation;
	high = middle + result->coverage * deviation;
	if (count > 1) {
		for (size_t k = 0; k < count; k++)
			sorted[k] = log_combination(exponents, result->draws[k]);
		gsl_sort(sorted, 1, count);
		deviation = gsl_stats_sd(sorted, 1, count);
		middle = gsl_stats_median_from_sorted_data(sorted, 1, count);
		low = gsl_stats_quantile_from_sorted_data(sorted, 1, count, 0.025);
		high = gsl_stats_quantile_from_sorted_data(sorted, 1, count, 0.975);
	}
	*interval = (struct interval){exp(middle), exp(middle) * deviation, exp(low), exp(high)};
	free(sorted);
	return true;
}

/* The part that makes the logarithm vary most, apart from one. */
static int heaviest_part(const double direction[CONSTANT_COUNT], int apart)
{
	int heaviest = -1;

	for (int i = 0; i < CONSTANT_COUNT; i++)
		if (i != apart && (heaviest < 0 || fabs(direction[i]) > fabs(direction[heaviest])))
			heaviest = i;
	return heaviest;
}

static void name_parts(const struct directions *known, struct fit_combination *combination)
{
	const double *exponents = combination->exponents;
	double direction[CONSTANT_COUNT];
	int one, other;

	directions_of(known, exponents, direction);
	one = heaviest_part(direction, -1);
	other = heaviest_part(direction, one);
	combination->first = (enum constant_id)(one < other ? one : other);
	combination->second = (enum constant_id)(one < other ? other : one);
	combination->product = exponents[one] * exponents[other] > 0.0;
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		double plain = i == one || i == other ? 1.0 : 0.0;

		combination->power = combination->power || fabs(exponents[i]) != plain;
	}
}

static bool tell(struct directions *known, struct fit_result *result,
                 const double exponents[CONSTANT_COUNT])
{
	struct fit_combination *combination = &result->combinations[result->combination_count];
	double direction[CONSTANT_COUNT], rest[CONSTANT_COUNT], length;

	*combination = (struct fit_combination){.power = false};
	memcpy(combination->exponents, exponents, sizeof combination->exponents);
	name_parts(known, combination);
	if (!fill_interval(known, exponents, &combination->interval))
		return false;
	result->combination_count++;
	directions_of(known, exponents, direction);
	directions_new_part(known, direction, rest);
	length = sqrt(directions_dot(rest, rest));
	for (int i = 0; i < CONSTANT_COUNT; i++)
		known->basis[known->told][i] = rest[i] / length;
	known->told++;
	return true;
}

/* Marks what is tied to a constant by combinations; counts these. */
static size_t mark_tied(const struct fit_result *result, int start, bool tied[CONSTANT_COUNT])
{
	size_t ties = 0, before = 1;

	memset(tied, 0, CONSTANT_COUNT * sizeof *tied);
	tied[start] = true;
	while (ties != before) {
		before = ties;
		ties = 0;
		for (size_t c = 0; c < result->combination_count; c++) {
			const double *exponents = result->combinations[c].exponents;
			bool touched = false;

			for (int i = 0; i < CONSTANT_COUNT; i++)
				touched = touched || (tied[i] && exponents[i] != 0.0);
			for (int i = 0; i < CONSTANT_COUNT && touched; i++)
				tied[i] = tied[i] || exponents[i] != 0.0;
			ties += touched;
		}
	}
	return ties;
}

/* Adds the direction that is known least among constants tied together. */
static bool add_unknown(const struct directions *known, const bool tied[CONSTANT_COUNT],
                        struct fit_result *result)
{
	double matrix[CONSTANT_COUNT][CONSTANT_COUNT] = {{0.0}}, direction[CONSTANT_COUNT];
	double *change = result->unknowns[result->unknown_count].change;
	double largest = 0.0, sign = 0.0;

	for (int i = 0; i < CONSTANT_COUNT; i++)
		for (int k = 0; k < CONSTANT_COUNT; k++)
			if (tied[i] && tied[k])
				matrix[i][k] = known->covariance[i][k];
	if (!directions_extreme(matrix, true, direction))
		return false;
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		change[i] =
		    tied[i] ? direction[i] * constant_prior((enum constant_id)i)->spread : 0.0;
		largest = fmax(largest, fabs(change[i]));
		sign = sign == 0.0 ? change[i] : sign;
	}
	for (int i = 0; i < CONSTANT_COUNT; i++)
		change[i] = change[i] == 0.0 ? 0.0 : copysign(1.0, sign) * change[i] / largest;
	result->unknown_count++;
	return true;
}

/* Where so many constants are tied together by one combination less, one direction is left. */
static bool find_unknowns(const struct directions *known, struct fit_result *result)
{
	bool seen[CONSTANT_COUNT] = {false};

	for (int start = 0; start < CONSTANT_COUNT; start++) {
		bool tied[CONSTANT_COUNT];
		size_t ties = mark_tied(result, start, tied), count = 0;

		for (int i = 0; i < CONSTANT_COUNT; i++)
			count += tied[i];
		if (!seen[start] && ties > 0 && count == ties + 1 &&
		    !add_unknown(known, tied, result))
			return false;
		for (int i = 0; i < CONSTANT_COUNT; i++)
			seen[i] = seen[i] || tied[i];
	}
	return true;
}

bool combinations_find(struct fit_result *result)
{
	struct directions known;

	result->combination_count = result->unknown_count = 0;
	directions_start(result, &known);
	while (known.told < CONSTANT_COUNT) {
		double pair[CONSTANT_COUNT], power[CONSTANT_COUNT];
		bool has_pair = find_pair(&known, pair), has_power;

		if (!find_power(&known, power, &has_power))
			return false;
		if (has_pair && has_power &&
		    directions_share(&known, pair) >
		        CLEARLY_BETTER * directions_share(&known, power))
			has_pair = false;
		if (!has_pair && !has_power)
			break;
		if (!tell(&known, result, has_pair ? pair : power))
			return false;
	}
	return find_unknowns(&known, result);
}
