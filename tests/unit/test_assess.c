/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "advise/assess.h"
#include "advise/conditions.h"
#include "estimate/fit_states.h"

/* A fit written by hand, turned into a profile (formats.md 5). */

struct made {
	struct stroke_row rows[3];
	struct shot_design design;
	struct protocol protocol;
	struct measurement measurement;
	struct fit_input input;
	struct set_aside_row aside;
	struct fit_result fit;
};

/* Two balls, three strokes of which the last is set aside; every constant known to `known` of its
 * prior's deviation at the middle of the prior. */
static void make(struct made *made, double known, bool clock)
{
	double x[CONSTANT_COUNT] = {0.0}, covariance[CONSTANT_COUNT * CONSTANT_COUNT] = {0.0};

	memset(made, 0, sizeof *made);
	made->design.key = "hit";
	made->design.place[BALL_CUE].present = made->design.place[BALL_OBJECT].present = true;
	made->protocol = (struct protocol){.name = "made", .shot_count = 1, .shots = &made->design};
	memset(made->protocol.sha256, 'b', 64);
	for (int i = 0; i < 3; i++) {
		made->rows[i] = (struct stroke_row){
		    .line = (size_t)(5 + i), .shot = "hit", .player = "", .valid = i < 2};
		made->rows[i].ball[BALL_CUE] = "A";
		made->rows[i].ball[BALL_OBJECT] = i == 1 ? "red" : "O";
		made->rows[i].ball[BALL_OBJECT2] = "O2";
	}
	made->measurement = (struct measurement){
	    .file = "monday.csv", .session = session_default(), .row_count = 3, .rows = made->rows};
	made->measurement.session.notes[NOTE_CLOTH] = "worsted, worn";
	memset(made->measurement.sha256, 'a', 64);
	made->input = (struct fit_input){&made->measurement, &made->protocol};
	made->aside = (struct set_aside_row){"monday.csv", 7, "hit", "slipped"};
	made->fit = (struct fit_result){.converged = true,
	                                .stop_reason = "converged",
	                                .has_clock = clock,
	                                .shots_used = 2,
	                                .readings_used = 11,
	                                .set_aside_count = 1,
	                                .set_aside = &made->aside,
	                                .chi_square = 9.3,
	                                .degrees_of_freedom = 8.7,
	                                .chi_square_p = 0.37,
	                                .lack_of_fit_p = 0.37};
	for (int i = 0; i < CONSTANT_COUNT; i++)
		covariance[i * CONSTANT_COUNT + i] = known * known;
	covariance[SLIDING_FRICTION * CONSTANT_COUNT + CUSHION_FRICTION] =
	    covariance[CUSHION_FRICTION * CONSTANT_COUNT + SLIDING_FRICTION] =
		-0.37 * known * known;
	x[ROLLING_RESISTANCE] = 0.41;
	fit_states_fill(&made->fit, x, covariance, CONSTANT_COUNT);
}

static void assess(const struct made *made, struct profile *profile)
{
	ck_assert_int_eq(
	    assess_fit(&made->input, 1, &made->fit, 77, "2024-05-17T18:20:00Z", "9.8.7", profile),
	    STATUS_OK);
}

START_TEST(facts_are_carried_over)
{
	struct made made;
	struct profile profile;

	make(&made, 0.1, true);
	assess(&made, &profile);
	ck_assert_uint_eq(profile.seed, 77);
	ck_assert_str_eq(profile.made, "2024-05-17T18:20:00Z");
	ck_assert_str_eq(profile.tool_version, "9.8.7");
	ck_assert_str_eq(profile.stop_reason, "converged");
	ck_assert_str_eq(profile.table.preset, "pool-9ft");
	ck_assert_str_eq(profile.notes[NOTE_CLOTH], "worsted, worn");
	ck_assert_ptr_null(profile.notes[NOTE_PLACE]);
	ck_assert_uint_eq(profile.shots_used, 2);
	ck_assert_double_eq(profile.chi_square, 9.3);
	ck_assert_double_eq(profile.degrees_of_freedom, 8.7);
	ck_assert(profile.has_lack_of_fit_p && !profile.scaled);
	ck_assert_double_eq(profile.lack_of_fit_p, 0.37);
	ck_assert_uint_eq(profile.set_aside_count, 1);
	ck_assert_str_eq(profile.set_aside[0].reason, "slipped");
	ck_assert_uint_eq(profile.set_aside[0].line, 7);
	ck_assert_uint_eq(profile.source_count, 1);
	ck_assert_str_eq(profile.sources[0].file, "monday.csv");
	ck_assert_str_eq(profile.sources[0].protocol, "made");
	ck_assert_int_eq(profile.sources[0].sha256[63], 'a');
	ck_assert_int_eq(profile.sources[0].protocol_sha256[63], 'b');
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		ck_assert_int_eq(profile.constants[id].state, made.fit.constants[id].state);
		ck_assert_double_eq(profile.constants[id].best.value,
		                    made.fit.constants[id].best.value);
	}
	profile_free(&profile);
}
END_TEST

