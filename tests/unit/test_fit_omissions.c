/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include <gsl/gsl_errno.h>

#include "base/random.h"
#include "estimate/fit_end.h"
#include "estimate/fit_omissions.h"
#include "estimate/simulate.h"
#include "fit_support.h"

/* What a fit says that the model leaves out, against fits of sessions on tables that do it. */

/* A session and where its fit ends when it starts from the true constants. */
struct ended {
	struct measurement measurement;
	struct fit_input input;
	struct fit_problem problem;
	struct fit_end end;
};

static struct protocol protocol;

static void open_protocol(void)
{
	gsl_set_error_handler_off();
	fit_support_protocol(&protocol);
}

static void close_protocol(void)
{
	protocol_free(&protocol);
}

/* Leaves the readings that the protocol asks for: long chains of contacts are far from linear. */
static void keep_measured(struct measurement *measurement)
{
	for (size_t i = 0; i < measurement->row_count; i++) {
		struct stroke_row *row = &measurement->rows[i];
		const struct shot_design *shot = protocol_find_shot(&protocol, row->shot);

		for (int number = 0; number < QUANTITY_COUNT; number++)
			if (!(shot->measure & (UINT32_C(1) << number)))
				row->readings[number] = (struct reading){.kind = READING_MISSING};
	}
}

/* Plays every stroke as designed, reads exactly, and fits from the truth, three times over, so that
 * the iteration leaves little. */
static void end_session(const struct constants *played, struct fit_wants wants, struct ended *ended)
{
	struct fit_options options = {.seed = 1, .wants = wants};
	struct constants truth = fit_support_truth();
	struct session session = session_default();
	struct fault_list faults;

	ck_assert_int_eq(
	    simulate_session(&protocol, &session, played, 1, false, &ended->measurement),
	    STATUS_OK);
	keep_measured(&ended->measurement);
	ended->input = (struct fit_input){&ended->measurement, &protocol};
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	ck_assert_int_eq(
	    fit_problem_create_with(&ended->problem, &ended->input, 1, &options, &faults),
	    STATUS_OK);
	fault_list_free(&faults);
	ck_assert(fit_end_create(&ended->end, fit_problem_size(&ended->problem)));
	for (int id = 0; id < CONSTANT_COUNT; id++)
		ended->end.x[id] = prior_coordinate((enum constant_id)id, truth.value[id]);
	for (int k = 0; k < 3; k++)
		ck_assert_int_eq(fit_end_run(&ended->problem, 0, &ended->end), STATUS_OK);
}

static void end_free(struct ended *ended)
{
	fit_end_free(&ended->end);
	fit_problem_free(&ended->problem);
	measurement_free(&ended->measurement);
}

/* The omissions of a session on a table without any. */
static void find(struct fit_wants wants, struct ended *ended, struct fit_result *result)
{
	struct constants truth = fit_support_truth();
	struct fit_tries tries;

	memset(result, 0, sizeof *result);
	end_session(&truth, wants, ended);
	ck_assert_int_eq(fit_tries_make(&ended->problem, ended->end.x, &tries), STATUS_OK);
	ck_assert_int_eq(fit_tries_split(&tries, 0.0, 5.0, &result->lack_of_fit), STATUS_OK);
	ck_assert_int_eq(fit_omissions_find(&ended->problem, &tries, ended->end.covariance, result),
	                 STATUS_OK);
	fit_tries_free(&tries);
}

static const struct fit_omission *omission_of(const struct fit_result *result, enum omission which)
{
	for (size_t i = 0; i < result->omission_count; i++)
		if (result->omissions[i].which == which)
			return &result->omissions[i];
	ck_abort_msg("no such omission");
	return NULL;
}

/* Of a table with a tenth of the omission the end of a fit moves by a tenth of the shift, which is
 * told to a tenth: more is not linear. */
#define SHARE 0.1

static void check_shift(const struct fit_result *result, const struct ended *plain,
                        enum omission which, const struct constants *table)
{
	const struct fit_omission *one = omission_of(result, which);
	size_t size = fit_problem_size(&plain->problem);
	struct ended ended;
	double largest = 0.0;

	end_session(table, (struct fit_wants){.slope = false}, &ended);
	for (size_t id = 0; id < CONSTANT_COUNT; id++) {
		double error = sqrt(plain->end.covariance[id * size + id]);
		double spread = constant_prior((enum constant_id)id)->spread;
		double wanted = (ended.end.x[id] - plain->end.x[id]) / error / SHARE;
		double got = one->shift[id] / spread / error;

		largest = fmax(largest, fabs(got));
		ck_assert_msg(fabs(wanted - got) < 0.05 + 0.1 * fabs(wanted),
		              "%s, %s: a fit moved by %.3f of its errors, told %.3f",
		              omission_rule(which)->name,
		              constant_prior((enum constant_id)id)->name, wanted, got);
	}
	ck_assert_double_gt(largest, 0.5);
	end_free(&ended);
}

START_TEST(a_shift_is_that_of_a_fit)
{
	struct constants table = fit_support_truth();
	struct fit_result result;
	struct ended plain;

	find((struct fit_wants){.slope = false}, &plain, &result);
	ck_assert_uint_eq(result.omission_count, OMISSION_COUNT);
	table.terms.liveliness_fall = SHARE * omission_rule(OMISSION_LIVELINESS_FALL)->size;
	check_shift(&result, &plain, OMISSION_LIVELINESS_FALL, &table);
	table.terms.liveliness_fall = 0.0;
	table.terms.slope_long = SHARE * omission_rule(OMISSION_SLOPE_LONG)->size;
	check_shift(&result, &plain, OMISSION_SLOPE_LONG, &table);
	table.terms.slope_long = 0.0;
	table.terms.ball_friction_fall = SHARE * omission_rule(OMISSION_BALL_FRICTION_FALL)->size;
	check_shift(&result, &plain, OMISSION_BALL_FRICTION_FALL, &table);
	end_free(&plain);
}
END_TEST

