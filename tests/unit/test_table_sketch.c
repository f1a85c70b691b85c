/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report_checks.h"

#include "report/table_sketch.h"
#include "session_support.h"

/* Drawings set down by hand: five columns to a diamond along, two rows to one across, so a ball at
 * long 1.5, short 2 stands 7.5 columns (8) right of the head nose and on the fourth row below the
 * left nose. */

static struct session session;

static void setup(void)
{
	session = session_default();
}

static void make(struct shot_design *design, double along, double across)
{
	*design =
	    (struct shot_design){.key = "k", .title = "", .how = "", .tries = 1, .measure = 1};
	design->place[BALL_CUE] = (struct placement){
	    .present = true, .along = {.diamonds = along}, .across = {.diamonds = across}};
	design->aim = (struct aim){.kind = AIM_NOSE, .rail = RAIL_FOOT, .at = across};
	design->launch = (struct launch){.speed = 2.0};
}

START_TEST(straight_up)
{
	struct shot_design design;
	struct text out = {0};
	const char *why;

	make(&design, 1.5, 2);
	ck_assert_int_eq(table_sketch_print(&design, &session, &out, &why), STATUS_OK);
	check_columns(&out);
	check_text(&out,
	           "       0    1    2    3    4    5    6    7    8\n"
	           "     0 +----+----+----+- left --+----+----+----+       C cue ball:\n"
	           "       |                                       |         long 1.5, short 2\n"
	           "     1 +                                       +       . line of aim\n"
	           "       |                                       |\n"
	           "head 2 +       C...............................+ foot\n"
	           "       |                                       |\n"
	           "     3 +                                       +\n"
	           "       |                                       |\n"
	           "     4 +----+----+----+- right -+----+----+----+\n");
}
END_TEST

/* Left is above, right below; a frozen ball stands inside the frame. */
START_TEST(frozen_to_the_left)
{
	struct shot_design design;
	struct text out = {0};
	const char *why;

	make(&design, 6, 0);
	design.place[BALL_CUE].across =
	    (struct place_coordinate){.frozen = true, .rail = RAIL_LEFT};
	design.aim = (struct aim){.kind = AIM_NOSE, .rail = RAIL_RIGHT, .at = 6};
	ck_assert_int_eq(table_sketch_print(&design, &session, &out, &why), STATUS_OK);
	check_columns(&out);
	check_contains(&out, "       |                             C         |  ");
	check_contains(&out, "     3 +                             .         +\n");
	check_says(&out, "long 6, frozen to the");
	text_free(&out);
}
END_TEST

/* Two balls in one cell stand beside each other, on their sides; the aim ends at the ball. */
START_TEST(touching)
{
	struct shot_design design;
	struct text out = {0};
	const char *why;

	make(&design, 3, 1);
	design.place[BALL_OBJECT] = (struct placement){.present = true,
	                                               .touching = true,
	                                               .touched = BALL_CUE,
	                                               .toward_long = 8,
	                                               .toward_short = 1};
	design.aim = (struct aim){.kind = AIM_BALL, .ball = BALL_OBJECT, .fullness = 1.0};
	ck_assert_int_eq(table_sketch_print(&design, &session, &out, &why), STATUS_OK);
	check_columns(&out);
	check_contains(&out, "     1 +              CO                       +");
	text_free(&out);
	design.place[BALL_OBJECT].toward_long = 0;
	ck_assert_int_eq(table_sketch_print(&design, &session, &out, &why), STATUS_OK);
	check_contains(&out, "     1 +             OC                        +");
	text_free(&out);
}
END_TEST

START_TEST(three_balls_and_a_cut)
{
	struct shot_design design;
	struct text out = {0};
	const char *why;

	make(&design, 2, 3);
	design.place[BALL_OBJECT] = (struct placement){
	    .present = true, .along = {.diamonds = 5}, .across = {.diamonds = 3}};
	design.place[BALL_OBJECT2] = (struct placement){
	    .present = true, .along = {.diamonds = 7}, .across = {.diamonds = 1}};
	design.aim = (struct aim){
	    .kind = AIM_BALL, .ball = BALL_OBJECT, .fullness = 0.5, .contact = AIM_SIDE_LEFT};
	ck_assert_int_eq(table_sketch_print(&design, &session, &out, &why), STATUS_OK);
	check_columns(&out);
	check_contains(&out, "     3 +         C..............O              +");
	check_contains(&out, "     1 +                                  2    +");
	text_free(&out);
}
END_TEST

/* What cannot stand on the table is told, and nothing is drawn. */
START_TEST(refused)
{
	struct shot_design design;
	struct text out = {0};
	const char *why = NULL;

	make(&design, 2, 3);
	design.place[BALL_OBJECT] = design.place[BALL_CUE];
	ck_assert_int_eq(table_sketch_print(&design, &session, &out, &why), STATUS_INPUT);
	ck_assert_ptr_nonnull(why);
	ck_assert_uint_eq(out.length, 0);
}
END_TEST

/* Every shot of the shipped protocols fits the space it has. */
START_TEST(shipped)
{
	static const char *const names[] = {"protocols/full.json", "protocols/phone.json",
	                                    "protocols/usual.json"};

	for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
		struct protocol protocol;

		session_support_protocol(session_support_path(names[i]), &protocol);
		for (size_t k = 0; k < protocol.shot_count; k++) {
			struct text out = {0};
			const char *why;
			int lines = 0;

			ck_assert_int_eq(
			    table_sketch_print(&protocol.shots[k], &session, &out, &why),
			    STATUS_OK);
			check_columns(&out);
			check_contains(&out, ". line of aim");
			for (size_t b = 0; b < out.length; b++)
				lines += out.bytes[b] == '\n';
			ck_assert_int_eq(lines, TABLE_SKETCH_ROWS);
			text_free(&out);
		}
		protocol_free(&protocol);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("table sketch");
	TCase *cases = tcase_create("table sketch");

	suite_add_tcase(suite, cases);
	tcase_add_checked_fixture(cases, setup, NULL);
	tcase_add_test(cases, straight_up);
	tcase_add_test(cases, frozen_to_the_left);
	tcase_add_test(cases, touching);
	tcase_add_test(cases, three_balls_and_a_cut);
	tcase_add_test(cases, refused);
	tcase_add_test(cases, shipped);
	return run_suite(suite);
}
