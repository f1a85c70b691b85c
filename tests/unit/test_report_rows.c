/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report_checks.h"

#include "report/fit_text.h"

/* Rows that a fit used otherwise than written, and those that count for little; made by hand, the
 * words are the contract of restpoint-fit(1). */

static struct set_aside_row repaired = {"tuesday.csv", 17, "long-kick",
                                        "used with its sounds moved"};
static struct fit_doubted doubted[2] = {{"monday.csv", 9, "lag", 0.0834},
                                        {"tuesday.csv", 23, "half-ball", 0.4873}};

static struct profile make_profile(void)
{
	struct profile profile = {.tool_version = "0.9.1",
	                          .made = "2026-11-24T23:46:40Z",
	                          .seed = 1,
	                          .shots_used = 15,
	                          .stop_reason = "converged"};

	profile.table = *table_find_preset("pool-9ft", 8);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		profile.constants[id] =
		    (struct estimate){.best = {0.9, 0, 0, 0}, .state = KNOWLEDGE_HELD};
	return profile;
}

static struct fit_result make_fit(void)
{
	return (struct fit_result){.converged = true,
	                           .stop_reason = "converged",
	                           .has_clock = true,
	                           .repaired_count = 1,
	                           .repaired = &repaired,
	                           .doubted_count = 2,
	                           .doubted = doubted};
}

START_TEST(rows_are_told_in_words)
{
	struct profile profile = make_profile();
	struct fit_result fit = make_fit();
	struct text out = {0};

	fit_text_print(STATUS_OK, &fit, &profile, NULL, &out);
	check_columns(&out);
	check_contains(&out, "\nRows used otherwise than written\n"
	                     "  tuesday.csv line 17, shot long-kick: used with its sounds moved\n");
	check_contains(&out, "\nRows that count for little\n  monday.csv line 9, shot lag: went wrong");
	check_says(&out, "by what the other strokes tell; counts with 8 % of its weight "
	                 "tuesday.csv line 23, shot half-ball: went wrong rather than right, by what "
	                 "the other strokes tell; counts with 49 % of its weight");
	text_free(&out);
}
END_TEST

START_TEST(rows_are_told_in_json)
{
	struct profile profile = make_profile();
	struct fit_result fit = make_fit();
	struct text out = {0};

	fit_json_print(STATUS_OK, &fit, &profile, NULL, "{}", &out);
	check_contains(&out, "\"repaired\": [\n    { \"file\": \"tuesday.csv\", \"line\": 17, "
	                     "\"shot\": \"long-kick\", \"reason\": \"used with its sounds moved\" }\n");
	check_contains(&out, "{ \"file\": \"monday.csv\", \"line\": 9, \"shot\": \"lag\", "
	                     "\"weight\": 0.0834 },\n");
	text_free(&out);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("report of rows");
	TCase *tests = tcase_create("rows");

	suite_add_tcase(suite, tests);
	tcase_add_test(tests, rows_are_told_in_words);
	tcase_add_test(tests, rows_are_told_in_json);
	return run_suite(suite);
}
