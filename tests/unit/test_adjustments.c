/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Adjustments between two tables. Expected values: closed forms of rolling; for what a stroke gives,
 * numbers of a second implementation of the model, written apart and given to three digits; else
 * the stroke found is played. */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "advise/adjustments.h"
#include "advise/profile_difference.h"

#define DRAWS 100

/* The constants that the second implementation was run with. */
static const double second_constants[CONSTANT_COUNT] = {
    [SLIDING_FRICTION] = 0.20,     [ROLLING_RESISTANCE] = 0.0105, [SPIN_FRICTION] = 0.011,
    [CUSHION_RESTITUTION] = 0.94,  [CUSHION_FRICTION] = 0.16,     [BALL_RESTITUTION] = 0.955,
    [BALL_FRICTION] = 0.06};

static struct adjustment_table make_table(void)
{
	struct adjustment_table table = {.table = *table_presets(&(size_t){0})};

	memcpy(table.drawn.constants.value, second_constants, sizeof second_constants);
	for (int i = 0; i < BALL_ROLES; i++)
		table.drawn.grip[i] = 1.0;
	for (int i = 0; i < RAIL_COUNT; i++)
		table.drawn.rails[i].grip = 1.0;
	return table;
}

static const struct adjustment *find(const char *key)
{
	size_t count;
	const struct adjustment *list = adjustment_list(&count);

	for (size_t i = 0; i < count; i++)
		if (strcmp(list[i].key, key) == 0)
			return &list[i];
	ck_abort_msg("no adjustment %s", key);
	return NULL;
}

/* Of log-normals, as a fit leaves them. */
static struct profile make_profile(double spread)
{
	struct profile profile = {.table = *table_presets(&(size_t){0})};

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		double scaled = constant_to_scale((enum constant_id)i, second_constants[i]);
		struct estimate *estimate = &profile.constants[i];

		estimate->state = KNOWLEDGE_DETERMINED;
		estimate->has_interval = true;
		estimate->best = (struct interval){
		    .value = second_constants[i],
		    .standard_error =
		        spread * constant_scale_slope((enum constant_id)i, second_constants[i]),
		    .low95 = constant_from_scale((enum constant_id)i,
		                                 scaled - 1.959963984540054 * spread),
		    .high95 = constant_from_scale((enum constant_id)i,
		                                  scaled + 1.959963984540054 * spread)};
	}
	return profile;
}

static void multiply(struct profile *profile, enum constant_id id, double factor)
{
	struct interval *best = &profile->constants[id].best;

	best->value *= factor;
	best->standard_error *= factor;
	best->low95 *= factor;
	best->high95 *= factor;
}

static struct adjustment_change *solve(const struct profile *home, const struct profile *here,
                                       unsigned threads)
{
	struct adjustments_task task = {.home = home,
	                                .here = here,
	                                .elevation_deg = 3.0,
	                                .draws = DRAWS,
	                                .seed = 73,
	                                .threads = threads};
	size_t count;
	struct adjustment_change *changes;

	adjustment_list(&count);
	changes = calloc(count, sizeof *changes);
	ck_assert_ptr_nonnull(changes);
	ck_assert_int_eq(adjustments_find(&task, changes), STATUS_OK);
	return changes;
}

static const struct adjustment_change *change_of(const struct adjustment_change *changes,
                                                 const char *key)
{
	size_t count;

	return &changes[find(key) - adjustment_list(&count)];
}

/* v^2 = 2 mu g d: rolled from long 2 to long 7.5. */
START_TEST(lag_follows_closed_form)
{
	struct adjustment_table table = make_table();
	double distance = 5.5 / 8.0 * 2.54;

	for (int i = 0; i < 3; i++) {
		double resistance = 0.0083 + 0.0021 * i;

		table.drawn.constants.value[ROLLING_RESISTANCE] = resistance;
		ck_assert_double_eq_tol(adjustment_solve(find("lag-1"), &table, 1.5),
		                        sqrt(2.0 * resistance * 9.80665 * distance), 2e-5);
	}
}
END_TEST

