/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/constants.h"
#include "model/measurement.h"
#include "model/profile.h"
#include "model/protocol.h"
#include "model/quantity.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* --- Constants: the table of physics.md 8 -------------------------------------------------- */

static const struct {
	const char *name;
	enum constant_scale scale;
	double centre, factor; /* log: 1 sd is this factor; logit: 1 sd */
	double lowest, highest;
} priors[] = {
	{"sliding_friction", SCALE_LOG, 0.20, 1.6, 0.03, 0.6},
	{"rolling_resistance", SCALE_LOG, 0.010, 1.6, 0.002, 0.05},
	{"spin_friction", SCALE_LOG, 0.010, 2.0, 0.001, 0.06},
	{"cushion_restitution", SCALE_LOGIT, 0.93, 0.6, 0.5, 1.0},
	{"cushion_friction", SCALE_LOG, 0.17, 1.6, 0.02, 0.5},
	{"ball_restitution", SCALE_LOGIT, 0.95, 0.5, 0.8, 1.0},
	{"ball_friction", SCALE_LOG, 0.06, 1.8, 0.003, 0.25},
};

START_TEST(priors_are_those_of_the_contract)
{
	struct constants centre = constants_centre();

	ck_assert_uint_eq(COUNT(priors), CONSTANT_COUNT);
	for (unsigned i = 0; i < COUNT(priors); i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);
		enum constant_id id = CONSTANT_COUNT;

		ck_assert_str_eq(prior->name, priors[i].name);
		ck_assert_int_eq(prior->scale, priors[i].scale);
		ck_assert_double_eq(prior->centre, priors[i].centre);
		ck_assert_double_eq(centre.value[i], priors[i].centre);
		ck_assert_double_eq_tol(priors[i].scale == SCALE_LOG ? exp(prior->spread)
		                                                     : prior->spread,
		                        priors[i].factor, 1e-15);
		ck_assert_double_eq(prior->lowest, priors[i].lowest);
		ck_assert_double_eq(prior->highest, priors[i].highest);
		ck_assert_uint_gt(strlen(prior->title), 8);
		ck_assert_uint_gt(strlen(prior->source), 7);
		ck_assert(constant_from_name(priors[i].name, strlen(priors[i].name), &id));
		ck_assert_uint_eq(id, i);
	}
}
END_TEST

START_TEST(only_whole_names_are_constants)
{
	static const char *const others[] = {"", "sliding", "sliding_frictio", "sliding_frictions",
	                                     "Ball_friction", "grip"};
	enum constant_id id;

	for (size_t i = 0; i < COUNT(others); i++)
		ck_assert(!constant_from_name(others[i], strlen(others[i]), &id));
	ck_assert(constant_from_name("ball_friction\": 0.06", 13, &id) && id == BALL_FRICTION);
}
END_TEST

START_TEST(scales_are_log_and_logit)
{
	/* By hand: logit 0.93 = log(93 / 7), logit 0.8 = log 4. */
	ck_assert_double_eq_tol(constant_to_scale(CUSHION_RESTITUTION, 0.93), log(93.0 / 7.0),
	                        1e-14);
	ck_assert_double_eq_tol(constant_to_scale(BALL_RESTITUTION, 0.8), log(4.0), 1e-15);
	ck_assert_double_eq_tol(constant_to_scale(SLIDING_FRICTION, 0.2), -log(5.0), 1e-15);
	ck_assert_double_eq_tol(constant_scale_slope(CUSHION_RESTITUTION, 0.93), 0.0651, 1e-15);
	ck_assert_double_eq(constant_scale_slope(BALL_FRICTION, 0.0625), 0.0625);
	/* Far out nothing is lost: 1 / (1 + exp 40), and 1 - v near 1. */
	ck_assert_double_eq_tol(constant_from_scale(BALL_RESTITUTION, -40.0) * 1e18,
	                        4.248354255291589, 1e-13);
	ck_assert_double_eq(constant_from_scale(BALL_RESTITUTION, 800.0), 1.0);
	ck_assert_double_eq(constant_from_scale(BALL_RESTITUTION, -800.0), 0.0);
}
END_TEST