/* The profile outlives what it was made of. */
START_TEST(strings_are_copied)
{
	char made_at[] = "2024-05-17T18:20:00Z", reason[] = "slipped", file[] = "monday.csv";
	struct made made;
	struct profile profile;

	make(&made, 0.1, true);
	made.aside.reason = reason;
	made.measurement.file = file;
	ck_assert_int_eq(assess_fit(&made.input, 1, &made.fit, 1, made_at, "1", &profile),
	                 STATUS_OK);
	memset(made_at, 'x', sizeof made_at - 1);
	memset(reason, 'x', sizeof reason - 1);
	memset(file, 'x', sizeof file - 1);
	ck_assert_str_eq(profile.made, "2024-05-17T18:20:00Z");
	ck_assert_str_eq(profile.set_aside[0].reason, "slipped");
	ck_assert_str_eq(profile.sources[0].file, "monday.csv");
	profile_free(&profile);
}
END_TEST

/* The balls that valid strokes used, the reference first and held at grip 1. */
START_TEST(balls_are_listed_once)
{
	static const char *const labels[] = {"A", "O", "red"};
	struct made made;
	struct profile profile;

	make(&made, 0.1, true);
	assess(&made, &profile);
	ck_assert_uint_eq(profile.ball_count, 3);
	for (size_t i = 0; i < 3; i++) {
		ck_assert_str_eq(profile.balls[i].label, labels[i]);
		ck_assert_int_eq(profile.balls[i].reference, i == 0);
		ck_assert_int_eq(profile.balls[i].grip.state, KNOWLEDGE_HELD);
		ck_assert_double_eq(profile.balls[i].grip.best.value, 1.0);
	}
	profile_free(&profile);
}
END_TEST

/* Of the fitted scales, all constants that are determined, weak or at-limit, in order. */
START_TEST(correlation_is_of_what_is_known)
{
	struct made made;
	struct profile profile;
	size_t n = CONSTANT_COUNT;

	make(&made, 0.1, true);
	assess(&made, &profile);
	ck_assert_uint_eq(profile.correlation_count, n);
	for (size_t i = 0; i < n; i++) {
		ck_assert_str_eq(profile.correlation_order[i],
		                 constant_prior((enum constant_id)i)->name);
		for (size_t k = 0; k < n; k++) {
			bool pair = (i == SLIDING_FRICTION && k == CUSHION_FRICTION) ||
			            (k == SLIDING_FRICTION && i == CUSHION_FRICTION);

			ck_assert_double_eq_tol(profile.correlation[i * n + k],
			                        i == k ? 1.0
			                        : pair ? -0.37
			                               : 0.0,
			                        1e-12);
		}
	}
	profile_free(&profile);
	/* Without a clock the cloth frictions are no part of it. */
	make(&made, 0.1, false);
	assess(&made, &profile);
	ck_assert_uint_eq(profile.correlation_count, 4);
	ck_assert_str_eq(profile.correlation_order[0], "cushion_restitution");
	profile_free(&profile);
}
END_TEST

/* Conditions of constants that are known to a tenth of the prior: the values of the best constants
 * with their intervals; one length goes as the root of the rolling resistance, so its logarithm is
 * known to half of 0.1 x 0.470. */