/* Draw of 2.80 and 0.12 diamonds, object ball 2 and 4 diamonds away, 3 m/s, tip 0.4 low. */
START_TEST(draw_agrees_with_second_implementation)
{
	struct adjustment_table table = make_table();
	struct adjustment draw = *find("draw-2");

	draw.speed = 3.0;
	draw.along = 3.0;
	draw.wanted = 0.0;
	ck_assert_double_eq_tol(adjustment_result(&draw, &table, -0.4), -2.80, 0.04);
	draw.distance = 4.0;
	ck_assert_double_eq_tol(adjustment_result(&draw, &table, -0.4), -0.12, 0.04);
}
END_TEST

/* Shift of 1.69 and 1.29 diamonds with a side of 0.5 and 0.3, from long 4.6 short 1 at 2 m/s; 1.09 at
 * 0.5 with 0.6 of the cushion friction. */
START_TEST(side_return_agrees_with_second_implementation)
{
	struct adjustment_table table = make_table();
	struct adjustment side = *find("side-return");

	side.along = side.at = side.wanted = 4.6;
	ck_assert_double_eq_tol(adjustment_result(&side, &table, 0.5), -1.69, 0.02);
	ck_assert_double_eq_tol(adjustment_result(&side, &table, 0.3), -1.29, 0.02);
	ck_assert_double_eq_tol(adjustment_result(&side, &table, -0.3), 1.29, 0.02);
	table.drawn.constants.value[CUSHION_FRICTION] *= 0.6;
	ck_assert_double_eq_tol(adjustment_result(&side, &table, 0.5), -1.09, 0.02);
}
END_TEST

/* Throw of 3.43 and 2.24 degrees at a stunned cut of 30 and 15. Rolling, by hand: the friction F =
 * 0.06 (1 + 0.955) / 2 cos 30 leaves the object ball F / 2 across and (1.955 / 2) cos 30 along the
 * line of centres, 1.72 degrees as the second implementation has it, and a spin R w = 5/2 F cos 30
 * against its roll; once it rolls 5/7 of the one and 2/7 of the other are left, 1.8125 degrees. */
START_TEST(throw_agrees_with_second_implementation)
{
	struct adjustment_table table = make_table();

	ck_assert_double_eq_tol(adjustment_result(find("stun-30-medium"), &table, 30.0), -3.43, 0.02);
	ck_assert_double_eq_tol(adjustment_result(find("stun-15-medium"), &table, 15.0), -2.24, 0.03);
	ck_assert_double_eq_tol(adjustment_result(find("rolling-30-medium"), &table, 30.0),
	                        -1.8125, 1e-4);
}
END_TEST

/* Every stroke found gives what is wanted, on tables far apart; the usual table has them all. */
START_TEST(strokes_found_do_it)
{
	static const double factors[][3] = {{1.0, 1.0, 1.0}, {1.27, 0.81, 1.0}, {0.83, 1.22, 1.31}};
	struct adjustment_table table = make_table();
	size_t count;
	const struct adjustment *list = adjustment_list(&count);
	double *value = table.drawn.constants.value;
	double around;

	table.elevation_deg = 4.0;
	table.end_mass_ratio = 23.0;
	value[SLIDING_FRICTION] *= factors[_i][0];
	value[CUSHION_FRICTION] *= factors[_i][1];
	value[ROLLING_RESISTANCE] *= factors[_i][2];
	for (size_t i = 0; i < count; i++) {
		double found = adjustment_solve(&list[i], &table, list[i].start);

		ck_assert_msg(isfinite(found), "%s", list[i].key);
		ck_assert_msg(fabs(adjustment_result(&list[i], &table, found)) < 2e-3, "%s",
		              list[i].key);
		/* It does not do it just beside: the result tells the strokes apart. */
		around = adjustment_result(&list[i], &table,
		                           found + 0.01 * (list[i].highest - list[i].lowest));
		ck_assert_msg(!(fabs(around) < 2e-3), "%s", list[i].key);
	}
}
END_TEST