START_TEST(scales_lead_back_and_slopes_are_derivatives)
{
	for (unsigned i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);

		for (int k = 0; k < 50; k++) {
			double part = (k + 0.37) / 50.0, step = 1e-5;
			double value = prior->lowest + part * (prior->highest - prior->lowest);
			double scaled = constant_to_scale((enum constant_id)i, value);
			double up = constant_from_scale((enum constant_id)i, scaled + step);
			double down = constant_from_scale((enum constant_id)i, scaled - step);
			double slope = constant_scale_slope((enum constant_id)i, value);

			ck_assert_double_eq_tol(constant_from_scale((enum constant_id)i, scaled) /
			                        value, 1.0, 1e-14);
			/* A central difference is off by step^2 / 6 of the third derivative, which
			 * is below the slope itself, and by rounding. */
			ck_assert_double_eq_tol((up - down) / (2.0 * step), slope,
			                        1e-10 * slope + 1e-10);
		}
	}
}
END_TEST

/* --- Quantities: the columns of formats.md 3 ----------------------------------------------- */

static const char *const columns[] = {
	"cue_rest_long", "cue_rest_short", "cue_rail1", "cue_rail2", "cue_rail3", "cue_rail4",
	"object_rest_long", "object_rest_short", "object_rail1", "object_rail2", "object_rail3",
	"object_rail4", "object2_rest_long", "object2_rest_short", "object2_rail1",
	"object2_rail2", "object2_rail3", "object2_rail4", "watch1", "watch2", "sound1", "sound2",
	"sound3", "sound4", "sound5", "sound6", "sound7", "sound8",
};

START_TEST(quantities_are_the_columns_in_order)
{
	ck_assert_uint_eq(COUNT(columns), QUANTITY_COUNT);
	for (int i = 0; i < QUANTITY_COUNT; i++) {
		int number = -1;

		ck_assert_str_eq(quantity_name(i), columns[i]);
		ck_assert(quantity_from_name(columns[i], strlen(columns[i]), &number));
		ck_assert_int_eq(number, i);
		ck_assert_int_eq(quantity_number(quantity_at(i)), i);
	}
}
END_TEST

/* What a number stands for is built into its name. */
START_TEST(quantities_say_what_they_are)
{
	static const char *const kinds[] = {"_rest_long", "_rest_short", "_rail", "watch", "sound"};

	for (int i = 0; i < QUANTITY_COUNT; i++) {
		struct quantity quantity = quantity_at(i);
		bool of_ball = quantity.kind <= QUANTITY_RAIL;
		char name[32], number[8] = "";

		if (quantity.kind >= QUANTITY_RAIL)
			snprintf(number, sizeof number, "%d", quantity.number);
		else
			ck_assert_int_eq(quantity.number, 0);
		snprintf(name, sizeof name, "%s%s%s", of_ball ? ball_role_name(quantity.ball) : "",
		         kinds[quantity.kind], number);
		ck_assert_str_eq(name, columns[i]);
	}
}
END_TEST

START_TEST(other_words_are_no_quantities)
{
	static const char *const others[] = {
		"", "cue_rail0", "cue_rail5", "cue_rail", "sound0", "sound9", "watch3", "watch",
		"cue_rest", "object3_rail1", "Cue_rail1", "cue_rail1 ", "cue_rail12", "valid",
	};
	static const char *const balls[] = {"", "cu", "cues", "object1", "object22", "Cue"};
	enum ball_role role;
	int number;

	for (size_t i = 0; i < COUNT(others); i++)
		ck_assert_msg(!quantity_from_name(others[i], strlen(others[i]), &number), "%s",
		              others[i]);
	for (size_t i = 0; i < COUNT(balls); i++)
		ck_assert(!ball_role_from_name(balls[i], strlen(balls[i]), &role));
	ck_assert(ball_role_from_name("object2", 7, &role) && role == BALL_OBJECT2);
	ck_assert(ball_role_from_name("object2", 6, &role) && role == BALL_OBJECT);
	ck_assert(ball_role_from_name("cue", 3, &role) && role == BALL_CUE);
}
END_TEST

/* --- Moments: the events of formats.md 3 --------------------------------------------------- */

static const struct {
	const char *name;
	struct moment moment;
} moments[] = {
	{"strike", {MOMENT_STRIKE, BALL_CUE, 0}},
	{"cue_rail1", {MOMENT_RAIL, BALL_CUE, 1}},
	{"cue_rail4", {MOMENT_RAIL, BALL_CUE, 4}},
	{"object_rail2", {MOMENT_RAIL, BALL_OBJECT, 2}},
	{"object2_rail3", {MOMENT_RAIL, BALL_OBJECT2, 3}},
	{"contact1", {MOMENT_CONTACT, BALL_CUE, 1}},
	{"contact2", {MOMENT_CONTACT, BALL_CUE, 2}},
	{"cue_rest", {MOMENT_REST, BALL_CUE, 0}},
	{"object_rest", {MOMENT_REST, BALL_OBJECT, 0}},
	{"object2_rest", {MOMENT_REST, BALL_OBJECT2, 0}},
	{"cue_still", {MOMENT_STILL, BALL_CUE, 0}},
	{"object_still", {MOMENT_STILL, BALL_OBJECT, 0}},
	{"object2_still", {MOMENT_STILL, BALL_OBJECT2, 0}},
};

