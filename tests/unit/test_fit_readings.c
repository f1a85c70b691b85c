/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "estimate/readings.h"
#include "shot_support.h"

/* Errors of readings and their covariance (formats.md 3). */

static const char *const moment_names[] = {
    "strike",   "cue_rail1", "cue_rail2", "object_rail1", "contact1",
    "contact2", "cue_rest",  "cue_still", "object_rest",  "object_still"};
#define MOMENTS 10

static struct moment moment(const char *name)
{
	struct moment found = {MOMENT_STRIKE, BALL_CUE, 0};

	ck_assert(moment_from_name(name, strlen(name), &found));
	return found;
}

static int number(const char *name)
{
	int found = -1;

	ck_assert(quantity_from_name(name, strlen(name), &found));
	return found;
}

static void set_value(struct stroke_row *row, const char *name, double value)
{
	row->readings[number(name)] = (struct reading){.kind = READING_VALUE, .value = value};
	row->columns[number(name)] = (size_t)(3 + number(name));
}

/* A cue and an object ball on a 9-foot table, with errors of no round size. */
struct made {
	struct session session;
	struct shot_design design;
	struct shot_setup setup;
	struct stroke_row row;
	enum rail rails[BALL_ROLES][RAIL_READINGS];
	struct stroke_readings readings;
};

static void make(struct made *made)
{
	memset(made, 0, sizeof *made);
	made->session = session_default();
	made->session.errors = (struct reading_errors){
	    .position = 0.043, .rail = 0.087, .watch = 0.11, .rest_watch = 0.23, .sound = 0.0037};
	made->design.key = "made";
	for (int ball = 0; ball < BALL_ROLES; ball++) {
		made->design.place[ball].present = true;
		made->setup.present[ball] = true;
		made->setup.bodies[ball] = (struct ball_body){0.028575, 0.163, 1.0};
		for (int k = 0; k < RAIL_READINGS; k++)
			made->rails[ball][k] = RAIL_COUNT;
	}
}

static int take(struct made *made)
{
	return stroke_readings_take(&made->row, &made->design, &made->session, &made->setup,
	                            made->rails, &made->readings);
}

static void set_watch(struct made *made, int which, const char *from, const char *to)
{
	made->design.watch[which] = (struct watch_interval){moment(from), moment(to)};
	made->design.watch_count = which + 1;
}

/* One reading, one error; a contact with its rail and that rail's frozen line, 0.09 diamonds from
 * the nose and as far from the other; a pocketed rest tells no place. */
START_TEST(readings_have_their_errors)
{
	struct made made;
	const struct stroke_reading *items = made.readings.items;

	make(&made);
	set_watch(&made, 0, "strike", "cue_rest");
	set_value(&made.row, "cue_rest_long", 3.17);
	set_value(&made.row, "cue_rail1", 5.61);
	set_value(&made.row, "object_rail2", 1.23);
	set_value(&made.row, "watch1", 4.73);
	set_value(&made.row, "sound3", 1.937);
	made.row.readings[number("object_rest_long")].kind = READING_POCKET;
	made.rails[BALL_CUE][0] = RAIL_RIGHT;
	made.row.readings[number("object_rail2")].rail_named = true;
	made.row.readings[number("object_rail2")].rail = RAIL_HEAD;
	ck_assert_int_eq(take(&made), 0);
	ck_assert_uint_eq(made.readings.count, 5);
	ck_assert_uint_eq(made.readings.residual_count, 7);
	ck_assert_int_eq(items[0].number, number("cue_rest_long"));
	ck_assert_double_eq(items[0].error, 0.043);
	ck_assert_uint_eq(items[0].column, made.row.columns[number("cue_rest_long")]);
	ck_assert_double_eq(items[1].error, 0.087);
	ck_assert_int_eq(items[1].rail, RAIL_RIGHT);
	ck_assert_double_eq_tol(items[1].line, 4.0 - 0.09, 1e-12);
	ck_assert_int_eq(items[2].rail, RAIL_HEAD);
	ck_assert_double_eq_tol(items[2].line, 0.09, 1e-12);
	/* Two presses, one at a foreseen moment and one at a stop: their variances add. */
	ck_assert_double_eq_tol(items[3].error, sqrt(0.11 * 0.11 + 0.23 * 0.23), 1e-15);
	ck_assert_double_eq(items[4].error, 0.0037);
	ck_assert_uint_eq(stroke_readings_mask(&made.readings),
	                  UINT32_C(1) << number("cue_rest_long") |
	                      UINT32_C(1) << number("cue_rail1") |
	                      UINT32_C(1) << number("object_rail2") |
	                      UINT32_C(1) << number("watch1") | UINT32_C(1) << number("sound3"));
}
END_TEST