START_TEST(no_stroke_is_said)
{
	struct adjustment_table table = make_table();

	/* Stuck to the cloth: the backspin is gone before the object ball, however low the tip. */
	table.drawn.constants.value[SLIDING_FRICTION] = 0.6;
	ck_assert(!isfinite(adjustment_solve(find("draw-4"), &table, -0.3)));
	/* No friction at the rail: no side brings the ball back. */
	table.drawn.constants.value[CUSHION_FRICTION] = 0.02;
	ck_assert(!isfinite(adjustment_solve(find("side-return"), &table, 0.2)));
	ck_assert(isnan(adjustment_result(find("side-return"), &table, 0.51)));
}
END_TEST

/* One measurement is one table: nothing changes, however little is known of it. */
START_TEST(same_profile_changes_nothing)
{
	struct profile home = make_profile(0.15), here = make_profile(0.15);
	struct adjustment_change *changes = solve(&home, &here, 1);
	size_t count;

	adjustment_list(&count);
	ck_assert(adjustments_same(&home, &here));
	for (size_t i = 0; i < count; i++) {
		ck_assert_msg(changes[i].possible, "%s", changes[i].adjustment->key);
		ck_assert(!changes[i].worth_making && !changes[i].beyond_doubt && changes[i].settled);
		ck_assert_double_eq(changes[i].change.low95, 0.0);
		ck_assert_double_eq(changes[i].change.high95, 0.0);
	}
	free(changes);
	multiply(&here, SPIN_FRICTION, 1.0001);
	ck_assert(!adjustments_same(&home, &here));
}
END_TEST

/* More resistance asks for more pace, as its root where the ball only rolls; back again less. */
START_TEST(slower_cloth_is_hit_harder)
{
	struct profile home = make_profile(0.01), here = make_profile(0.01);
	struct adjustment_change *changes;

	multiply(&here, ROLLING_RESISTANCE, 1.3);
	changes = solve(&home, &here, 1);
	ck_assert_double_eq_tol(change_of(changes, "lag-1")->change.median,
	                        100.0 * (sqrt(1.3) - 1.0), 0.4);
	/* Two logarithms of 1 % each, halved by the root: 1.14 times 0.01 / sqrt(2) in all. */
	ck_assert_double_eq_tol(change_of(changes, "lag-1")->change.high95 -
	                            change_of(changes, "lag-1")->change.low95,
	                        2.0 * 1.96 * 100.0 * sqrt(1.3) * 0.01 / M_SQRT2, 1.2);
	for (int i = 1; i <= 4; i++) {
		const char *const keys[] = {"lag-1", "lag-2", "lag-3", "lag-4"};
		const struct adjustment_change *change = change_of(changes, keys[i - 1]);

		ck_assert(change->worth_making && change->change.median > 0.0);
		ck_assert_double_lt(change->miss.median, 0.0); /* as at home it is short */
	}
	ck_assert(change_of(changes, "lag-1")->beyond_doubt);
	ck_assert(!change_of(changes, "stun-30-medium")->worth_making);
	free(changes);
	changes = solve(&here, &home, 1);
	ck_assert_double_eq_tol(change_of(changes, "lag-1")->change.median,
	                        100.0 * (1.0 / sqrt(1.3) - 1.0), 0.4);
	free(changes);
}
END_TEST

/* A cushion that grips more brings a rolling kick up short and turns side into more. */
START_TEST(grippier_cushion_signs)
{
	struct profile home = make_profile(0.01), here = make_profile(0.01);
	struct adjustment_change *changes;

	multiply(&home, CUSHION_FRICTION, 0.6);
	changes = solve(&home, &here, 1);
	ck_assert_double_gt(change_of(changes, "kick-one-rail")->change.median, 0.0);
	ck_assert_double_lt(change_of(changes, "kick-one-rail")->miss.median, 0.0);
	ck_assert(change_of(changes, "kick-one-rail")->beyond_doubt);
	ck_assert_double_lt(change_of(changes, "side-return")->change.median, 0.0);
	ck_assert_double_lt(change_of(changes, "side-return")->miss.median, 0.0);
	ck_assert_double_eq_tol(change_of(changes, "lag-1")->change.median, 0.0, 0.5);
	free(changes);
}
END_TEST