START_TEST(moments_have_their_names)
{
	static const char *const others[] = {
		"", "Strike", "rail1", "cue_rail0", "cue_rail5", "contact", "contact0", "contact3",
		"cue_rest1", "cue", "object3_rest", "cue_stills", "cue_rest_long",
	};
	struct moment read;
	char name[24];

	for (size_t i = 0; i < COUNT(moments); i++) {
		moment_name(moments[i].moment, name);
		ck_assert_str_eq(name, moments[i].name);
		ck_assert(moment_from_name(name, strlen(name), &read));
		ck_assert_int_eq(read.kind, moments[i].moment.kind);
		ck_assert_int_eq(read.ball, moments[i].moment.ball);
		ck_assert_int_eq(read.number, moments[i].moment.number);
	}
	for (size_t i = 0; i < COUNT(others); i++)
		ck_assert_msg(!moment_from_name(others[i], strlen(others[i]), &read), "%s",
		              others[i]);
}
END_TEST

/* --- Protocol, measurement, profile -------------------------------------------------------- */

START_TEST(shots_are_found_by_key)
{
	struct shot_design shots[3] = {{.key = "lag"}, {.key = "lag-two-splits"}, {.key = "stop"}};
	struct protocol protocol = {.shot_count = 3, .shots = shots};

	ck_assert_ptr_eq(protocol_find_shot(&protocol, "lag-two-splits"), &shots[1]);
	ck_assert_ptr_eq(protocol_find_shot(&protocol, "lag"), &shots[0]);
	ck_assert_ptr_null(protocol_find_shot(&protocol, "la"));
	ck_assert_ptr_null(protocol_find_shot(&(struct protocol){0}, "lag"));
}
END_TEST

/* The defaults of formats.md 3. */
START_TEST(sessions_start_with_the_defaults)
{
	struct session session = session_default();

	ck_assert_str_eq(session.table.preset, "pool-9ft");
	ck_assert_str_eq(session.reference_ball, "A");
	ck_assert_double_eq(session.errors.position, 0.05);
	ck_assert_double_eq(session.errors.rail, 0.1);
	ck_assert_double_eq(session.errors.watch, 0.10);
	ck_assert_double_eq(session.errors.rest_watch, 0.25);
	ck_assert_double_eq(session.errors.sound, 0.003);
	ck_assert_double_eq(session.errors.frames_per_second, 0.0);
	ck_assert_double_eq(session.diamond_value, 1.0);
	ck_assert_double_eq(session.cue_end_mass_ratio, 0.0);
	ck_assert_double_eq(session.tip_width, 0.0);
	ck_assert(!session.microphone_known && session.protocol == NULL && session.ball_count == 0);
	for (int i = 0; i < SESSION_NOTES; i++)
		ck_assert_ptr_null(session.notes[i]);
}
END_TEST

START_TEST(notes_are_the_settings_in_order)
{
	static const char *const names[] = {
		"session", "date", "place", "table_name", "ball_set", "cloth", "cloth_days",
		"temperature_c", "humidity_percent", "player", "note",
	};

	ck_assert_uint_eq(COUNT(names), SESSION_NOTES);
	for (unsigned i = 0; i < COUNT(names); i++)
		ck_assert_str_eq(session_note_name((enum session_note)i), names[i]);
}
END_TEST

START_TEST(balls_are_those_of_the_table_unless_stated)
{
	static struct labelled_ball balls[] = {{"B", 0.0571, 0.0}, {"C", 0.0, 0.1653},
	                                       {"D", 0.0523, 0.1471}};
	static const struct {
		enum ball_role role;
		const char *label;
		double diameter, mass;
	} cases[] = {
		{BALL_CUE, "A", 0.0476, 0.094},     {BALL_OBJECT, "O", 0.0508, 0.116},
		{BALL_OBJECT2, "A", 0.0508, 0.116}, {BALL_CUE, "B", 0.0571, 0.094},
		{BALL_OBJECT, "C", 0.0508, 0.1653}, {BALL_CUE, "D", 0.0523, 0.1471},
		{BALL_OBJECT2, "d", 0.0508, 0.116},
	};
	struct session session = session_default();

	session.table = *table_find_preset("blackball-7ft", 13);
	session.balls = balls;
	session.ball_count = COUNT(balls);
	for (size_t i = 0; i < COUNT(cases); i++) {
		double diameter, mass;

		session_ball(&session, cases[i].role, cases[i].label, &diameter, &mass);
		ck_assert_double_eq(diameter, cases[i].diameter);
		ck_assert_double_eq(mass, cases[i].mass);
	}
}
END_TEST