/* A rail named in its cell is taken as seen even where the design strikes another. */
START_TEST(named_rail_wins_over_the_design)
{
	struct made made;

	make(&made);
	set_value(&made.row, "cue_rail1", 2.71);
	made.rails[BALL_CUE][0] = RAIL_RIGHT;
	made.row.readings[number("cue_rail1")].rail_named = true;
	made.row.readings[number("cue_rail1")].rail = RAIL_FOOT;
	ck_assert_int_eq(take(&made), 0);
	ck_assert_int_eq(made.readings.items[0].rail, RAIL_FOOT);
	ck_assert_double_eq_tol(made.readings.items[0].line, 8.0 - 0.09, 1e-12);
}
END_TEST

/* Without a name, and where the design strikes no rail: the number of the quantity + 1. */
START_TEST(contact_without_a_rail_is_told)
{
	struct made made;

	make(&made);
	set_value(&made.row, "cue_rest_long", 2.71);
	set_value(&made.row, "object_rail3", 2.71);
	ck_assert_int_eq(take(&made), number("object_rail3") + 1);
}
END_TEST

/* formats.md 3: presses at contacts and at stops. */
START_TEST(presses_have_their_errors)
{
	struct reading_errors errors = {.watch = 0.11, .rest_watch = 0.23};

	for (int i = 0; i < MOMENTS; i++) {
		bool stop = strstr(moment_names[i], "rest") != NULL ||
		            strstr(moment_names[i], "still") != NULL;

		ck_assert_double_eq(press_error(&errors, moment(moment_names[i])),
		                    stop ? 0.23 : 0.11);
		for (int k = 0; k < MOMENTS; k++)
			ck_assert_int_eq(
			    moments_equal(moment(moment_names[i]), moment(moment_names[k])),
			    i == k);
	}
}
END_TEST

/* The covariance of two intervals from their presses p: an interval is p[to] - p[from], so with one
 * variance for each press C = A V A'. Written out from the signs of the presses. */
static void covariance_by_presses(const struct made *made, double c[2][2])
{
	memset(c, 0, 4 * sizeof(double));
	for (int press = 0; press < MOMENTS; press++) {
		double sign[2] = {0.0, 0.0}, error;

		for (int w = 0; w < 2; w++) {
			const struct watch_interval *watch = &made->design.watch[w];

			sign[w] += moments_equal(watch->to, moment(moment_names[press]));
			sign[w] -= moments_equal(watch->from, moment(moment_names[press]));
		}
		error = press >= 6 ? made->session.errors.rest_watch : made->session.errors.watch;
		for (int a = 0; a < 2; a++)
			for (int b = 0; b < 2; b++)
				c[a][b] += sign[a] * sign[b] * error * error;
	}
}