/* A rail that no ball meets shifts nothing; the power is a probability above the level. */
START_TEST(powers_and_rails)
{
	struct fit_result result;
	struct ended plain;

	find((struct fit_wants){.slope = false}, &plain, &result);
	for (size_t i = 0; i < result.omission_count; i++) {
		const struct fit_omission *one = &result.omissions[i];

		ck_assert_double_ge(one->noncentrality, 0.0);
		ck_assert_double_lt(one->power, 1.0);
		ck_assert_double_eq_tol(
		    one->power,
		    lack_of_fit_power(&result.lack_of_fit, one->noncentrality, OMISSION_LEVEL),
		    1e-12);
	}
	ck_assert_double_gt(omission_of(&result, OMISSION_RAIL_FOOT)->noncentrality, 0.01);
	end_free(&plain);
}
END_TEST

/* What is fitted is not left out. */
START_TEST(what_is_fitted_is_not_left_out)
{
	struct fit_wants wants = {.slope = true, .liveliness_with_speed = true, .per_rail = true};
	struct fit_result result;
	struct ended plain;

	find(wants, &plain, &result);
	ck_assert_uint_eq(result.omission_count, OMISSION_COUNT - 7);
	for (size_t i = 0; i < result.omission_count; i++)
		ck_assert_int_ge((int)result.omissions[i].which, OMISSION_BALL_FRICTION_FALL);
	end_free(&plain);
}
END_TEST

/* Large: more than a standard error of a constant that is told, with a power below one half. */
START_TEST(what_is_marked)
{
	struct fit_result result = {.omission_count = 3};

	for (int id = 0; id < CONSTANT_COUNT; id++)
		result.covariance[id][id] = 0.04;
	result.constants[BALL_FRICTION].state = KNOWLEDGE_DETERMINED;
	result.constants[SLIDING_FRICTION].state = KNOWLEDGE_WEAK;
	result.constants[SPIN_FRICTION].state = KNOWLEDGE_NOT_DETERMINED;
	result.omissions[0] = (struct fit_omission){.power = 0.49};
	result.omissions[0].shift[BALL_FRICTION] = -0.201;
	result.omissions[0].shift[SLIDING_FRICTION] = 0.199;
	result.omissions[0].shift[SPIN_FRICTION] = 3.1;
	result.omissions[1] = result.omissions[0];
	result.omissions[1].power = 0.51;
	result.omissions[2] = result.omissions[0];
	result.omissions[2].shift[BALL_FRICTION] = 0.11;
	fit_omissions_mark(&result);
	ck_assert(result.omissions[0].told && result.omissions[0].large[BALL_FRICTION]);
	ck_assert(!result.omissions[0].large[SLIDING_FRICTION]);
	ck_assert(!result.omissions[0].large[SPIN_FRICTION]);
	ck_assert(!result.omissions[1].told && !result.omissions[2].told);
}
END_TEST

/* On the logarithm, by hand: 1.96^2 (0.1^2 + 0.3^2 + 0.4^2) = 0.9989^2. */
START_TEST(an_interval_gains_the_errors)
{
	struct fit_omission omissions[3] = {{.told = true}, {.told = true}, {.told = true}};
	struct interval told = {0.05, 0.005, 0.05 * exp(-0.1959964), 0.05 * exp(0.1959964)}, out;

	for (int i = 0; i < 3; i++)
		omissions[i].large[BALL_FRICTION] = i != 1;
	omissions[0].shift[BALL_FRICTION] = -0.3;
	omissions[1].shift[BALL_FRICTION] = 7.0;
	omissions[2].shift[BALL_FRICTION] = 0.4;
	ck_assert(omissions_widen(omissions, 3, BALL_FRICTION, &told, &out));
	ck_assert_double_eq(out.value, 0.05);
	ck_assert_double_eq_tol(out.low95, 0.05 * exp(-0.99938967), 1e-8);
	ck_assert_double_eq_tol(out.high95, 0.05 * exp(0.99938967), 1e-7);
	ck_assert_double_eq_tol(out.standard_error, 0.05 * sqrt(0.01 + 0.25), 1e-12);
	ck_assert(!omissions_widen(omissions, 3, BALL_RESTITUTION, &told, &out));
	ck_assert_double_eq(out.high95, told.high95);
	omissions[0].large[CUSHION_RESTITUTION] = true;
	omissions[0].shift[CUSHION_RESTITUTION] = 2.5;
	told = (struct interval){0.9, 0.02, 0.86, 1.0};
	ck_assert(omissions_widen(omissions, 3, CUSHION_RESTITUTION, &told, &out));
	ck_assert_double_eq(out.high95, 1.0);
	ck_assert_double_eq(out.low95, 0.5); /* the hard limit */
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("fit omissions");
	TCase *tests = tcase_create("omissions");

	tcase_add_unchecked_fixture(tests, open_protocol, close_protocol);
	tcase_add_test(tests, a_shift_is_that_of_a_fit);
	tcase_add_test(tests, powers_and_rails);
	tcase_add_test(tests, what_is_fitted_is_not_left_out);
	tcase_add_test(tests, what_is_marked);
	tcase_add_test(tests, an_interval_gains_the_errors);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
