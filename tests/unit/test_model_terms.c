/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "model/constant_terms.h"
#include "model/measurement.h"
#include "model/profile.h"

/* What the model says beside its seven constants, and the balls of a shot. Names and limits are
 * those of restpoint-simulate(1) and restpoint-profile(5); the order in which a ball's size is
 * looked up is that of restpoint-protocol(5). */

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

START_TEST(terms_have_their_names_and_limits)
{
	static const struct {
		const char *name;
		double lowest, highest;
	} wanted[] = {
		{"slope_long", -0.05, 0.05},        {"slope_short", -0.05, 0.05},
		{"liveliness_with_speed", 0, 0.2},  {"ball_friction_with_speed", 0, 2},
		{"bed_restitution", 0, 1},          {"nap_long", -0.05, 0.05},
	};

	ck_assert_uint_eq(COUNT(wanted), CONSTANT_TERMS);
	for (size_t i = 0; i < COUNT(wanted); i++) {
		const struct constant_term_rule *rule = constant_term_rule((enum constant_term)i);

		ck_assert_str_eq(rule->name, wanted[i].name);
		ck_assert_double_eq(rule->lowest, wanted[i].lowest);
		ck_assert_double_eq(rule->highest, wanted[i].highest);
	}
}
END_TEST

START_TEST(terms_are_found_in_their_places)
{
	struct constant_terms terms = {0.011, -0.013, 0.017, 0.19, 0.23, -0.0019};

	ck_assert_double_eq(constant_term_value(&terms, TERM_SLOPE_LONG), terms.slope_long);
	ck_assert_double_eq(constant_term_value(&terms, TERM_SLOPE_SHORT), terms.slope_short);
	ck_assert_double_eq(constant_term_value(&terms, TERM_LIVELINESS_FALL), terms.liveliness_fall);
	ck_assert_double_eq(constant_term_value(&terms, TERM_BALL_FRICTION_FALL),
	                    terms.ball_friction_fall);
	ck_assert_double_eq(constant_term_value(&terms, TERM_BED_RESTITUTION), terms.bed_restitution);
	ck_assert_double_eq(constant_term_value(&terms, TERM_NAP_LONG), terms.nap_long);
	for (int i = 0; i < CONSTANT_TERMS; i++) {
		*constant_term_place(&terms, (enum constant_term)i) = 0.5 + i;
		ck_assert_double_eq(constant_term_value(&terms, (enum constant_term)i), 0.5 + i);
	}
	ck_assert_double_eq(terms.slope_short, 1.5);
	ck_assert_double_eq(terms.bed_restitution, 4.5);
	ck_assert_double_eq(terms.nap_long, 5.5);
}
END_TEST

/* A nap that pushes as hard as the cloth resists keeps a ball rolling; along the table a slope of 7/5
 * of it, uphill to where it pushes, takes it away. */
START_TEST(a_ball_stops_where_no_nap_pushes_it_on)
{
	struct constants constants = constants_centre();

	constants.value[ROLLING_RESISTANCE] = 0.012;
	constants.terms.nap_long = 0.01199;
	ck_assert(constants_ball_stops(&constants));
	constants.terms.nap_long = -0.01201;
	ck_assert(!constants_ball_stops(&constants));
	constants.terms.slope_long = -0.0168;
	ck_assert(constants_ball_stops(&constants));
	constants.terms.slope_long = 0.0168;
	ck_assert(!constants_ball_stops(&constants));
}
END_TEST

/* physics.md 7: where (5/7) s reaches the rolling resistance a ball never stops; 5/7 of 0.0168 is
 * 0.012, whatever the direction: 0.0168 is also the root of 0.01008^2 + 0.01344^2. */
START_TEST(a_ball_stops_below_seven_fifths_of_the_rolling_resistance)
{
	struct constants constants = constants_centre();

	constants.value[ROLLING_RESISTANCE] = 0.012;
	ck_assert(constants_ball_stops(&constants));
	ck_assert_double_eq_tol(constants_slope_limit(&constants), 0.0168, 1e-17);
	constants.terms.slope_long = -0.01679;
	ck_assert(constants_ball_stops(&constants));
	constants.terms.slope_long = -0.01681;
	ck_assert(!constants_ball_stops(&constants));
	constants.terms.slope_long = 0.01008;
	constants.terms.slope_short = -0.01343;
	ck_assert(constants_ball_stops(&constants));
	constants.terms.slope_short = -0.01345;
	ck_assert(!constants_ball_stops(&constants));
}
END_TEST