START_TEST(conditions_follow_from_the_constants)
{
	struct made made;
	struct profile profile;
	const struct estimate *length = &profile.conditions[ONE_LENGTH_TIME_S];
	double roll = 0.010 * exp(0.41 * 0.470004), deviation = 0.05 * 0.470004;
	double value = sqrt(2.0 * 2.48285 / (roll * 9.80665));

	make(&made, 0.1, true);
	assess(&made, &profile);
	ck_assert_double_eq_tol(length->best.value, value, 1e-5);
	ck_assert_double_eq_tol(length->best.standard_error, value * deviation, 1e-5);
	ck_assert_double_eq_tol(length->best.low95, value * exp(-1.959964 * deviation), 1e-5);
	ck_assert_double_eq_tol(length->best.high95, value * exp(1.959964 * deviation), 1e-5);
	for (int id = 0; id < CONDITION_COUNT; id++) {
		struct constants best = profile_constants(&profile);

		ck_assert_int_eq(profile.conditions[id].state, KNOWLEDGE_DETERMINED);
		ck_assert_double_eq_tol(
		    profile.conditions[id].best.value,
		    condition_value((enum condition_id)id, &profile.table, &best), 1e-9);
	}
	profile_free(&profile);
}
END_TEST

/* Weak constants give weak conditions: half the prior's deviation of the spin friction is 0.35. */
START_TEST(conditions_are_weak_where_the_constants_are)
{
	struct made made;
	struct profile profile;

	make(&made, 0.45, true);
	assess(&made, &profile);
	ck_assert_int_eq(profile.conditions[FULL_SIDE_LASTS_S].state, KNOWLEDGE_WEAK);
	ck_assert_int_eq(profile.conditions[STUN_SLIDE_DIAMONDS].state, KNOWLEDGE_WEAK);
	profile_free(&profile);
}
END_TEST

/* Nothing learned, or no clock: not determined, with the numbers of the prior. */
START_TEST(conditions_are_not_determined_where_the_constants_are_not)
{
	struct made made;
	struct profile profile;
	const struct estimate *length = &profile.conditions[ONE_LENGTH_TIME_S];

	make(&made, 0.8, true);
	assess(&made, &profile);
	for (int id = 0; id < CONDITION_COUNT; id++) {
		ck_assert_int_eq(profile.conditions[id].state, KNOWLEDGE_NOT_DETERMINED);
		ck_assert(profile.conditions[id].has_posterior);
	}
	profile_free(&profile);
	make(&made, 0.05, false);
	assess(&made, &profile);
	ck_assert_int_eq(length->state, KNOWLEDGE_NOT_DETERMINED);
	ck_assert_int_eq(profile.conditions[STUN_SLIDE_DIAMONDS].state, KNOWLEDGE_NOT_DETERMINED);
	ck_assert_int_eq(profile.conditions[FULL_SIDE_LASTS_S].state, KNOWLEDGE_NOT_DETERMINED);
	ck_assert_int_eq(profile.conditions[HALF_BALL_THROW_DEG].state, KNOWLEDGE_DETERMINED);
	/* The prior's: 0.010 times or by 1.6. */
	ck_assert_double_eq_tol(length->best.value, sqrt(2.0 * 2.48285 / (0.010 * 9.80665)), 1e-6);
	ck_assert_double_eq_tol(length->best.high95 / length->best.value,
	                        exp(1.959964 * 0.5 * 0.470004), 1e-5);
	profile_free(&profile);
}
END_TEST

/* A fitted grip stands with its ball and in the correlation (formats.md 5); that of four draws with
 * deviations 1 1 -1 -1 and 1 3 -3 -1 from their means is 8 / sqrt(4 * 20). */
START_TEST(grips_stand_with_their_balls)
{
	static double draws[4][CONSTANT_COUNT] = {{1.0}, {1.0}, {-1.0}, {-1.0}};
	double extra[4] = {1.2, 3.2, -2.8, -0.8};
	struct fit_grip grip = {.label = "red",
	                        .grip = {.best = {0.7, 0.03, 0.64, 0.76},
	                                 .state = KNOWLEDGE_DETERMINED,
	                                 .has_interval = true}};
	struct made made;
	struct profile profile;
	size_t last;

	make(&made, 0.1, true);
	made.fit.draw_count = 4;
	made.fit.draws = draws;
	made.fit.grip_count = made.fit.extra_count = 1;
	made.fit.grips = &grip;
	made.fit.extra_draws = extra;
	assess(&made, &profile);
	for (size_t i = 0; i < profile.ball_count; i++) {
		bool red = strcmp(profile.balls[i].label, "red") == 0;

		ck_assert_double_eq(profile.balls[i].grip.best.value, red ? 0.7 : 1.0);
		ck_assert_int_eq(profile.balls[i].grip.state,
		                 red ? KNOWLEDGE_DETERMINED : KNOWLEDGE_HELD);
	}
	last = profile.correlation_count - 1;
	ck_assert_uint_eq(last, CONSTANT_COUNT);
	ck_assert_str_eq(profile.correlation_order[last], "grip:red");
	ck_assert_double_eq_tol(profile.correlation[last], 8.0 / sqrt(80.0), 1e-12);
	ck_assert_double_eq_tol(profile.correlation[last * (last + 1)], 8.0 / sqrt(80.0), 1e-12);
	ck_assert_double_eq(profile.correlation[(last + 1) * (last + 1) - 1], 1.0);
	profile_free(&profile);
}
END_TEST

