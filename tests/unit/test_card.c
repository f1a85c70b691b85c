/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the sheets of a card are arranged and set. Wanted: what report/card.h and report/card_sheet.h
 * promise. */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/card.h"

/* The library of the fonts keeps what it knows of them until the end of the program, where the leak
 * sanitizer does not find it: its hook for what is not to be told. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
	return "leak:libfontconfig";
}

static struct session session;
static struct shot_design designs[3];
static struct shot_card cards[3];
static struct protocol protocol = {.name = "made-up", .shot_count = 3, .shots = designs};

/* A cross-table shot, and two rolls from one ramp. */
static void make_shots(int tries)
{
	struct constants middle = constants_centre();
	struct constant_draws draws = constant_draws_exact(&middle);
	const char *why;

	session = session_default();
	for (int i = 0; i < 3; i++) {
		designs[i] = (struct shot_design){.key = i == 0   ? "across"
		                                         : i == 1 ? "up"
		                                                  : "down",
		                                  .title = "Made up",
		                                  .how = "A sentence.",
		                                  .tries = tries,
		                                  .aim = {.kind = AIM_POINT,
		                                          .point_long = i == 2 ? 0.25 : 7.75,
		                                          .point_short = 2.5,
		                                          .spread_deg = 0.3},
		                                  .launch = {.by_ramp = i > 0,
		                                             .ramp = i > 0 ? "board" : NULL,
		                                             .groove_deg = 180.0,
		                                             .group_spread = 0.3,
		                                             .speed_spread = 0.1,
		                                             .speed = 0.8}};
		designs[i].place[BALL_CUE] = (struct placement){
		    .present = true, .along = {.diamonds = 3.625}, .across = {.diamonds = 1.5}};
		designs[i].measure = 3u; /* both coordinates of the cue ball's rest */
		ck_assert_int_eq(shot_card_make(&designs[i], &session, &draws, 1, (uint64_t)i, 1,
		                                &cards[i], &why),
		                 STATUS_OK);
	}
}

static void free_shots(void)
{
	for (int i = 0; i < 3; i++)
		shot_card_free(&cards[i]);
}

static struct card_set make_set(enum card_paper paper)
{
	return (struct card_set){.protocol = &protocol,
	                         .session = &session,
	                         .paper = paper,
	                         .constants_words = "made-up constants",
	                         .seed = 1,
	                         .count = 3,
	                         .shots = cards};
}

START_TEST(test_arranged)
{
	static const enum card_leaf_kind wanted[] = {CARD_LEAF_RAMP, CARD_LEAF_SHOT, CARD_LEAF_SHOT,
	                                             CARD_LEAF_SHOT};
	struct card_set set = make_set((enum card_paper)_i);

	make_shots(2);
	ck_assert_int_eq(card_arrange(&set), STATUS_OK);
	ck_assert_uint_eq(set.leaf_count, 4);
	for (size_t i = 0; i < 4; i++)
		ck_assert_int_eq(set.leaves[i].kind, wanted[i]);
	for (size_t i = 1; i < 4; i++) {
		ck_assert_str_eq(set.leaves[i].shot->design->key, designs[i - 1].key);
		ck_assert_int_eq(set.leaves[i].rows, 2);
		ck_assert_double_ge(set.leaves[i].body, CARD_SMALL);
	}
	card_arrange_free(&set);
	free_shots();
}
END_TEST

/* With more tries than have room beside the drawing the boxes have a sheet of their own; with more
 * than that holds, a part of them. */
START_TEST(test_many_tries)
{
	struct card_set set = make_set((enum card_paper)_i);

	make_shots(24);
	ck_assert_int_eq(card_arrange(&set), STATUS_OK);
	ck_assert_uint_eq(set.leaf_count, 7);
	ck_assert_int_eq(set.leaves[1].kind, CARD_LEAF_PLAY);
	ck_assert_int_eq(set.leaves[2].kind, CARD_LEAF_BOXES);
	ck_assert_ptr_eq(set.leaves[1].shot, set.leaves[2].shot);
	ck_assert_int_eq(set.leaves[2].rows, 24);
	card_arrange_free(&set);
	free_shots();
	make_shots(300);
	ck_assert_int_eq(card_arrange(&set), STATUS_OK);
	ck_assert_int_gt(set.leaves[2].rows, 24);
	ck_assert_int_lt(set.leaves[2].rows, 60);
	card_arrange_free(&set);
	free_shots();
}
END_TEST

