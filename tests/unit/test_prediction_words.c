/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of a prediction. Expected values: written by hand from the rules in the headers. */
#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "report/prediction_words.h"

static void check_words(struct text *words, const char *wanted)
{
	ck_assert_str_eq(text_bytes(words), wanted);
	ck_assert(!words->failed);
	text_free(words);
}

/* Never "every" where one play is missing, never "no" where there is one. */
START_TEST(test_share)
{
	static const struct {
		size_t count, all;
		const char *words;
	} cases[] = {{0, 4000, "in no play"},
	             {1, 4000, "in less than 1 of 1000 plays"},
	             {2, 4000, "in 1 of 1000 plays"},
	             {19, 4000, "in 5 of 1000 plays"},
	             {20, 4000, "in 1 of 100 plays"},
	             {1237, 4000, "in 31 of 100 plays"},
	             {3979, 4000, "in 99 of 100 plays"},
	             {3981, 4000, "in nearly every play"},
	             {3999, 4000, "in nearly every play"},
	             {4000, 4000, "in every play"},
	             {0, 0, "in no play"}};

	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct text words = {0};

		prediction_words_share(cases[i].count, cases[i].all, &words);
		check_words(&words, cases[i].words);
	}
}
END_TEST

static int number_of(enum quantity_kind kind, int number)
{
	return quantity_number((struct quantity){kind, BALL_CUE, number});
}

/* Two significant digits of a standard error, which is the width over 3.92: 0.33/3.92 = 0.084 asks
 * for three decimals, of which diamonds show two and seconds all; 3.1/3.92 = 0.79 for two, and
 * 9.7/3.92 = 2.5 for one. */
START_TEST(test_span)
{
	struct predicted_reading reading = {.quantity = number_of(QUANTITY_REST_LONG, 0),
	                                    .designed = true,
	                                    .as_designed = 2.31749,
	                                    .designed_rail = RAIL_COUNT,
	                                    .seen = 3,
	                                    .rail = RAIL_COUNT,
	                                    .span = {2.4, 2.20813, 2.53813}};
	struct text words = {0};

	prediction_words_span(&reading, &words);
	check_words(&words, "2.32 diamonds (2.21 to 2.54)");
	reading.quantity = number_of(QUANTITY_WATCH, 1);
	prediction_words_span(&reading, &words);
	check_words(&words, "2.317 s (2.208 to 2.538)");
	reading.span.high95 = reading.span.low95 + 3.1;
	prediction_words_span(&reading, &words);
	check_words(&words, "2.32 s (2.21 to 5.31)");
	reading.span.high95 = reading.span.low95 + 9.7;
	prediction_words_span(&reading, &words);
	check_words(&words, "2.3 s (2.2 to 11.9)");
	/* Not as designed: the median. */
	reading.designed = false;
	prediction_words_span(&reading, &words);
	check_words(&words, "2.4 s (2.2 to 11.9)");
}
END_TEST

START_TEST(test_rail)
{
	struct prediction prediction = {.played = 1000};
	struct predicted_reading reading = {.quantity = number_of(QUANTITY_RAIL, 2),
	                                    .designed = true,
	                                    .as_designed = 3.117,
	                                    .designed_rail = RAIL_LEFT,
	                                    .seen = 995,
	                                    .rails = {0, 31, 955, 9},
	                                    .rail = RAIL_LEFT,
	                                    .span = {3.2, 2.713, 3.413}};
	struct text words = {0};

	prediction_words_rail(&prediction, &reading, &words);
	check_words(&words,
	            "left rail at long 3.12 diamonds (2.71 to 3.41), in 96 of 100 plays; else the "
	            "foot rail in 3 of 100 plays");
	reading.designed = false;
	reading.designed_rail = RAIL_COUNT;
	reading.rail = RAIL_FOOT;
	reading.rails[RAIL_LEFT] = 0;
	prediction_words_rail(&prediction, &reading, &words);
	check_words(
	    &words,
	    "foot rail at short 3.20 diamonds (2.71 to 3.41), in 3 of 100 plays, not as designed");
	reading = (struct predicted_reading){.quantity = number_of(QUANTITY_RAIL, 2),
	                                     .designed = true,
	                                     .designed_rail = RAIL_HEAD,
	                                     .rail = RAIL_COUNT};
	prediction_words_rail(&prediction, &reading, &words);
	check_words(&words, "head rail as designed, in no play");
}
END_TEST

/* A fall is told as designed, or from 1 of 1000 plays on. */
START_TEST(test_falls)
{
	struct prediction prediction = {.played = 2000};
	struct predicted_ball *ball = &prediction.balls[BALL_OBJECT];
	struct text words = {0};

	ball->designed_pocket = 4;
	ball->pockets[1] = 2;
	ball->pockets[2] = 1;
	ck_assert(prediction_words_falls(&prediction, BALL_OBJECT, 4));
	ck_assert(prediction_words_falls(&prediction, BALL_OBJECT, 1));
	ck_assert(!prediction_words_falls(&prediction, BALL_OBJECT, 2));
	ck_assert(!prediction_words_falls(&prediction, BALL_OBJECT, 0));
	prediction_words_fall(&prediction, BALL_OBJECT, 4, &words);
	check_words(&words, "into the foot left corner pocket, in no play, as designed");
	prediction_words_fall(&prediction, BALL_OBJECT, 1, &words);
	check_words(&words, "into the head right corner pocket, in 1 of 1000 plays");
}
END_TEST

/* Each constant that was not measured is named, with its prior; a measured one is not. */
START_TEST(test_priors)
{
	struct profile profile = {.table = *table_presets(&(size_t){0})};
	struct prediction_set set = {.profile = &profile};
	struct remarks remarks;
	struct text words = {0};

	for (int i = 0; i < CONSTANT_COUNT; i++)
		profile.constants[i] =
		    (struct estimate){.best.value = 0.1, .state = KNOWLEDGE_DETERMINED};
	prediction_words_priors(&set, "prior: ", &words);
	check_words(&words, "");
	profile.constants[ROLLING_RESISTANCE] =
	    (struct estimate){.best = {0.01, 0.0047, 0.00398, 0.02513},
	                      .state = KNOWLEDGE_NOT_DETERMINED,
	                      .has_interval = true};
	profile.constants[BALL_FRICTION].state = KNOWLEDGE_NOT_DETERMINED;
	prediction_words_priors(&set, "prior: ", &words);
	check_words(&words, "prior: rolling resistance, ball friction");
	ck_assert(remarks_create(&remarks));
	prediction_words_remarks(&set, &remarks);
	ck_assert_uint_eq(remarks.count, 2);
	ck_assert_str_eq(remarks.items[0],
	                 "Rolling resistance was not determined; its prior is used: "
	                 "0.0100, 95 % interval 0.0040 to 0.0251.");
	ck_assert_str_eq(remarks.items[1], "Ball friction was not determined; its prior is used.");
	remarks_free(&remarks);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("prediction words");
	TCase *tests = tcase_create("prediction words");
	SRunner *runner;
	int failed;

	tcase_add_test(tests, test_share);
	tcase_add_test(tests, test_span);
	tcase_add_test(tests, test_rail);
	tcase_add_test(tests, test_falls);
	tcase_add_test(tests, test_priors);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