/* The words of formats.md 5. */
START_TEST(profiles_use_the_words_of_the_contract)
{
	static const char *const states[] = {"held", "at-limit", "not-determined", "weak",
	                                     "determined"};
	static const char *const conditions[] = {
		"one_length_time_s", "stun_slide_diamonds", "square_rail_speed_kept_percent",
		"full_side_return_diamonds", "half_ball_throw_deg", "full_side_lasts_s",
	};
	enum knowledge knowledge;
	enum condition_id id;

	ck_assert_uint_eq(COUNT(states), KNOWLEDGE_COUNT);
	ck_assert_uint_eq(COUNT(conditions), CONDITION_COUNT);
	for (unsigned i = 0; i < COUNT(states); i++) {
		ck_assert_str_eq(knowledge_name((enum knowledge)i), states[i]);
		ck_assert(knowledge_from_name(states[i], strlen(states[i]), &knowledge));
		ck_assert_uint_eq(knowledge, i);
	}
	for (unsigned i = 0; i < COUNT(conditions); i++) {
		ck_assert_str_eq(condition_name((enum condition_id)i), conditions[i]);
		ck_assert(condition_from_name(conditions[i], strlen(conditions[i]), &id));
		ck_assert_uint_eq(id, i);
	}
	ck_assert(!knowledge_from_name("at_limit", 8, &knowledge));
	ck_assert(!knowledge_from_name("determine", 9, &knowledge));
	ck_assert(!condition_from_name("full_side_lasts", 15, &id));
	ck_assert(!condition_from_name("", 0, &id));
}
END_TEST

START_TEST(profiles_give_their_best_values)
{
	struct profile profile = {0};
	struct constants constants = {.terms = {0.0}};

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		profile.constants[i].best.value = 0.031 + 0.117 * i;
		profile.constants[i].posterior.value = 7.0;
	}
	profile.constants[SPIN_FRICTION].state = KNOWLEDGE_NOT_DETERMINED;
	profile.constants[SPIN_FRICTION].has_posterior = true;
	constants = profile_constants(&profile);
	for (int i = 0; i < CONSTANT_COUNT; i++)
		ck_assert_double_eq(constants.value[i], 0.031 + 0.117 * i);
}
END_TEST

/* That memory goes back is what a leak checker sees; here, that all is safe twice. */
START_TEST(documents_are_given_back_whole)
{
	struct protocol protocol = {.arena = arena_create()};
	struct measurement measurement = {.arena = arena_create(), .row_count = 3};
	struct profile profile = {.arena = arena_create(), .shots_used = 15};

	protocol.name = arena_copy(protocol.arena, "lag", 3);
	measurement.file = arena_copy(measurement.arena, "x.csv", 5);
	profile.made = arena_copy(profile.arena, "2026", 4);
	for (int i = 0; i < 2; i++) {
		protocol_free(&protocol);
		measurement_free(&measurement);
		profile_free(&profile);
		ck_assert_ptr_null(protocol.name);
		ck_assert_uint_eq(measurement.row_count, 0);
		ck_assert_uint_eq(profile.shots_used, 0);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("model");
	TCase *test_case = tcase_create("model");
	SRunner *runner = srunner_create(suite);
	int failed;

	suite_add_tcase(suite, test_case);
	tcase_add_test(test_case, priors_are_those_of_the_contract);
	tcase_add_test(test_case, only_whole_names_are_constants);
	tcase_add_test(test_case, scales_are_log_and_logit);
	tcase_add_test(test_case, scales_lead_back_and_slopes_are_derivatives);
	tcase_add_test(test_case, quantities_are_the_columns_in_order);
	tcase_add_test(test_case, quantities_say_what_they_are);
	tcase_add_test(test_case, other_words_are_no_quantities);
	tcase_add_test(test_case, moments_have_their_names);
	tcase_add_test(test_case, shots_are_found_by_key);
	tcase_add_test(test_case, sessions_start_with_the_defaults);
	tcase_add_test(test_case, notes_are_the_settings_in_order);
	tcase_add_test(test_case, balls_are_those_of_the_table_unless_stated);
	tcase_add_test(test_case, profiles_use_the_words_of_the_contract);
	tcase_add_test(test_case, profiles_give_their_best_values);
	tcase_add_test(test_case, documents_are_given_back_whole);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