/* formats.md 5: no direction while the interval holds 0. */
START_TEST(a_slope_points_when_it_is_told_from_none)
{
	struct estimate steepness = {.best = {1.4, 0.3, 0.81, 1.99},
	                             .state = KNOWLEDGE_WEAK,
	                             .has_interval = true};

	ck_assert(profile_slope_points(&steepness));
	steepness.best.low95 = 0.0;
	ck_assert(!profile_slope_points(&steepness));
	steepness.best.low95 = -0.12;
	ck_assert(!profile_slope_points(&steepness));
	steepness = (struct estimate){.best.value = 1.4, .state = KNOWLEDGE_HELD};
	ck_assert(profile_slope_points(&steepness));
	steepness.best.value = 0.0;
	ck_assert(!profile_slope_points(&steepness));
	steepness = (struct estimate){.best = {1.4, 0.3, 0.81, 1.99}, .has_interval = true};
	steepness.state = KNOWLEDGE_NOT_DETERMINED;
	ck_assert(!profile_slope_points(&steepness));
}
END_TEST

START_TEST(profiles_give_the_terms_they_hold)
{
	struct profile profile = {.slope = {.along.best.value = 0.0013, .across.best.value = -0.0021},
	                          .liveliness_fall.best.value = 0.0187,
	                          .nap.best.value = -0.0023};
	struct constants constants = profile_constants(&profile);

	for (int i = 0; i < CONSTANT_TERMS; i++)
		ck_assert_double_eq(constant_term_value(&constants.terms, (enum constant_term)i), 0.0);
	profile.has_slope = true;
	constants = profile_constants(&profile);
	ck_assert_double_eq(constants.terms.slope_long, 0.0013);
	ck_assert_double_eq(constants.terms.slope_short, -0.0021);
	ck_assert_double_eq(constants.terms.liveliness_fall, 0.0);
	profile.has_liveliness_fall = true;
	constants = profile_constants(&profile);
	ck_assert_double_eq(constants.terms.liveliness_fall, 0.0187);
	ck_assert_double_eq(constants.terms.ball_friction_fall, 0.0);
	ck_assert_double_eq(constants.terms.bed_restitution, 0.0);
	ck_assert_double_eq(constants.terms.nap_long, 0.0);
	profile.has_nap = true;
	constants = profile_constants(&profile);
	ck_assert_double_eq(constants.terms.nap_long, -0.0023);
}
END_TEST

/* By its label, else by the design of the shot, else by the table (blackball: the cue ball 47.6 mm
 * and 94 g, the others 50.8 mm and 116 g); diameter and mass each by themselves. */
START_TEST(balls_of_a_shot_go_by_label_then_design_then_table)
{
	static struct labelled_ball balls[] = {{"B", 0.0571, 0.0}, {"C", 0.0, 0.1653}};
	static const struct placement places[] = {
		{.present = true}, {.present = true, .diameter = 0.0523},
		{.present = true, .mass = 0.1431}, {.present = true, .diameter = 0.0523, .mass = 0.1431}};
	static const struct {
		int place;
		enum ball_role role;
		const char *label;
		double diameter, mass;
	} cases[] = {
		{0, BALL_CUE, "A", 0.0476, 0.094},     {0, BALL_OBJECT, "B", 0.0571, 0.116},
		{1, BALL_CUE, "A", 0.0523, 0.094},     {1, BALL_CUE, "B", 0.0571, 0.094},
		{1, BALL_OBJECT2, "C", 0.0523, 0.1653}, {2, BALL_OBJECT, "O", 0.0508, 0.1431},
		{2, BALL_OBJECT, "C", 0.0508, 0.1653}, {3, BALL_CUE, "A", 0.0523, 0.1431},
		{3, BALL_CUE, "B", 0.0571, 0.1431},    {3, BALL_OBJECT2, "C", 0.0523, 0.1653},
	};
	struct session session = session_default();

	session.table = *table_find_preset("blackball-7ft", 13);
	session.balls = balls;
	session.ball_count = COUNT(balls);
	for (size_t i = 0; i < COUNT(cases); i++) {
		double diameter, mass;

		session_placed_ball(&session, &places[cases[i].place], cases[i].role, cases[i].label,
		                    &diameter, &mass);
		ck_assert_double_eq(diameter, cases[i].diameter);
		ck_assert_double_eq(mass, cases[i].mass);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("terms and balls of the model");
	TCase *tests = tcase_create("terms and balls");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(tests, terms_have_their_names_and_limits);
	tcase_add_test(tests, terms_are_found_in_their_places);
	tcase_add_test(tests, a_ball_stops_below_seven_fifths_of_the_rolling_resistance);
	tcase_add_test(tests, a_ball_stops_where_no_nap_pushes_it_on);
	tcase_add_test(tests, a_slope_points_when_it_is_told_from_none);
	tcase_add_test(tests, profiles_give_the_terms_they_hold);
	tcase_add_test(tests, balls_of_a_shot_go_by_label_then_design_then_table);
	suite_add_tcase(suite, tests);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
