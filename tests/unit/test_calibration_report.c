/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "../recovery/calibration_report.h"
#include "../recovery/calibration_verdict.h"

/* The calibration study's figures and verdict on outcomes made by hand: what is right passes, and
 * each way of being wrong fails. */

#define MOST 3000

/* A session in which the truth of every constant lies at that place among the draws. */
static void make_outcome(double place, struct calibration_outcome *outcome)
{
	*outcome = (struct calibration_outcome){
	    .answered = true, .strokes = 17, .seconds = 1.25, .p = 0.41};
	for (int id = 0; id < CONSTANT_COUNT; id++)
		outcome->constants[id] =
		    (struct calibration_constant){.place = place,
		                                  .told95 = fabs(place - 0.5) < 0.475,
		                                  .relative = 0.05,
		                                  .state = KNOWLEDGE_WEAK};
}

/* Sessions of a right posterior: the places are the middles of equal parts. */
static struct calibration_outcome *make_even(size_t count)
{
	struct calibration_outcome *outcomes = calloc(count, sizeof *outcomes);

	ck_assert_ptr_nonnull(outcomes);
	for (size_t i = 0; i < count; i++)
		make_outcome(((double)i + 0.5) / (double)count, &outcomes[i]);
	return outcomes;
}

/* Bounds that fail, each said on one line that the word stands in. */
static size_t failures(const struct calibration_outcome *outcomes, size_t count, const char *word)
{
	struct calibration_summary summary;
	char line[400];
	FILE *file = tmpfile();
	size_t failed, lines = 0;

	ck_assert_ptr_nonnull(file);
	ck_assert(calibration_summarise(outcomes, count, &summary));
	failed = calibration_verdict("made", &summary, file);
	rewind(file);
	while (fgets(line, sizeof line, file) != NULL) {
		ck_assert(strncmp(line, "FAILED made", 11) == 0);
		ck_assert_msg(strstr(line, word) != NULL, "%s", line);
		lines++;
	}
	fclose(file);
	ck_assert_uint_eq(lines, failed);
	return failed;
}

/* Even places are as even as can be: chi-square 0, and the coverages those asked for. */
START_TEST(a_right_posterior_passes)
{
	static const size_t counts[] = {40, 400, 3000};

	for (size_t k = 0; k < 3; k++) {
		struct calibration_outcome *outcomes = make_even(counts[k]);
		struct calibration_summary summary;

		ck_assert(calibration_summarise(outcomes, counts[k], &summary));
		for (int id = 0; id < CONSTANT_COUNT; id++) {
			const struct calibration_figures *figures = &summary.figures[id];
			double n = (double)counts[k];

			ck_assert_double_eq(figures->rank_p, 1.0);
			ck_assert_double_eq_tol((double)figures->held68, 0.68 * n, 1.0);
			ck_assert_double_eq_tol((double)figures->held95, 0.95 * n, 1.0);
		}
		ck_assert_uint_eq(failures(outcomes, counts[k], "none"), 0);
		free(outcomes);
	}
}
END_TEST

/* Intervals far too wide hold everything. With 40 sessions chance may do that to the 95 %
 * intervals, 0.95^40 = 0.13, not to the 68 % ones, 0.68^40 = 2e-7; from 400 on both fail, as
 * 100 % is 5 points off. */
START_TEST(intervals_too_wide_fail)
{
	static struct calibration_outcome outcomes[400];

	for (size_t i = 0; i < 400; i++)
		make_outcome(0.5, &outcomes[i]);
	ck_assert_uint_eq(failures(outcomes, 40, ""), 2 * CONSTANT_COUNT);
	ck_assert_uint_eq(failures(outcomes, 400, ""), 4 * CONSTANT_COUNT);
}
END_TEST

/* Intervals of half the width they should have: a place becomes that of a truth twice as far from
 * the middle of a logistic posterior, F(2 F^-1(p)) = p^2 / (p^2 + (1 - p)^2). The intervals then
 * hold 39 and 72 %. */