/* What was fitted of the table is carried over. */
START_TEST(terms_are_carried_over)
{
	struct made made;
	struct profile profile;

	make(&made, 0.1, true);
	assess(&made, &profile);
	ck_assert(!profile.has_slope && !profile.has_liveliness_fall && !profile.has_rails);
	profile_free(&profile);
	made.fit.has_slope = made.fit.has_liveliness_fall = made.fit.has_rails = true;
	made.fit.slope.along.best.value = 0.00123;
	made.fit.liveliness_fall.best.value = 0.0321;
	made.fit.rails.rail[RAIL_LEFT].grip.best.value = 1.17;
	assess(&made, &profile);
	ck_assert(profile.has_slope && profile.has_liveliness_fall && profile.has_rails);
	ck_assert_double_eq(profile.slope.along.best.value, 0.00123);
	ck_assert_double_eq(profile.liveliness_fall.best.value, 0.0321);
	ck_assert_double_eq(profile.rails.rail[RAIL_LEFT].grip.best.value, 1.17);
	profile_free(&profile);
}
END_TEST

/* What the model leaves out stands with the constants that it shifts much, and only there. */
START_TEST(errors_of_the_model_are_carried_over)
{
	struct made made;
	struct profile profile;
	struct fit_omission *rail, *drift;

	make(&made, 0.1, true);
	made.fit.omission_count = 2;
	rail = &made.fit.omissions[0];
	drift = &made.fit.omissions[1];
	rail->which = OMISSION_RAIL_LEFT;
	drift->which = OMISSION_DRIFT;
	rail->shift[ROLLING_RESISTANCE] = 0.3;
	drift->shift[ROLLING_RESISTANCE] = 0.4;
	assess(&made, &profile);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		ck_assert(!profile.model_errors[id].named);
	profile_free(&profile);
	rail->large[ROLLING_RESISTANCE] = drift->large[ROLLING_RESISTANCE] = true;
	assess(&made, &profile);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		ck_assert(profile.model_errors[id].named == (id == ROLLING_RESISTANCE));
	ck_assert_str_eq(profile.model_errors[ROLLING_RESISTANCE].because, "left_rail, drift");
	/* Relative: the told error and 0.3 and 0.4 on the logarithm. */
	ck_assert_double_eq_tol(
	    profile.model_errors[ROLLING_RESISTANCE].standard_error,
	    hypot(profile.constants[ROLLING_RESISTANCE].best.standard_error,
	          0.5 * profile.constants[ROLLING_RESISTANCE].best.value),
	    1e-12);
	ck_assert_double_lt(profile.model_errors[ROLLING_RESISTANCE].low95,
	                    profile.constants[ROLLING_RESISTANCE].best.low95);
	profile_free(&profile);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("profile of a fit");
	TCase *profile = tcase_create("assess");

	tcase_add_test(profile, facts_are_carried_over);
	tcase_add_test(profile, strings_are_copied);
	tcase_add_test(profile, balls_are_listed_once);
	tcase_add_test(profile, correlation_is_of_what_is_known);
	tcase_add_test(profile, grips_stand_with_their_balls);
	tcase_add_test(profile, terms_are_carried_over);
	tcase_add_test(profile, errors_of_the_model_are_carried_over);
	tcase_add_test(profile, conditions_follow_from_the_constants);
	tcase_add_test(profile, conditions_are_weak_where_the_constants_are);
	tcase_add_test(profile, conditions_are_not_determined_where_the_constants_are_not);
	suite_add_tcase(suite, profile);
	return close_run(suite);
}