/* All sheets of a PDF are there, and the same set gives the same bytes. */
START_TEST(test_printed)
{
	struct card_set set = make_set(CARD_A4);
	struct text first = {0}, second = {0}, svg = {0};

	make_shots(2);
	ck_assert_int_eq(card_arrange(&set), STATUS_OK);
	ck_assert_int_eq(card_print_pdf(&set, &first), STATUS_OK);
	ck_assert_int_eq(card_print_pdf(&set, &second), STATUS_OK);
	ck_assert_uint_eq(first.length, second.length);
	ck_assert_mem_eq(first.bytes, second.bytes, first.length);
	ck_assert_mem_eq(first.bytes, "%PDF-", 5);
	for (size_t i = 0; i < set.leaf_count; i++) {
		ck_assert_int_eq(card_print_sheet(&set, i, CANVAS_SVG, &svg), STATUS_OK);
		ck_assert_ptr_nonnull(strstr(text_bytes(&svg), "height=\"297mm\""));
		text_free(&svg);
	}
	text_free(&first);
	text_free(&second);
	card_arrange_free(&set);
	free_shots();
}
END_TEST

/* How many lines words take, in a paragraph of that width. */
static long lines_of(const struct card_sheet *sheet, double width, const char *words)
{
	double bottom = card_paragraph(sheet, 20.0, 0.0, width, CARD_BODY, false, words);

	return lround(bottom / (CARD_LEADING * CARD_BODY));
}

START_TEST(test_paragraph)
{
	struct canvas *canvas = canvas_create(CANVAS_SVG, 210.0, 297.0);
	struct card_sheet sheet = card_sheet_make(canvas, CARD_A4);
	static const char words[] = "Two words here";
	double whole = canvas_words_width(canvas, CARD_BODY, words);
	double two = canvas_words_width(canvas, CARD_BODY, "Two words");
	double word = canvas_words_width(canvas, CARD_BODY, "words");
	struct text unused = {0};

	sheet.measuring = true;
	ck_assert_int_eq(lines_of(&sheet, whole + 0.1, words), 1);
	ck_assert_int_eq(lines_of(&sheet, whole - 0.1, words), 2);
	ck_assert_int_eq(lines_of(&sheet, two + 0.1, words), 2);
	ck_assert_int_eq(lines_of(&sheet, two - 0.1, words), 3);
	ck_assert_int_eq(lines_of(&sheet, word + 0.1, " Two\n\twords  here "), 3);
	/* A word too wide is broken, between characters; nothing takes no line. */
	ck_assert_int_ge(lines_of(&sheet, 0.6 * word, "words"), 2);
	ck_assert_int_eq(lines_of(&sheet, 0.01, "ÄÖ"), 2);
	ck_assert_int_eq(lines_of(&sheet, 50.0, " \n "), 0);
	ck_assert_double_eq_tol(card_fitting_size(&sheet, CARD_TITLE, 1000.0, false, words),
	                        CARD_TITLE, 1e-12);
	ck_assert_double_eq_tol(card_fitting_size(&sheet, CARD_BODY, 0.95 * whole, false, words),
	                        0.95 * CARD_BODY, 1e-3);
	ck_assert_double_eq_tol(card_fitting_size(&sheet, CARD_BODY, 1.0, false, words), CARD_SMALL,
	                        1e-12);
	ck_assert_int_eq(canvas_finish(canvas, &unused), STATUS_OK);
	text_free(&unused);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("card");
	TCase *tests = tcase_create("card");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_loop_test(tests, test_arranged, CARD_A4, CARD_LETTER + 1);
	tcase_add_loop_test(tests, test_many_tries, CARD_A4, CARD_LETTER + 1);
	tcase_add_test(tests, test_printed);
	tcase_add_test(tests, test_paragraph);
	suite_add_tcase(suite, tests);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