START_TEST(intervals_too_narrow_fail)
{
	static struct calibration_outcome outcomes[400];
	struct calibration_summary summary;

	for (size_t i = 0; i < 400; i++) {
		double place = ((double)i + 0.5) / 400.0;

		make_outcome(place * place / (place * place + (1.0 - place) * (1.0 - place)),
		             &outcomes[i]);
	}
	ck_assert(calibration_summarise(outcomes, 400, &summary));
	ck_assert_double_eq_tol((double)summary.figures[0].held68 / 400.0, 0.39, 0.01);
	ck_assert_double_eq_tol((double)summary.figures[0].held95 / 400.0, 0.72, 0.01);
	ck_assert_uint_eq(failures(outcomes, 400, ""), 4 * CONSTANT_COUNT);
}
END_TEST

/* A bias that both intervals hide: every truth above the middle of its draws. */
START_TEST(a_bias_fails_by_the_places_alone)
{
	struct calibration_outcome *outcomes = make_even(400);

	for (size_t i = 0; i < 200; i++)
		make_outcome(1.0 - ((double)i + 0.5) / 400.0, &outcomes[i]);
	ck_assert_uint_eq(failures(outcomes, 400, "not even"), CONSTANT_COUNT);
	free(outcomes);
}
END_TEST

/* One constant alone is named. */
START_TEST(one_wrong_constant_is_named)
{
	struct calibration_outcome *outcomes = make_even(400);

	for (size_t i = 0; i < 400; i++)
		outcomes[i].constants[BALL_FRICTION].told95 = true;
	ck_assert_uint_eq(failures(outcomes, 400, "ball friction: the 95 % interval told"), 1);
	free(outcomes);
}
END_TEST

/* A session without an answer holds nothing and is no success, nor does it hide. */
START_TEST(unanswered_sessions_count)
{
	struct calibration_outcome *outcomes = make_even(40);
	struct calibration_summary summary;

	outcomes[20] = (struct calibration_outcome){
	    .status = STATUS_INPUT, .p = (double)NAN, .excess = (double)NAN};
	for (int id = 0; id < CONSTANT_COUNT; id++)
		outcomes[20].constants[id].place = (double)NAN;
	outcomes[7].status = STATUS_NOT_CONVERGED;
	ck_assert(calibration_summarise(outcomes, 40, &summary));
	ck_assert_uint_eq(summary.unanswered, 1);
	ck_assert_uint_eq(summary.not_converged, 1);
	ck_assert_uint_eq(summary.unlikely, 1);
	/* 28 places of the 40 middles lie within 0.16 to 0.84, 38 within 0.025 to 0.975. */
	ck_assert_uint_eq(summary.figures[0].held68, 27);
	ck_assert_uint_eq(summary.figures[0].held95, 37);
	ck_assert_uint_eq(failures(outcomes, 40, "not answered"), 1);
	free(outcomes);
}
END_TEST

/* Bounds as asked for, to one session: 7.5 and 4 points of 400 are 30 and 16, 3 points of 3000 are
 * 90. Below 400 the first and last count whose exact two-sided binomial probability is not below
 * 1e-3 over 63 coverages, from sums of fractions (Python's fractions). */
