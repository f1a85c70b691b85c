/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>

#include "report/drawing_labels.h"
#include "report_checks.h"

/* Labels in a drawing. Expected: what src/report/drawing_labels.h promises, where there is room. */

static bool boxes_meet(struct label_box a, struct label_box b)
{
	return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

/* Twenty labels around a crossing of two lines: none on another, on a line or outside. */
START_TEST(test_labels_find_room)
{
	struct label_field field = {.limits = {3.0, 4.0, 97.0, 61.0}};
	struct label_box placed[20];

	label_field_add_line(&field, (struct canvas_point){5.0, 31.7},
	                     (struct canvas_point){95.0, 31.7});
	label_field_add_line(&field, (struct canvas_point){49.3, 5.0},
	                     (struct canvas_point){49.3, 60.0});
	for (int i = 0; i < 20; i++) {
		struct canvas_point at = {49.3 + 0.71 * i, 31.7};
		bool far;

		placed[i] = label_field_place(&field, at, 6.3, 2.1, 1.0, &far);
		ck_assert_double_eq_tol(placed[i].right - placed[i].left, 6.3, 1e-9);
		ck_assert_double_eq_tol(placed[i].bottom - placed[i].top, 2.1, 1e-9);
		ck_assert(placed[i].left >= 3.0 && placed[i].right <= 97.0);
		ck_assert(placed[i].top >= 4.0 && placed[i].bottom <= 61.0);
		ck_assert(placed[i].bottom < 31.7 || placed[i].top > 31.7);
		ck_assert(placed[i].right < 49.3 || placed[i].left > 49.3);
		for (int k = 0; k < i; k++)
			ck_assert(!boxes_meet(placed[i], placed[k]));
	}
	ck_assert(!field.memory_out);
	label_field_free(&field);
}
END_TEST

static double distance_to(struct label_box box, struct canvas_point at)
{
	double x = fmax(0.0, fmax(box.left - at.x, at.x - box.right));
	double y = fmax(0.0, fmax(box.top - at.y, at.y - box.bottom));

	return hypot(x, y);
}

/* Between two points that both want a name each name lies nearer to its own. */
START_TEST(test_labels_keep_to_their_points)
{
	struct label_field field = {.limits = {0.0, 0.0, 80.0, 50.0}};
	struct canvas_point points[] = {{31.7, 22.3}, {37.9, 23.1}};

	for (int i = 0; i < 2; i++)
		label_field_add_rival(&field, points[i]);
	for (int i = 0; i < 2; i++) {
		bool far;
		struct label_box box = label_field_place(&field, points[i], 9.1, 1.9, 3.3, &far);
		double own = distance_to(box, points[i]), other = distance_to(box, points[1 - i]);

		ck_assert(!far);
		ck_assert_double_ge(own, 3.25);
		ck_assert_double_gt(other, own + 1.0);
	}
	label_field_free(&field);
}
END_TEST

/* Where all room near a point is taken the label goes far off and says so. */
START_TEST(test_label_far_off)
{
	struct label_field field = {.limits = {0.0, 0.0, 80.0, 50.0}};
	struct label_box box, taken = {33.1, 18.4, 46.2, 31.7};
	bool far;

	label_field_add_box(&field, taken);
	box = label_field_place(&field, (struct canvas_point){39.4, 25.2}, 3.5, 3.5, 0.5, &far);
	ck_assert(far);
	ck_assert(!boxes_meet(box, taken));
	label_field_free(&field);
}
END_TEST

static Suite *make_suite(void)
{
	Suite *suite = suite_create("drawing labels");
	TCase *tests = tcase_create("labels");

	tcase_add_test(tests, test_labels_find_room);
	tcase_add_test(tests, test_labels_keep_to_their_points);
	tcase_add_test(tests, test_label_far_off);
	suite_add_tcase(suite, tests);
	return suite;
}

int main(void)
{
	return run_suite(make_suite());
}
