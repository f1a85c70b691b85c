/* SPDX-License-Identifier: GPL-3.0-or-later */

/* What a protocol says of its balls reaches the shot that is played and the cells that are read; what
 * a measurement file says of the very ball goes before it (restpoint-protocol(5)). The sizes are those
 * of corpus/good-protocol-balls.json: cue 47.6 mm and 94 g, object 121 g, object2 52.3 mm and 143 g,
 * touching the object ball; pool-9ft has 57.15 mm and 163 g, a diamond is 317.5 mm. */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "estimate/stroke_model.h"
#include "files_support.h"

static struct support_finder context;
static struct fault_list faults;
static struct measurement measurement;
static const struct protocol *protocol;

static void read_session(const char *settings, const char *row)
{
	struct protocol_finder finder = support_finder(&context);
	struct text text = {0};

	text_print(&text,
	           "#protocol,good-protocol-balls.json\n%sshot,cue_ball,object_ball,cue_rest_long,"
	           "object_rest_short,object2_rest_long\n%s\n",
	           settings, row);
	ck_assert_int_eq(measurement_file_parse("x.csv", text.bytes, text.length, &finder,
	                                        &measurement, &protocol, &faults),
	                 STATUS_OK);
	text_free(&text);
}

static void setup(void)
{
	memset(&context, 0, sizeof context);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
}

static void teardown(void)
{
	measurement_free(&measurement);
	support_finder_free(&context);
	fault_list_free(&faults);
}

static struct shot_setup scene_setup(void)
{
	const struct stroke_row *row = &measurement.rows[0];
	struct stroke_scene scene;
	const char *why = "";

	ck_assert_msg(stroke_scene_make(&scene, &protocol->shots[0], &measurement.session, row->ball,
	                                0, &why),
	              "%s", why);
	return scene.setup;
}

static void check_body(const struct shot_setup *shot, enum ball_role role, double diameter,
                       double mass)
{
	ck_assert_double_eq(2.0 * shot->bodies[role].radius, diameter);
	ck_assert_double_eq(shot->bodies[role].mass, mass);
	ck_assert_double_eq(shot->balls[role].position.z, 0.5 * diameter);
}

START_TEST(the_design_is_played)
{
	read_session("", "unequal,A,O,1.5,2,");
	struct shot_setup shot = scene_setup();
	const struct vector3 *object = &shot.balls[BALL_OBJECT].position;
	const struct vector3 *second = &shot.balls[BALL_OBJECT2].position;

	check_body(&shot, BALL_CUE, 0.0476, 0.094);
	check_body(&shot, BALL_OBJECT, 0.05715, 0.121);
	check_body(&shot, BALL_OBJECT2, 0.0523, 0.143);
	/* 2 sqrt(R1 R2): the diameters' geometric mean. */
	ck_assert_double_eq_tol(hypot(second->x - object->x, second->y - object->y),
	                        sqrt(0.05715 * 0.0523), 1e-15);
}
END_TEST

START_TEST(the_very_ball_goes_before_the_design)
{
	read_session("#ball_diameter_m,0.0561\n#ball_mass_kg,0.1571\n#ball_diameter_m:B,0.0499\n"
	             "#ball_mass_kg:O,0.1283\n",
	             "unequal,B,O,1.5,2,");
	struct shot_setup shot = scene_setup();

	check_body(&shot, BALL_CUE, 0.0499, 0.094);
	check_body(&shot, BALL_OBJECT, 0.0561, 0.1283);
	check_body(&shot, BALL_OBJECT2, 0.0523, 0.1283);
}
END_TEST

static double reading(const char *name)
{
	int number;

	ck_assert(quantity_from_name(name, strlen(name), &number));
	ck_assert_int_eq(measurement.rows[0].readings[number].kind, READING_VALUE);
	return measurement.rows[0].readings[number].value;
}

/* A frozen ball's centre is one radius from the nose: of this ball. */
START_TEST(frozen_cells_go_by_the_balls_own_radius)
{
	read_session("", "unequal,A,O,f foot,f left,f head");
	ck_assert_double_eq_tol(reading("cue_rest_long"), (2.54 - 0.0238) / 0.3175, 1e-14);
	ck_assert_double_eq_tol(reading("object_rest_short"), 0.028575 / 0.3175, 1e-14);
	ck_assert_double_eq_tol(reading("object2_rest_long"), 0.02615 / 0.3175, 1e-14);
	measurement_free(&measurement);
	read_session("#ball_diameter_m:A,0.0499\n", "unequal,A,O,f foot,f left,f head");
	ck_assert_double_eq_tol(reading("cue_rest_long"), (2.54 - 0.02495) / 0.3175, 1e-14);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("placed balls");
	TCase *tests = tcase_create("placed balls");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_add_test(tests, the_design_is_played);
	tcase_add_test(tests, the_very_ball_goes_before_the_design);
	tcase_add_test(tests, frozen_cells_go_by_the_balls_own_radius);
	suite_add_tcase(suite, tests);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
