/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The outline around the bulk of points: what it holds of points that it was not made from. Wanted
 * shares: the exact ones of the distributions (normal: chi-square with 2 degrees of freedom; uniform:
 * areas), and for the hull of a finite sample the range that the header states. */
#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "advise/outline.h"
#include "base/random.h"

#define POINTS 600
#define FRESH 4000
#define SHARE 0.9
#define ROUNDS 20

enum kind { NORMAL, UNIFORM, FOLDED };

/* Correlated normal; uniform in a slanting box; a normal folded back at a wall, as rests are. */
static struct outline_point draw(struct random_stream *stream, enum kind kind)
{
	double a = kind == UNIFORM ? random_uniform(stream) : random_normal(stream);
	double b = kind == UNIFORM ? random_uniform(stream) : random_normal(stream);
	struct outline_point point = {0.37 + 0.11 * a + 0.05 * b, 1.93 + 0.63 * b};

	if (kind == FOLDED && point.y > 2.3)
		point.y = 4.6 - point.y;
	return point;
}

static double fresh_share(enum kind kind, uint64_t seed, double *kept)
{
	struct random_stream stream = random_start(seed, 17);
	struct outline_point points[POINTS];
	struct outline outline;
	size_t inside = 0;

	for (size_t i = 0; i < POINTS; i++)
		points[i] = draw(&stream, kind);
	ck_assert_int_eq(outline_make(points, POINTS, SHARE, &outline), STATUS_OK);
	*kept += (double)outline.kept / POINTS / ROUNDS;
	for (size_t i = 0; i < FRESH; i++)
		inside += outline_holds(&outline, draw(&stream, kind)) ? 1 : 0;
	outline_free(&outline);
	return (double)inside / FRESH;
}

START_TEST(test_share)
{
	double mean = 0.0, kept = 0.0;

	for (uint64_t seed = 1; seed <= ROUNDS; seed++) {
		double share = fresh_share((enum kind)_i, seed, &kept);

		ck_assert_double_ge(share, 0.80);
		ck_assert_double_le(share, 0.92);
		mean += share / ROUNDS;
	}
	ck_assert_double_ge(mean, 0.84);
	ck_assert_double_le(mean, SHARE);
	/* A hull may enclose a few points more than it was made from. */
	ck_assert_double_ge(kept, SHARE);
	ck_assert_double_le(kept, SHARE + 0.02);
}
END_TEST

/* The ellipse that holds a share p of a normal distribution has the area -2 pi ln(1 - p) sqrt(det);
 * the outline's lies between those of 0.84 and of the share asked for. */
START_TEST(test_area_of_a_normal)
{
	const double unit = -2.0 * M_PI * 0.11 * 0.63;
	double mean = 0.0;

	for (uint64_t seed = 1; seed <= ROUNDS; seed++) {
		struct random_stream stream = random_start(seed, 23);
		struct outline_point points[POINTS];
		struct outline outline;

		for (size_t i = 0; i < POINTS; i++)
			points[i] = draw(&stream, NORMAL);
		ck_assert_int_eq(outline_make(points, POINTS, SHARE, &outline), STATUS_OK);
		mean += outline_area(&outline) / ROUNDS;
		outline_free(&outline);
	}
	ck_assert_double_ge(mean, unit * log(1.0 - 0.84));
	ck_assert_double_le(mean, unit * log(1.0 - SHARE));
}
END_TEST

/* One point in twelve far off leaves the outline where it is without them. */
START_TEST(test_far_points)
{
	struct random_stream stream = random_start(5, 29);
	struct outline_point points[POINTS];
	struct outline outline;
	struct outline_box box;

	for (size_t i = 0; i < POINTS; i++) {
		points[i] = draw(&stream, UNIFORM);
		if (i % 12 == 0)
			points[i].x += 7.3;
	}
	ck_assert_int_eq(outline_make(points, POINTS, SHARE, &outline), STATUS_OK);
	box = outline_extent(&outline);
	ck_assert_double_ge(box.left, 0.37);
	ck_assert_double_le(box.right, 0.37 + 0.16);
	ck_assert_double_ge(box.low, 1.93);
	ck_assert_double_le(box.high, 1.93 + 0.63);
	outline_free(&outline);
}
END_TEST

/* Corners worked out by hand: a square with points inside and on its sides. */
START_TEST(test_hull)
{
	const struct outline_point points[] = {{0.25, 1.5}, {2.25, 1.5}, {2.25, 3.5}, {0.25, 3.5},
	                                       {1.25, 2.5}, {1.25, 1.5}, {0.25, 2.0}, {2.0, 3.25}};
	struct outline outline;

	ck_assert_int_eq(outline_make(points, 8, 1.0, &outline), STATUS_OK);
	ck_assert_uint_eq(outline.count, 4);
	ck_assert_uint_eq(outline.kept, 8);
	ck_assert_double_eq(outline_area(&outline), 4.0);
	ck_assert(outline_holds(&outline, (struct outline_point){2.25, 2.7}));
	ck_assert(!outline_holds(&outline, (struct outline_point){2.2500001, 2.7}));
	ck_assert(!outline_holds(&outline, (struct outline_point){1.2, 3.6}));
	outline_free(&outline);
}
END_TEST

/* No point, one place, one line. */
START_TEST(test_degenerate)
{
	struct outline_point points[50] = {{0.0, 0.0}};
	struct outline outline;

	ck_assert_int_eq(outline_make(points, 0, SHARE, &outline), STATUS_OK);
	ck_assert_uint_eq(outline.count, 0);
	ck_assert(!outline_holds(&outline, (struct outline_point){0.0, 0.0}));
	ck_assert_double_eq(outline_extent(&outline).right, 0.0);
	outline_free(&outline);
	for (size_t i = 0; i < 50; i++)
		points[i] = (struct outline_point){0.635, 1.27};
	ck_assert_int_eq(outline_make(points, 50, SHARE, &outline), STATUS_OK);
	ck_assert_uint_eq(outline.count, 1);
	ck_assert_uint_eq(outline.kept, 50);
	ck_assert_double_eq(outline_area(&outline), 0.0);
	outline_free(&outline);
	for (size_t i = 0; i < 50; i++)
		points[i].y = 0.03125 * (double)i;
	ck_assert_int_eq(outline_make(points, 50, SHARE, &outline), STATUS_OK);
	ck_assert_uint_eq(outline.count, 2);
	ck_assert_uint_eq(outline.kept, 45);
	ck_assert_double_eq(outline_area(&outline), 0.0);
	outline_free(&outline);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("outline");
	TCase *tests = tcase_create("outline");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_loop_test(tests, test_share, NORMAL, FOLDED + 1);
	tcase_add_test(tests, test_area_of_a_normal);
	tcase_add_test(tests, test_far_points);
	tcase_add_test(tests, test_hull);
	tcase_add_test(tests, test_degenerate);
	suite_add_tcase(suite, tests);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