START_TEST(coverage_bounds)
{
	static const struct {
		size_t count;
		double probability;
		size_t first, last;
	} rows[] = {{3000, 0.68, 1950, 2130}, {3000, 0.95, 2760, 2940}, {400, 0.68, 242, 302},
	            {400, 0.95, 364, 396},    {399, 0.68, 230, 310},    {399, 0.95, 358, 395},
	            {137, 0.68, 69, 115},     {40, 0.68, 14, 38},       {40, 0.95, 30, 40},
	            {12, 0.68, 1, 12}};
	int misses = 0;

	for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
		struct calibration_bounds bounds = calibration_bounds(rows[k].count);
		double points = rows[k].probability < 0.8 ? bounds.points68 : bounds.points95;

		for (size_t held = 0; held <= rows[k].count; held++) {
			int wanted = held >= rows[k].first && held <= rows[k].last;
			int got = calibration_coverage_fits(held, rows[k].count,
			                                    rows[k].probability, points);

			misses += close_false("bounds", (int)held, "as asked", wanted == got);
		}
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The search ends 2.01 and 1.99 above the end next to the truth: one false end of 40. */
START_TEST(false_ends_are_counted)
{
	struct calibration_outcome *outcomes = make_even(40);
	struct calibration_summary summary;

	outcomes[3].excess = 2.01;
	outcomes[4].excess = 1.99;
	outcomes[5].excess = -40.0;
	outcomes[6].excess = (double)NAN;
	ck_assert(calibration_summarise(outcomes, 40, &summary));
	ck_assert_uint_eq(summary.false_ends, 1);
	ck_assert_uint_eq(summary.ends_compared, 39);
	for (size_t i = 10; i < 15; i++)
		outcomes[i].excess = HUGE_VAL;
	ck_assert_uint_eq(failures(outcomes, 40, "false ends 6 of 39"), 1);
	for (size_t i = 0; i < 40; i++)
		outcomes[i].excess = (double)NAN;
	ck_assert_uint_eq(failures(outcomes, 40, "false ends 0 of 0"), 1);
	free(outcomes);
}
END_TEST

/* Below 1 % of 400 and of 3000; of 40 the most whose exact binomial tail is not below 1e-3 / 3:
 * four, 6.9e-4, not five, 4.9e-5 (Python's fractions). */
START_TEST(false_ends_bounds)
{
	ck_assert(calibration_false_ends_fit(3, 400));
	ck_assert(!calibration_false_ends_fit(4, 400));
	ck_assert(calibration_false_ends_fit(29, 3000));
	ck_assert(!calibration_false_ends_fit(30, 3000));
	ck_assert(calibration_false_ends_fit(0, 40));
	ck_assert(calibration_false_ends_fit(4, 40));
	ck_assert(!calibration_false_ends_fit(5, 40));
	ck_assert(!calibration_false_ends_fit(0, 0));
}
END_TEST

static size_t spread_places(const int *counts, size_t bins, double *places)
{
	size_t count = 0;

	for (size_t bin = 0; bin < bins; bin++)
		for (int i = 0; i < counts[bin]; i++)
			places[count++] = ((double)bin + 0.137 + 0.06 * i) / (double)bins;
	return count;
}

/* Chi-square 11.6 with 7 and 16.8 with 9 degrees of freedom, tails by the recurrence of the
 * incomplete gamma function from erfc. */
START_TEST(histogram_of_places)
{
	static const int eight[] = {9, 1, 7, 3, 5, 5, 2, 8};
	static const int ten[] = {11, 0, 5, 3, 7, 4, 6, 2, 5, 7};
	double places[50];

	ck_assert_uint_eq(spread_places(eight, 8, places), 40);
	ck_assert_double_eq_tol(calibration_uniform_p(places, 40), 0.11450438780490, 1e-12);
	ck_assert_uint_eq(spread_places(ten, 10, places), 50);
	ck_assert_double_eq_tol(calibration_uniform_p(places, 50), 0.05194163979552, 1e-12);
	ck_assert(isnan(calibration_uniform_p(places, 9)));
	ck_assert_uint_eq(calibration_bins(9), 0);
	for (size_t count = 10; count < MOST; count++)
		ck_assert_uint_ge(count, 5 * calibration_bins(count));
}
END_TEST

/* Mean, its standard error by the sample deviation, and root mean square of ten z, by Python's
 * statistics; medians and counts by eye. */
START_TEST(figures)
{
	static const double z[10] = {0.37,  -1.21, 2.13, -0.58, 0.94,
	                             -0.11, -1.76, 0.25, 1.02,  -0.43};
	struct calibration_outcome *outcomes = make_even(10);
	struct calibration_summary summary;
	const struct calibration_figures *figures = &summary.figures[CUSHION_FRICTION];

	for (size_t i = 0; i < 10; i++) {
		struct calibration_constant *constant = &outcomes[i].constants[CUSHION_FRICTION];

		constant->z = z[i];
		constant->relative = 0.01 * (double)((7 * i) % 10 + 1);
		constant->learned = 0.1 * (double)((3 * i) % 10);
		constant->state = i % 3 == 0 ? KNOWLEDGE_DETERMINED : KNOWLEDGE_WEAK;
		outcomes[i].set_aside = i % 4;
		outcomes[i].seconds = 1.0 + (double)((9 * i) % 10);
	}
	ck_assert(calibration_summarise(outcomes, 10, &summary));
	ck_assert_double_eq_tol(figures->bias, 0.062, 1e-12);
	ck_assert_double_eq_tol(figures->bias_error, 0.36081635833820563, 1e-12);
	ck_assert_double_eq_tol(figures->rms, 1.0842232242485863, 1e-12);
	ck_assert_double_eq_tol(figures->relative, 0.055, 1e-12);
	ck_assert_double_eq_tol(figures->learned, 0.45, 1e-12);
	/* Sessions 0, 3, 6, 9 at 0.05, 0.35, 0.65, 0.95. */
	ck_assert_uint_eq(figures->determined, 4);
	ck_assert_uint_eq(figures->determined68, 2);
	ck_assert_uint_eq(figures->determined95, 4);
	ck_assert_uint_eq(summary.strokes, 170);
	ck_assert_uint_eq(summary.set_aside, 13);
	ck_assert_double_eq_tol(summary.seconds_median, 5.5, 1e-12);
	ck_assert_double_eq_tol(summary.seconds_95, 9.55, 1e-12);
	free(outcomes);
}
END_TEST

/* The table fits a page even with the largest figures, and has a line for each constant. */
START_TEST(table_fits_a_page)
{
	struct calibration_wish wish = {"usual", 999000, 3000, 4294967295u, NULL};
	struct calibration_summary summary = {.sessions = 3000,
	                                      .strokes = 75000,
	                                      .set_aside = 15000,
	                                      .not_converged = 3000,
	                                      .unanswered = 3000,
	                                      .unlikely = 3000,
	                                      .seconds_median = 1234.5,
	                                      .seconds_95 = 2345.6};
	char line[400];
	FILE *file = tmpfile();
	size_t lines = 0, named = 0;

	for (int id = 0; id < CONSTANT_COUNT; id++)
		summary.figures[id] = (struct calibration_figures){.held68 = 3000,
		                                                   .held95 = 3000,
		                                                   .told95 = 3000,
		                                                   .determined = 3000,
		                                                   .determined68 = 3000,
		                                                   .determined95 = 3000,
		                                                   .bias = -12.34,
		                                                   .bias_error = 1.23,
		                                                   .rms = 12.34,
		                                                   .relative = 1.2345,
		                                                   .learned = -1.234,
		                                                   .rank_p = 1.2e-99};
	ck_assert_ptr_nonnull(file);
	calibration_report_legend(file);
	calibration_report_print(&wish, &summary, file);
	rewind(file);
	while (fgets(line, sizeof line, file) != NULL) {
		ck_assert_uint_le(strcspn(line, "\n"), 100);
		lines++;
		for (int id = 0; id < CONSTANT_COUNT; id++) {
			const char *title = constant_prior((enum constant_id)id)->title;

			named += strncmp(line, title, strlen(title)) == 0;
		}
	}
	fclose(file);
	ck_assert_uint_eq(named, CONSTANT_COUNT);
	ck_assert_uint_gt(lines, CONSTANT_COUNT + 4);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("calibration report");
	TCase *report = tcase_create("report");

	tcase_add_test(report, a_right_posterior_passes);
	tcase_add_test(report, intervals_too_wide_fail);
	tcase_add_test(report, intervals_too_narrow_fail);
	tcase_add_test(report, a_bias_fails_by_the_places_alone);
	tcase_add_test(report, one_wrong_constant_is_named);
	tcase_add_test(report, unanswered_sessions_count);
	tcase_add_test(report, coverage_bounds);
	tcase_add_test(report, false_ends_are_counted);
	tcase_add_test(report, false_ends_bounds);
	tcase_add_test(report, histogram_of_places);
	tcase_add_test(report, figures);
	tcase_add_test(report, table_fits_a_page);
	suite_add_tcase(suite, report);
	return close_run(suite);
}