/* Whitened residuals have the squares d' C^-1 d, with the 2 x 2 inverse written out. */
START_TEST(whitening_reproduces_the_covariance)
{
	struct random_stream stream = random_start(64951, 1);
	int misses = 0, shared = 0;

	for (int i = 0; i < 4000; i++) {
		struct observed seen[QUANTITY_COUNT] = {{.happened = false}};
		int m[4];
		double c[2][2], d[2], determinant, wanted, residuals[RESIDUALS_MAX];
		struct made made;

		make(&made);
		for (int k = 0; k < 4; k++)
			m[k] = (int)(random_bits(&stream) % MOMENTS);
		if (i % 2 == 0) /* the usual case: one press ends the first and begins the second */
			m[2] = m[1];
		if (m[0] == m[1] || m[2] == m[3] || (m[0] == m[2] && m[1] == m[3]) ||
		    (m[0] == m[3] && m[1] == m[2]))
			continue; /* no interval, or one interval twice */
		set_watch(&made, 0, moment_names[m[0]], moment_names[m[1]]);
		set_watch(&made, 1, moment_names[m[2]], moment_names[m[3]]);
		set_value(&made.row, "watch1", shot_support_between(&stream, 0.5, 9.0));
		set_value(&made.row, "watch2", shot_support_between(&stream, 0.5, 9.0));
		ck_assert_int_eq(take(&made), 0);
		seen[number("watch1")].value = shot_support_between(&stream, 0.5, 9.0);
		seen[number("watch2")].value = shot_support_between(&stream, 0.5, 9.0);
		stroke_readings_compare(&made.readings, seen, residuals);
		covariance_by_presses(&made, c);
		for (int w = 0; w < 2; w++)
			d[w] = seen[number(w == 0 ? "watch1" : "watch2")].value -
			       made.row.readings[number(w == 0 ? "watch1" : "watch2")].value;
		determinant = c[0][0] * c[1][1] - c[0][1] * c[1][0];
		wanted =
		    (c[1][1] * d[0] * d[0] - 2.0 * c[0][1] * d[0] * d[1] + c[0][0] * d[1] * d[1]) /
		    determinant;
		misses += close_miss("watch", i, "sum of squares", wanted,
		                     residuals[0] * residuals[0] + residuals[1] * residuals[1],
		                     1e-9 * wanted) +
		          close_miss("watch", i, "covariance", c[0][1],
		                     made.readings.watch_covariance, 1e-15);
		shared += c[0][1] != 0.0;
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(shared, 1000);
}
END_TEST

/* formats.md 3: intervals that share an event have covariance minus that press's variance. */
START_TEST(shared_press_is_subtracted)
{
	struct made made;

	make(&made);
	set_watch(&made, 0, "strike", "cue_rail1");
	set_watch(&made, 1, "cue_rail1", "cue_rest");
	set_value(&made.row, "watch1", 1.0);
	set_value(&made.row, "watch2", 7.0);
	ck_assert_int_eq(take(&made), 0);
	ck_assert_double_eq_tol(made.readings.watch_covariance, -0.11 * 0.11, 1e-15);
	/* One of them alone: nothing to share. */
	made.row.readings[number("watch1")].kind = READING_MISSING;
	ck_assert_int_eq(take(&made), 0);
	ck_assert_double_eq(made.readings.watch_covariance, 0.0);
	ck_assert_uint_eq(made.readings.count, 1);
}
END_TEST

/* Frames: half a frame, 0.29 / rate, in place of presses and sounds; each count for itself. */
START_TEST(frames_have_their_own_error)
{
	struct made made;

	make(&made);
	made.session.errors.frames_per_second = 240.0;
	set_watch(&made, 0, "strike", "cue_rail1");
	set_watch(&made, 1, "cue_rail1", "cue_rest");
	set_value(&made.row, "watch1", 1.0);
	set_value(&made.row, "watch2", 7.0);
	set_value(&made.row, "sound1", 0.7);
	set_value(&made.row, "cue_rest_long", 4.7);
	ck_assert_int_eq(take(&made), 0);
	for (size_t i = 0; i < made.readings.count; i++)
		ck_assert_double_eq_tol(
		    made.readings.items[i].error,
		    made.readings.items[i].number == number("cue_rest_long") ? 0.043 : 0.29 / 240.0,
		    1e-15);
	ck_assert_double_eq(made.readings.watch_covariance, 0.0);
}
END_TEST

/* Differences over errors; a contact at the right place of the wrong rail is far off across it. */
START_TEST(differences_are_in_standard_deviations)
{
	struct observed seen[QUANTITY_COUNT] = {{.happened = false}};
	double residuals[RESIDUALS_MAX];
	struct made made;

	make(&made);
	set_value(&made.row, "cue_rest_short", 1.91);
	set_value(&made.row, "cue_rail1", 5.61);
	made.rails[BALL_CUE][0] = RAIL_RIGHT;
	ck_assert_int_eq(take(&made), 0);
	seen[number("cue_rest_short")] = (struct observed){.happened = true, .value = 2.02};
	seen[number("cue_rail1")] = (struct observed){
	    .happened = true, .value = 5.5, .rail = RAIL_RIGHT, .along = 5.5, .across = 3.91};
	stroke_readings_compare(&made.readings, seen, residuals);
	ck_assert_double_eq_tol(residuals[0], 0.11 / 0.043, 1e-12);
	ck_assert_double_eq_tol(residuals[1], -0.11 / 0.087, 1e-12);
	ck_assert_double_eq_tol(residuals[2], 0.0, 1e-10);
	ck_assert_uint_eq(stroke_readings_of_residual(&made.readings, 0), 0);
	ck_assert_uint_eq(stroke_readings_of_residual(&made.readings, 1), 1);
	ck_assert_uint_eq(stroke_readings_of_residual(&made.readings, 2), 1);
	/* It stopped before: compared as a point on the table (layout.md, trap 1). */
	seen[number("cue_rail1")] =
	    (struct observed){.happened = false, .rail = RAIL_COUNT, .along = 5.2, .across = 3.41};
	stroke_readings_compare(&made.readings, seen, residuals);
	ck_assert_double_eq_tol(residuals[1], -0.41 / 0.087, 1e-12);
	ck_assert_double_eq_tol(residuals[2], -0.50 / 0.087, 1e-10);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("readings of a stroke");
	TCase *readings = tcase_create("readings");

	tcase_add_test(readings, readings_have_their_errors);
	tcase_add_test(readings, named_rail_wins_over_the_design);
	tcase_add_test(readings, contact_without_a_rail_is_told);
	tcase_add_test(readings, presses_have_their_errors);
	tcase_add_test(readings, whitening_reproduces_the_covariance);
	tcase_add_test(readings, shared_press_is_subtracted);
	tcase_add_test(readings, frames_have_their_own_error);
	tcase_add_test(readings, differences_are_in_standard_deviations);
	suite_add_tcase(suite, readings);
	return close_run(suite);
}