START_TEST(threads_do_not_matter)
{
	struct profile home = make_profile(0.08), here = make_profile(0.05);
	struct adjustment_change *one, *three;
	size_t count;

	multiply(&here, SLIDING_FRICTION, 1.17);
	one = solve(&home, &here, 1);
	three = solve(&home, &here, 3);
	adjustment_list(&count);
	for (size_t i = 0; i < count; i++) {
		ck_assert_double_eq(one[i].change.median, three[i].change.median);
		ck_assert_double_eq(one[i].change.low95, three[i].change.low95);
		ck_assert_double_eq(one[i].miss.high95, three[i].miss.high95);
		ck_assert_uint_eq(one[i].solved, three[i].solved);
	}
	free(one);
	free(three);
}
END_TEST

/* What is not determined is named where it moves the answer, and only there. */
START_TEST(what_is_unknown_is_named)
{
	struct profile home = make_profile(0.02), here = make_profile(0.02);
	struct adjustment_change *changes;

	here.constants[BALL_FRICTION].state = KNOWLEDGE_NOT_DETERMINED;
	here.constants[BALL_FRICTION].has_posterior = true;
	here.constants[BALL_FRICTION].posterior = here.constants[BALL_FRICTION].best;
	here.constants[BALL_FRICTION].posterior.low95 /= 1.8;
	here.constants[BALL_FRICTION].posterior.high95 *= 1.8;
	changes = solve(&home, &here, 1);
	ck_assert_uint_eq(change_of(changes, "stun-30-medium")->rests_on, 1u << BALL_FRICTION);
	ck_assert_uint_eq(change_of(changes, "lag-2")->rests_on, 0);
	ck_assert_uint_eq(change_of(changes, "kick-two-rails")->rests_on, 0);
	free(changes);
}
END_TEST

START_TEST(differences_of_constants)
{
	struct profile home = make_profile(0.05), here = make_profile(0.04);
	struct profile_difference difference;
	double deviation = hypot(0.05, 0.04);

	multiply(&here, SLIDING_FRICTION, 1.19);
	difference = profile_difference_constant(&home, &here, SLIDING_FRICTION);
	ck_assert(difference.known);
	ck_assert_double_eq_tol(difference.percent, 19.0, 1e-9);
	ck_assert_double_eq_tol(difference.low95, 100.0 * (1.19 * exp(-1.95996 * deviation) - 1.0),
	                        1e-3);
	ck_assert_double_eq_tol(difference.high95, 100.0 * (1.19 * exp(1.95996 * deviation) - 1.0),
	                        1e-3);
	/* Normal distribution function at log(1.19) / deviation = 2.7167, from a table. */
	ck_assert_double_eq_tol(difference.sure, 0.99670, 1e-5);
	ck_assert(difference.beyond_doubt);
	difference = profile_difference_constant(&home, &here, CUSHION_RESTITUTION);
	ck_assert_double_eq_tol(difference.high95, 100.0 * expm1(1.95996 * 0.06 * deviation), 1e-3);
	ck_assert(!difference.beyond_doubt);
	here.constants[SLIDING_FRICTION].state = KNOWLEDGE_NOT_DETERMINED;
	ck_assert(!profile_difference_constant(&home, &here, SLIDING_FRICTION).known);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("adjustments");
	TCase *strokes = tcase_create("strokes"), *tables = tcase_create("tables");
	SRunner *runner;
	int failed;

	tcase_add_test(strokes, lag_follows_closed_form);
	tcase_add_test(strokes, draw_agrees_with_second_implementation);
	tcase_add_test(strokes, side_return_agrees_with_second_implementation);
	tcase_add_test(strokes, throw_agrees_with_second_implementation);
	tcase_add_loop_test(strokes, strokes_found_do_it, 0, 3);
	tcase_add_test(strokes, no_stroke_is_said);
	tcase_add_test(tables, same_profile_changes_nothing);
	tcase_add_test(tables, slower_cloth_is_hit_harder);
	tcase_add_test(tables, grippier_cushion_signs);
	tcase_add_test(tables, threads_do_not_matter);
	tcase_add_test(tables, what_is_unknown_is_named);
	tcase_add_test(tables, differences_of_constants);
	suite_add_tcase(suite, strokes);
	suite_add_tcase(suite, tables);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed > 0;
}
