/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "report/omissions_text.h"
#include "report_checks.h"

/* What a fit says of what its model leaves out, from a result made by hand. */

/* Ball friction 0.05, known to 0.1 of its logarithm, and told a third too low by one of two. */
static struct fit_result make_result(void)
{
	struct fit_result fit = {.omission_count = 2};
	struct estimate *ball = &fit.constants[BALL_FRICTION];
	struct fit_omission *fall = &fit.omissions[0];

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		fit.constants[id].state = KNOWLEDGE_NOT_DETERMINED;
		fit.covariance[id][id] = 0.01;
		fit.centre[id] = 0.3;
	}
	fit.centre[BALL_FRICTION] = log(0.05);
	ball->state = KNOWLEDGE_DETERMINED;
	ball->best = (struct interval){0.05, 0.005, 0.05 * exp(-0.1959964), 0.05 * exp(0.1959964)};
	fall->which = OMISSION_BALL_FRICTION_FALL;
	fall->shift[BALL_FRICTION] = log(2.0 / 3.0);
	fall->power = 0.0871;
	fall->large[BALL_FRICTION] = fall->told = true;
	fit.omissions[1].which = OMISSION_HOP;
	fit.omissions[1].shift[BALL_FRICTION] = 0.021;
	fit.omissions[1].power = 0.0493;
	return fit;
}

START_TEST(what_is_large_is_told)
{
	struct fit_result fit = make_result();
	struct text out = {0};

	omissions_text_print(&fit, &out);
	check_columns(&out);
	check_says(&out, "- friction of balls falls with slip speed (by half for each m/s): ball "
	                 "friction -33 %; seen in 9 % to settle it: strike the touching pair");
	check_lacks(&out, "hop");
	text_free(&out);
}
END_TEST

/* Two rails are settled by the same shots: named once. */
START_TEST(a_way_to_settle_is_named_once)
{
	struct fit_result fit = make_result();
	struct text out = {0};
	const char *first;

	fit.omissions[0].which = OMISSION_RAIL_LEFT;
	fit.omissions[1] = fit.omissions[0];
	fit.omissions[1].which = OMISSION_RAIL_FOOT;
	omissions_text_print(&fit, &out);
	check_says(&out, "- the left rail is dead (8 % less lively): ball friction");
	check_says(&out, "- the foot rail is dead (8 % less lively): ball friction");
	first = strstr(text_bytes(&out), "to settle it:");
	ck_assert_ptr_nonnull(first);
	ck_assert_ptr_null(strstr(first + 1, "to settle it:"));
	text_free(&out);
}
END_TEST

START_TEST(nothing_large_is_a_sentence)
{
	struct fit_result fit = make_result();
	struct text out = {0};

	fit.omissions[0].large[BALL_FRICTION] = fit.omissions[0].told = false;
	omissions_text_print(&fit, &out);
	check_columns(&out);
	check_says(&out, "Nothing of it");
	check_lacks(&out, "friction of balls");
	text_free(&out);
	fit.omission_count = 0;
	omissions_text_print(&fit, &out);
	ck_assert_uint_eq(out.length, 0);
	text_free(&out);
}
END_TEST

START_TEST(json_has_all_of_them)
{
	struct fit_result fit = make_result();
	struct json_writer writer;
	struct text out = {0};

	json_start(&writer, &out);
	json_open_object(&writer, NULL, false);
	omissions_text_json(&fit, &writer);
	json_close_object(&writer);
	ck_assert(!out.failed);
	check_says(&out, "\"name\": \"ball_friction_with_speed\", \"assumed\": 0.7");
	check_says(&out, "\"power\": 0.0871, \"told\": true");
	check_says(&out, "\"excess\": -0.33333333333333");
	check_says(&out, "\"large\": true");
	check_says(&out, "\"name\": \"bed_restitution\"");
	check_lacks(&out, "sliding_friction"); /* not told */
	text_free(&out);
}
END_TEST

/* 0.05 exp(-+1.96 sqrt(0.1^2 + ln(1.5)^2)), and 0.05 sqrt(0.1^2 + ln(1.5)^2). */
START_TEST(a_profile_has_the_interval)
{
	struct profile profile = {.tool_version = ""};
	struct profile_model_error *error = &profile.model_errors[BALL_FRICTION];
	struct text out = {0};

	omissions_text_profile(&profile, &out);
	ck_assert_uint_eq(out.length, 0);
	profile.constants[BALL_FRICTION].best.value = 0.05;
	*error = (struct profile_model_error){true, 0.020878, 0.022057, 0.113343,
	                                      "ball_friction_with_speed, foot_rail"};
	omissions_text_profile(&profile, &out);
	check_columns(&out);
	check_says(&out, "ball friction 0.050 \302\261 0.021, 95 % interval 0.022 to 0.113, with a "
	                 "dead foot rail, a fall of ball friction with speed");
	check_lacks(&out, "sliding");
	text_free(&out);
	error->because = "a_later_thing";
	omissions_text_profile(&profile, &out);
	check_says(&out, "with a_later_thing");
	text_free(&out);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("report of omissions");
	TCase *tests = tcase_create("omissions");

	tcase_add_test(tests, what_is_large_is_told);
	tcase_add_test(tests, a_way_to_settle_is_named_once);
	tcase_add_test(tests, nothing_large_is_a_sentence);
	tcase_add_test(tests, json_has_all_of_them);
	tcase_add_test(tests, a_profile_has_the_interval);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
