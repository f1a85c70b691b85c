/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calibration_summary.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

#include "calibration_false_end.h"

#define BINS_MOST 20

size_t calibration_bins(size_t places)
{
	if (places >= 200)
		return BINS_MOST;
	if (places >= 50)
		return 10;
	return places >= 10 ? places / 5 : 0;
}

double calibration_uniform_p(const double *places, size_t count)
{
	size_t bins = calibration_bins(count), counts[BINS_MOST] = {0};
	double expected, chi_square = 0.0;

	if (bins == 0)
		return NAN;
	for (size_t i = 0; i < count; i++) {
		size_t bin = (size_t)(places[i] * (double)bins);

		counts[bin < bins ? bin : bins - 1]++;
	}
	expected = (double)count / (double)bins;
	for (size_t i = 0; i < bins; i++) {
		double excess = (double)counts[i] - expected;

		chi_square += excess * excess / expected;
	}
	return gsl_cdf_chisq_Q(chi_square, (double)bins - 1.0);
}

/* The share of sorted values below it; sorts. Not a number when there are none. */
static double quantile(double *values, size_t count, double share)
{
	gsl_sort(values, 1, count);
	return count > 0 ? gsl_stats_quantile_from_sorted_data(values, 1, count, share)
	                 : (double)NAN;
}

static void count_held(const struct calibration_constant *constant,
                       struct calibration_figures *figures)
{
	bool held68 = calibration_holds(constant, 0.68);
	bool held95 = calibration_holds(constant, 0.95);

	figures->held68 += held68;
	figures->held95 += held95;
	figures->told95 += constant->told95;
	if (constant->state != KNOWLEDGE_DETERMINED)
		return;
	figures->determined++;
	figures->determined68 += held68;
	figures->determined95 += held95;
}

static void measure_bias(const double *z, size_t count, struct calibration_figures *figures)
{
	double sum = 0.0, squares = 0.0, n = (double)count;

	for (size_t i = 0; i < count; i++) {
		sum += z[i];
		squares += z[i] * z[i];
	}
	figures->bias = sum / n;
	figures->rms = sqrt(squares / n);
	figures->bias_error =
	    sqrt(fmax(0.0, squares / n - figures->bias * figures->bias) / (n - 1.0));
}

/* values: room for four times count. */
static void summarise_constant(const struct calibration_outcome *outcomes, size_t count,
                               enum constant_id id, double *values,
                               struct calibration_figures *figures)
{
	double *z = values, *places = values + count, *relative = values + 2 * count,
	       *learned = values + 3 * count;
	size_t answered = 0;

	memset(figures, 0, sizeof *figures);
	for (size_t i = 0; i < count; i++) {
		const struct calibration_constant *constant = &outcomes[i].constants[id];

		count_held(constant, figures);
		if (!outcomes[i].answered)
			continue;
		z[answered] = constant->z;
		places[answered] = constant->place;
		relative[answered] = constant->relative;
		learned[answered++] = constant->learned;
	}
	measure_bias(z, answered, figures);
	figures->rank_p = calibration_uniform_p(places, answered);
	figures->relative = quantile(relative, answered, 0.5);
	figures->learned = quantile(learned, answered, 0.5);
}

bool calibration_summarise(const struct calibration_outcome *outcomes, size_t count,
                           struct calibration_summary *summary)
{
	double *values = calloc(4 * count, sizeof *values);

	if (values == NULL)
		return false;
	*summary = (struct calibration_summary){.sessions = count};
	for (size_t i = 0; i < count; i++) {
		const struct calibration_outcome *outcome = &outcomes[i];

		summary->unanswered += !outcome->answered;
		summary->not_converged += outcome->status == STATUS_NOT_CONVERGED;
		summary->unlikely += !(outcome->p >= 0.001 && outcome->p <= 0.999);
		summary->ends_compared += isnan(outcome->excess) ? 0 : 1;
		summary->false_ends += outcome->excess > CALIBRATION_FALSE_ABOVE;
		summary->strokes += outcome->strokes;
		summary->set_aside += outcome->set_aside;
		values[i] = outcome->seconds;
	}
	summary->seconds_median = quantile(values, count, 0.5);
	summary->seconds_95 = quantile(values, count, 0.95);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		summarise_constant(outcomes, count, (enum constant_id)id, values,
		                   &summary->figures[id]);
	free(values);
	return true;
}
