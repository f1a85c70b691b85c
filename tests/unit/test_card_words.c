/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words of a card. Wanted texts: written by hand from the rules of the header. */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/card_words.h"

static void expect(struct text *found, const char *wanted)
{
	ck_assert_str_eq(text_bytes(found), wanted);
	text_free(found);
}

START_TEST(test_diamonds)
{
	static const struct {
		double diamonds;
		const char *wanted;
	} cases[] = {{0.0, "0"},    {2.0, "2"},     {2.5, "2½"}, {0.125, "⅛"},  {7.875, "7⅞"},
	             {1.25, "1¼"},  {3.375, "3⅜"},  {0.75, "¾"}, {3.3, "3.30"}, {6.62501, "6.63"},
	             {4.625, "4⅝"}, {7.99, "7.99"}, {8.0, "8"}};
	struct text out = {0};

	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		card_words_diamonds(cases[i].diamonds, &out);
		expect(&out, cases[i].wanted);
	}
}
END_TEST

START_TEST(test_lengths)
{
	static const struct {
		double lengths;
		const char *words, *way;
	} cases[] = {
	    {0.03, "less than ⅛ of a table length", ""},
	    {0.26, "¼ of a table length", "a quarter of the way up"},
	    {0.38, "⅜ of a table length", "half of the way up"},
	    {0.76, "¾ of a table length", "three quarters of the way up"},
	    {1.04, "1 table length", "up"},
	    {1.49, "1½ table lengths", "up and half of the way back"},
	    {1.93, "2 table lengths", "up and back, a lag"},
	    {2.07, "2 table lengths", "up and back, a lag"},
	    {2.436, "2½ table lengths", "up, back and half of the way up"},
	    {3.036, "3 table lengths", "up, back and up"},
	    {3.27, "3¼ table lengths", "up, back, up and a quarter of the way back"},
	    {13.1, "13 table lengths", ""},
	};
	struct text out = {0};

	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		card_words_lengths(cases[i].lengths, &out);
		expect(&out, cases[i].words);
		card_words_way(cases[i].lengths, &out);
		expect(&out, cases[i].way);
	}
	card_words_lengths((double)NAN, &out);
	expect(&out, "a speed that no table length tells");
	card_words_way((double)NAN, &out);
	expect(&out, "");
}
END_TEST

START_TEST(test_hit)
{
	struct text out = {0};

	card_words_height(0.4, 0.028575, &out);
	expect(&out, "11.4\u00a0mm above the centre (0.4 of the radius)");
	card_words_height(-0.25, 0.02625, &out);
	expect(&out, "6.6\u00a0mm below the centre (0.25 of the radius)");
	card_words_height(0.0, 0.028575, &out);
	expect(&out, "at the height of the centre");
	card_words_side(0.35, 0.028575, &out);
	expect(&out, "10.0\u00a0mm to the right (0.35 of the radius)");
	card_words_side(-0.45, 0.03075, &out);
	expect(&out, "13.8\u00a0mm to the left (0.45 of the radius)");
	card_words_side(0.0, 0.03075, &out);
	expect(&out, "no side");
}
END_TEST

START_TEST(test_aim)
{
	struct aim aim = {.kind = AIM_SIGHT, .rail = RAIL_FOOT, .at = 3.25};
	struct text out = {0};

	card_words_aim(&aim, &out);
	expect(&out, "at 3¼ on the foot rail, over the sight mark (not on the nose)");
	aim = (struct aim){
	    .kind = AIM_BALL, .ball = BALL_OBJECT, .fullness = 0.625, .contact = AIM_SIDE_LEFT};
	card_words_aim(&aim, &out);
	expect(&out,
	       "at the object ball, 62.5 % full, on its left side as you look along the shot");
	aim.fullness = 0.5;
	aim.contact = AIM_SIDE_RIGHT;
	card_words_aim(&aim, &out);
	expect(&out, "at the object ball, half ball, on its right side as you look along the shot");
}
END_TEST

/* A table on which every outline is told: too large, mostly fallen, drawn. */
START_TEST(test_area)
{
	struct shot_design design = {.key = "x"};
	struct shot_card card = {.design = &design};
	struct ball_area *area = &card.area.balls[BALL_CUE];
	struct outline_point corner = {0.1, 0.1};
	struct text out = {0};

	design.place[BALL_CUE].present = true;
	card.traced.table = table_find_preset("pool-9ft", 8);
	card.area.played = 400;
	*area = (struct ball_area){.rests = 380,
	                           .fallen = 20,
	                           .along = 2.04,
	                           .across = 0.66,
	                           .bed_share = 0.49,
	                           .inside = 336,
	                           .outline = {.count = 1, .corners = &corner}};
	card_words_area(&card, BALL_CUE, &out);
	expect(&out,
	       "The cue ball stops with its centre in the hatched outline, 2.0 diamonds along "
	       "the table and 0.7 across (648\u00a0×\u00a0210\u00a0mm), in 84 of 100 plays. In 5 "
	       "of 100 it falls into a pocket.");
	area->bed_share = 0.51;
	card_words_area(&card, BALL_CUE, &out);
	expect(&out,
	       "The cue ball may stop nearly anywhere: no outline is drawn. In 5 of 100 it falls "
	       "into a pocket.");
	area->rests = 150;
	area->fallen = 210;
	area->left = 40;
	card_words_area(&card, BALL_CUE, &out);
	expect(&out, "The cue ball mostly does not stay on the bed. In 53 of 100 it falls into a "
	             "pocket. In 10 of 100 it leaves the table.");
	card_words_area(&card, BALL_OBJECT, &out);
	expect(&out, "");
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("card words");
	TCase *tests = tcase_create("card words");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(tests, test_diamonds);
	tcase_add_test(tests, test_lengths);
	tcase_add_test(tests, test_hit);
	tcase_add_test(tests, test_aim);
	tcase_add_test(tests, test_area);
	suite_add_tcase(suite, tests);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
