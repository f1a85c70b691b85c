/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "estimate/edge_strokes.h"
#include "fit_support.h"

/* Whole fits of simulated sessions: what is set aside, several files, seeds, interruption. */

static struct protocol protocol;

static void setup(void)
{
	fit_support_protocol(&protocol);
}

static void teardown(void)
{
	protocol_free(&protocol);
}

/* Strokes that the fit set aside for what they read, not for reading nothing (all in pockets); the
 * last of them in *row. */
static size_t spoiled(const struct fit_result *result, const struct set_aside_row **row)
{
	size_t count = 0;

	for (size_t i = 0; i < result->set_aside_count; i++) {
		if (strcmp(result->set_aside[i].reason, "holds no reading") == 0)
			continue;
		*row = &result->set_aside[i];
		count++;
	}
	return count;
}

static bool has_edge(const struct fit_result *result)
{
	for (size_t i = 0; i < result->set_aside_count; i++)
		if (strstr(result->set_aside[i].reason, "on the edge") != NULL)
			return true;
	return false;
}

/* Of sessions that have nothing wrong at most 5 % of the strokes are set aside, because they lie on
 * an edge between two courses of the balls, or with one of the same session that does; and they find
 * what was put in. Some constant of 21 may be two standard deviations off, hardly one 3.5 (once in
 * 100 such tests). */
START_TEST(good_sessions_lose_nothing)
{
	struct constants truth = fit_support_truth();
	const struct set_aside_row *row = NULL;
	size_t lost = 0, strokes = 0;

	for (uint64_t seed = 21; seed < 24; seed++) {
		struct measurement measurement;
		struct fit_result result;

		fit_support_session(&protocol, seed, "good.csv", &measurement);
		ck_assert_int_eq(fit_support_run(&protocol, &measurement, 1, &result, NULL),
		                 STATUS_OK);
		ck_assert(result.converged && !result.interrupted);
		row = NULL;
		lost += spoiled(&result, &row);
		strokes += measurement.row_count;
		ck_assert_msg(row == NULL || has_edge(&result), "seed %d: %s", (int)seed,
		              row != NULL ? row->reason : "");
		ck_assert_uint_eq(result.shots_used,
		                  measurement.row_count - result.set_aside_count);
		ck_assert_double_gt(result.lack_of_fit_p, 0.001);
		ck_assert_double_lt(fit_support_worst(&result, &truth), 3.5);
		fit_result_free(&result);
		measurement_free(&measurement);
	}
	ck_assert_double_le((double)lost, 0.05 * (double)strokes);
}
END_TEST

/* Fits again without a row that the fit set aside. */
static void compare_without(struct measurement *measurement, struct stroke_row *row,
                            const struct fit_result *result)
{
	struct fit_result without;
	const struct set_aside_row *aside = NULL;

	row->valid = false;
	row->note = "misread";
	ck_assert_int_eq(fit_support_run(&protocol, measurement, 1, &without, NULL), STATUS_OK);
	ck_assert_uint_eq(spoiled(&without, &aside), 1);
	ck_assert_str_eq(aside->reason, "misread");
	for (int id = 0; id < CONSTANT_COUNT; id++)
		ck_assert_double_le(fabs(result->centre[id] - without.centre[id]),
		                    sqrt(EDGE_ACCEPTED * without.covariance[id][id]));
	fit_result_free(&without);
}

/* One reading in one row wrong by whole diamonds: that row is set aside, with its line and a reason
 * that names the column, and no other; the constants are those of the session without the row, to
 * the fit's own tolerance. */
START_TEST(misread_rows_are_set_aside)
{
	static const struct {
		const char *shot, *quantity;
		double wrong; /* [diamonds] */
	} cases[] = {{"short-kick", "cue_rail1", 1.0},
	             {"long-kick", "cue_rail1", -2.0},
	             {"half-ball", "object_rail1", 1.5},
	             {"short-kick", "cue_rail2", -4.0}};

	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		const struct set_aside_row *aside = NULL;
		struct measurement measurement;
		struct fit_result result;
		struct stroke_row *row;
		struct reading *reading;

		fit_support_session(&protocol, 31 + i, "misread.csv", &measurement);
		row = fit_support_row(&measurement, cases[i].shot, 2);
		reading = &row->readings[fit_support_quantity(cases[i].quantity)];
		ck_assert_int_eq(reading->kind, READING_VALUE);
		reading->value += cases[i].wrong;
		ck_assert_int_eq(fit_support_run(&protocol, &measurement, 1, &result, NULL),
		                 STATUS_OK);
		ck_assert_uint_eq(spoiled(&result, &aside), 1);
		ck_assert_str_eq(aside->file, "misread.csv");
		ck_assert_uint_eq(aside->line, row->line);
		ck_assert_str_eq(aside->shot, cases[i].shot);
		ck_assert_msg(strstr(aside->reason, "_rail") != NULL || has_edge(&result), "%s",
		              aside->reason);
		if (i == 0)
			compare_without(&measurement, row, &result);
		fit_result_free(&result);
		measurement_free(&measurement);
	}
}
END_TEST

