/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calibration_verdict.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#define RANKS_TESTED (CALIBRATION_PROTOCOLS * CONSTANT_COUNT)
#define COVERAGES_TESTED (3 * CALIBRATION_PROTOCOLS * CONSTANT_COUNT)
#define COVERAGE_CHANCE (1e-3 / COVERAGES_TESTED)
#define RANK_CHANCE (0.01 / RANKS_TESTED)
#define FALSE_ENDS_BELOW 0.01
#define FALSE_ENDS_CHANCE (1e-3 / CALIBRATION_PROTOCOLS)
#define ROUNDING 1e-9 /* a coverage just at its bound passes */

struct calibration_bounds calibration_bounds(size_t sessions)
{
	if (sessions >= 3000)
		return (struct calibration_bounds){3.0, 3.0};
	if (sessions >= 400)
		return (struct calibration_bounds){7.5, 4.0};
	return (struct calibration_bounds){0.0, 0.0};
}

/* Exact probability of a count as far out as that, on either side: twice the smaller tail. */
static double two_sided_chance(size_t held, size_t count, double probability)
{
	unsigned k = (unsigned)held, n = (unsigned)count;
	double low = gsl_cdf_binomial_P(k, probability, n);
	double high = k > 0 ? gsl_cdf_binomial_Q(k - 1, probability, n) : 1.0;

	return fmin(1.0, 2.0 * fmin(low, high));
}

bool calibration_coverage_fits(size_t held, size_t count, double probability, double points)
{
	double percent = 100.0 * (double)held / (double)count;

	if (points > 0.0)
		return fabs(percent - 100.0 * probability) <= points + ROUNDING;
	return two_sided_chance(held, count, probability) >= COVERAGE_CHANCE;
}

bool calibration_false_ends_fit(size_t false_ends, size_t compared)
{
	if (compared == 0)
		return false;
	if (compared >= 400)
		return 100 * false_ends < compared;
	return false_ends == 0 || gsl_cdf_binomial_Q((unsigned)false_ends - 1, FALSE_ENDS_BELOW,
	                                             (unsigned)compared) >= FALSE_ENDS_CHANCE;
}

static size_t judge_coverage(const char *protocol, const char *constant, const char *interval,
                             size_t held, size_t count, double probability, double points, FILE *to)
{
	if (calibration_coverage_fits(held, count, probability, points))
		return 0;
	fprintf(to, "FAILED %s, %s: the %s held the truth in %zu of %zu sessions, %.2f %%; ",
	        protocol, constant, interval, held, count, 100.0 * (double)held / (double)count);
	if (points > 0.0)
		fprintf(to, "asked is %.0f %% within %.1f points\n", 100.0 * probability, points);
	else
		fprintf(to, "chance goes as far off with p = %.1e, asked is %.1e\n",
		        two_sided_chance(held, count, probability), COVERAGE_CHANCE);
	return 1;
}

static size_t judge_rank(const char *protocol, const char *constant, double rank_p, size_t places,
                         FILE *to)
{
	if (calibration_bins(places) == 0 || rank_p > RANK_CHANCE)
		return 0;
	fprintf(to,
	        "FAILED %s, %s: the places of the truth among the draws are not even, p = %.1e; "
	        "asked is above %.1e\n",
	        protocol, constant, rank_p, RANK_CHANCE);
	return 1;
}

static size_t judge_sessions(const char *protocol, const struct calibration_summary *summary,
                             FILE *to)
{
	size_t failed = 0;

	if (summary->unanswered > 0) {
		fprintf(to, "FAILED %s: %zu of %zu sessions were not answered; none may be\n",
		        protocol, summary->unanswered, summary->sessions);
		failed++;
	}
	if (!calibration_false_ends_fit(summary->false_ends, summary->ends_compared)) {
		fprintf(to, "FAILED %s: false ends %zu of %zu; asked is below 1 %%\n", protocol,
		        summary->false_ends, summary->ends_compared);
		failed++;
	}
	return failed;
}

size_t calibration_verdict(const char *protocol, const struct calibration_summary *summary,
                           FILE *to)
{
	struct calibration_bounds bounds = calibration_bounds(summary->sessions);
	size_t count = summary->sessions, failed = judge_sessions(protocol, summary, to);

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct calibration_figures *figures = &summary->figures[id];
		const char *constant = constant_prior((enum constant_id)id)->title;

		failed += judge_coverage(protocol, constant, "68 % interval of the draws",
		                         figures->held68, count, 0.68, bounds.points68, to);
		failed += judge_coverage(protocol, constant, "95 % interval of the draws",
		                         figures->held95, count, 0.95, bounds.points95, to);
		failed += judge_coverage(protocol, constant, "95 % interval told", figures->told95,
		                         count, 0.95, bounds.points95, to);
		failed += judge_rank(protocol, constant, figures->rank_p,
		                     count - summary->unanswered, to);
	}
	return failed;
}