/* Two evenings on one table, fitted together, know more than either. */
START_TEST(two_files_of_one_table_are_fitted_together)
{
	struct measurement evenings[2];
	struct fit_input inputs[2] = {{&evenings[0], &protocol}, {&evenings[1], &protocol}};
	struct fit_options options = {.seed = 1};
	struct constants truth = fit_support_truth();
	const struct set_aside_row *aside = NULL;
	struct fit_result both, one;
	struct fault_list faults;

	fit_support_session(&protocol, 41, "monday.csv", &evenings[0]);
	fit_support_session(&protocol, 42, "tuesday.csv", &evenings[1]);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	ck_assert_int_eq(fit_run(inputs, 2, &options, &both, &faults), STATUS_OK);
	ck_assert_uint_eq(both.shots_used + both.set_aside_count,
	                  evenings[0].row_count + evenings[1].row_count);
	ck_assert_uint_eq(spoiled(&both, &aside), 0);
	ck_assert_double_lt(fit_support_worst(&both, &truth), 3.5);
	for (int i = 0; i < 2; i++) {
		ck_assert_int_eq(fit_support_run(&protocol, &evenings[i], 1, &one, NULL),
		                 STATUS_OK);
		for (int id = 0; id < CONSTANT_COUNT; id++)
			ck_assert_double_lt(both.covariance[id][id], 1.02 * one.covariance[id][id]);
		ck_assert_double_lt(both.covariance[ROLLING_RESISTANCE][ROLLING_RESISTANCE],
		                    0.75 * one.covariance[ROLLING_RESISTANCE][ROLLING_RESISTANCE]);
		fit_result_free(&one);
	}
	fit_result_free(&both);
	fault_list_free(&faults);
	measurement_free(&evenings[0]);
	measurement_free(&evenings[1]);
}
END_TEST

/* The same file and seed give the same numbers to the last bit. */
START_TEST(result_depends_on_nothing_but_file_and_seed)
{
	struct measurement measurement;
	struct fit_result first, again;

	fit_support_session(&protocol, 51, "same.csv", &measurement);
	ck_assert_int_eq(fit_support_run(&protocol, &measurement, 9, &first, NULL), STATUS_OK);
	ck_assert_int_eq(fit_support_run(&protocol, &measurement, 9, &again, NULL), STATUS_OK);
	ck_assert(memcmp(first.centre, again.centre, sizeof first.centre) == 0);
	ck_assert(memcmp(first.covariance, again.covariance, sizeof first.covariance) == 0);
	ck_assert_double_eq(first.chi_square, again.chi_square);
	ck_assert_uint_eq(first.iterations, again.iterations);
	fit_result_free(&first);
	fit_result_free(&again);
	measurement_free(&measurement);
}
END_TEST

/* Raises the stop flag after some reports of progress. */
struct stopper {
	volatile sig_atomic_t stop;
	int reports, after;
	double latest;
	bool forward; /* never went back */
};

static void count_report(void *context, double fraction, const char *phase)
{
	struct stopper *stopper = context;

	(void)phase;
	stopper->forward = stopper->forward && fraction >= stopper->latest && fraction <= 1.0;
	stopper->latest = fraction;
	if (++stopper->reports >= stopper->after)
		stopper->stop = 1;
}

/* Stopped early, late or at once: the status says so and the best point so far is there. */
START_TEST(interruption_leaves_the_best_point)
{
	static const int after[] = {1, 3, 6};
	struct measurement measurement;

	fit_support_session(&protocol, 61, "stopped.csv", &measurement);
	for (int i = 0; i < 3; i++) {
		struct stopper stopper = {.after = after[i], .forward = true};
		struct progress progress = {&stopper.stop, count_report, &stopper};
		struct fit_input input = {&measurement, &protocol};
		struct fit_options options = {.seed = 1, .progress = &progress};
		struct fit_result result;
		struct fault_list faults;

		ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
		ck_assert_int_eq(fit_run(&input, 1, &options, &result, &faults),
		                 STATUS_INTERRUPTED);
		ck_assert(result.interrupted && !result.converged);
		ck_assert_str_eq(result.stop_reason, "interrupted");
		ck_assert_int_le(stopper.reports, after[i] + 2);
		ck_assert(stopper.forward);
		for (int id = 0; id < CONSTANT_COUNT; id++) {
			const struct estimate *estimate = &result.constants[id];

			ck_assert(isfinite(result.centre[id]));
			ck_assert(isfinite(estimate->best.value) && estimate->best.value > 0.0);
		}
		fit_result_free(&result);
		fault_list_free(&faults);
	}
	measurement_free(&measurement);
}
END_TEST

/* One stop of one stroke tells no constant: said so, with the prior for everything. */
START_TEST(too_little_is_undetermined)
{
	struct measurement measurement;
	struct fit_result result;
	int kept = fit_support_quantity("cue_rest_long");

	fit_support_session(&protocol, 71, "little.csv", &measurement);
	measurement.rows[0] = *fit_support_row(&measurement, "soft-lag", 1);
	measurement.row_count = 1;
	for (int number = 0; number < QUANTITY_COUNT; number++)
		if (number != kept)
			measurement.rows[0].readings[number].kind = READING_MISSING;
	ck_assert_int_eq(measurement.rows[0].readings[kept].kind, READING_VALUE);
	ck_assert_int_eq(fit_support_run(&protocol, &measurement, 1, &result, NULL),
	                 STATUS_UNDETERMINED);
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		ck_assert_int_eq(result.constants[id].state, KNOWLEDGE_NOT_DETERMINED);
		ck_assert_double_eq_tol(result.constants[id].best.value,
		                        constant_prior((enum constant_id)id)->centre, 1e-9);
	}
	fit_result_free(&result);
	measurement_free(&measurement);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("fits");
	TCase *fits = tcase_create("fits");

	tcase_add_unchecked_fixture(fits, setup, teardown);
	tcase_add_test(fits, good_sessions_lose_nothing);
	tcase_add_test(fits, misread_rows_are_set_aside);
	tcase_add_test(fits, two_files_of_one_table_are_fitted_together);
	tcase_add_test(fits, result_depends_on_nothing_but_file_and_seed);
	tcase_add_test(fits, interruption_leaves_the_best_point);
	tcase_add_test(fits, too_little_is_undetermined);
	suite_add_tcase(suite, fits);
	return close_run(suite);
}
