/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a change of conditions does to stated set-ups, as known from a measured table: paired and
 * independent draws, verdicts, agreement with practice. Expected: signs of common practice, no
 * source; numbers of a second, independent implementation of the same model. */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "advise/effects.h"
#include "model/profile.h"

static struct drawn_table reference_table(void)
{
	struct drawn_table drawn = {
	    .constants = {.value = {0.20, 0.0105, 0.011, 0.94, 0.16, 0.955, 0.06}},
	    .grip = {1.0, 1.0, 1.0}};

	for (int i = 0; i < RAIL_COUNT; i++)
		drawn.rails[i].grip = 1.0;
	return drawn;
}

/* A measured table: invented, each constant known to 3 %, and two balls. */
static struct profile_ball balls[] = {
    {.label = "A", .reference = true, .grip = {.best.value = 1.0, .state = KNOWLEDGE_HELD}},
    {.label = "B",
     .grip = {
	 .best = {0.7, 0.02, 0.662, 0.740}, .state = KNOWLEDGE_DETERMINED, .has_interval = true}}};

static struct profile measured(double slide)
{
	struct profile profile = {
	    .table = *table_find_preset("pool-9ft", 8), .ball_count = 2, .balls = balls};
	struct drawn_table drawn = reference_table();

	drawn.constants.value[SLIDING_FRICTION] *= slide;
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		double value = drawn.constants.value[i];
		double error = constant_scale_slope((enum constant_id)i, value) * 0.03;

		profile.constants[i] = (struct estimate){
		    .best = {value, error, value - 1.96 * error, value + 1.96 * error},
		    .state = KNOWLEDGE_DETERMINED,
		    .has_interval = true};
	}
	return profile;
}

static struct effects compare_at(const struct profile *before, const struct profile *after,
                                 double grip, const char *ball, unsigned threads, double speed)
{
	const char *labels[BALL_ROLES] = {[BALL_OBJECT2] = ball};
	struct table_draws draws[2] = {table_draws_profile(before, labels)};
	struct effects_task task = {.table = {&before->table, &before->table},
	                            .draws = {&draws[0]},
	                            .grip = {{1.0, 1.0, 1.0}, {grip, 1.0, 1.0}},
	                            .struck = {BALL_CUE, ball != NULL ? BALL_OBJECT2 : BALL_CUE},
	                            .speed = speed,
	                            .count = 400,
	                            .seed = 20817,
	                            .threads = threads};
	struct effects effects;

	if (after != NULL) {
		draws[1] = table_draws_profile(after, NULL);
		task.draws[1] = &draws[1];
		task.table[1] = &after->table;
	}
	ck_assert_int_eq(effects_make(&task, &effects), STATUS_OK);
	return effects;
}

static struct effects compare(const struct profile *before, const struct profile *after,
                              double grip, const char *ball, unsigned threads)
{
	struct effects effects = compare_at(before, after, grip, ball, threads, 0.0);

	ck_assert_uint_eq(effects.count, effects_setup_count());
	return effects;
}

static const struct effect_result *result_of(const struct effects *effects, const char *key)
{
	for (size_t i = 0; i < effects->count; i++)
		if (strcmp(effects->results[i].setup->key, key) == 0)
			return &effects->results[i];
	ck_abort_msg("no result %s", key);
	return NULL;
}

/* The same conditions: no change at all, and nothing is said of practice. */
START_TEST(test_identical)
{
	struct profile profile = measured(1.0);
	struct effects effects = compare(&profile, NULL, 1.0, NULL, 1);

	for (size_t i = 0; i < effects.count; i++) {
		const struct effect_result *result = &effects.results[i];

		ck_assert_msg(result->happens && result->before == result->after, "%s",
		              result->setup->key);
		ck_assert(result->change_span.low95 == 0.0 && result->change_span.high95 == 0.0);
		ck_assert_int_eq(result->verdict, EFFECT_NONE);
		ck_assert(result->slippery == 0 && !result->as_said && !result->reversed);
	}
	effects_free(&effects);
}
END_TEST

/* A more slippery cue ball: as practice says, beyond doubt, and the opposite where that is claimed;
 * a less slippery one agrees just so. Before and after are one table: the interval of the change is
 * much narrower than those of what changes. */
START_TEST(test_paired)
{
	struct profile profile = measured(1.0);
	struct effects slick = compare(&profile, NULL, 0.7, NULL, 1);
	struct effects again = compare(&profile, NULL, 0.7, NULL, 2);
	struct effects rough = compare(&profile, NULL, 1.4, NULL, 1);
	const struct effect_result *kick = result_of(&slick, "running_kick");

	ck_assert_int_eq(result_of(&slick, "throw_cut")->slippery, 1);
	ck_assert_int_eq(result_of(&slick, "bank")->slippery, 0);
	ck_assert_int_eq(result_of(&rough, "square_side")->slippery, -1);
	ck_assert(result_of(&slick, "draw_near")->as_said);
	ck_assert(result_of(&rough, "draw_near")->as_said);
	ck_assert_int_eq(result_of(&rough, "draw_near")->verdict, EFFECT_LESS);
	ck_assert(result_of(&slick, "two_rails_plain")->reversed);
	ck_assert(!result_of(&slick, "bank")->as_said && !result_of(&slick, "bank")->reversed);
	ck_assert_int_eq(result_of(&slick, "masse_angle")->verdict, EFFECT_NONE);
	ck_assert_double_eq_tol(kick->after - kick->before, 6.60 - 7.05, 0.02);
	ck_assert(kick->change_span.low95 < kick->after - kick->before &&
	          kick->after - kick->before < kick->change_span.high95);
	for (size_t i = 0; i < slick.count; i++)
		ck_assert(memcmp(&slick.results[i].change_span, &again.results[i].change_span,
		                 sizeof(struct predicted_span)) == 0);
	effects_free(&slick);
	effects_free(&again);
	effects_free(&rough);
}
END_TEST

/* Ball B, measured with a grip of 0.70 +- 0.02 beside A: what a grip of exactly 0.7 does, with more
 * doubt. */
START_TEST(test_other_ball)
{
	struct profile profile = measured(1.0);
	struct effects exact = compare(&profile, NULL, 0.7, NULL, 1);
	struct effects other = compare(&profile, NULL, 1.0, "B", 1);
	const struct predicted_span *known = &result_of(&exact, "draw_near")->change_span;
	const struct predicted_span *ball = &result_of(&other, "draw_near")->change_span;

	ck_assert_int_eq(result_of(&other, "side_time")->slippery, 1);
	for (size_t i = 0; i < exact.count; i++)
		ck_assert_double_eq_tol(other.results[i].after, exact.results[i].after, 1e-9);
	ck_assert_double_gt(ball->high95 - ball->low95, known->high95 - known->low95);
	effects_free(&exact);
	effects_free(&other);
}
END_TEST

/* Two profiles are drawn independently: like tables are not told apart, a bed of 0.6 times the
 * sliding friction is, on the cloth: there practice speaks of it, and not at the cushions. */
START_TEST(test_two_profiles)
{
	struct profile first = measured(1.0), second = measured(0.6);
	struct effects like = compare(&first, &first, 1.0, NULL, 1);
	struct effects fresh = compare(&first, &second, 1.0, NULL, 1);

	for (size_t i = 0; i < like.count; i++) {
		const struct effect_result *result = &like.results[i];

		ck_assert(result->before == result->after);
		ck_assert(result->verdict == EFFECT_UNSURE || result->verdict == EFFECT_NONE);
		ck_assert_int_eq(result->slippery, 0);
		ck_assert(result->change_span.low95 <= 0.0 && result->change_span.high95 >= 0.0);
	}
	ck_assert_int_eq(result_of(&fresh, "stun_line_firm")->verdict, EFFECT_MORE);
	ck_assert_int_eq(result_of(&fresh, "side_time")->verdict, EFFECT_UNSURE);
	ck_assert_int_eq(result_of(&fresh, "stun_line_firm")->slippery, 1);
	ck_assert(result_of(&fresh, "stun_line_firm")->as_said);
	ck_assert(result_of(&fresh, "masse_near")->reversed);
	ck_assert_int_eq(result_of(&fresh, "rolling_kick")->slippery, 0);
	effects_free(&like);
	effects_free(&fresh);
}
END_TEST

/* At a pace of one's own: the other implementation's numbers for the kick and for the graze at
 * 3 m/s; a jump stays as it is. */
START_TEST(test_own_pace)
{
	struct profile profile = measured(1.0);
	struct effects firm = compare_at(&profile, NULL, 0.7, NULL, 1, 3.0);
	size_t variants = 0;

	for (size_t i = 0; i < effects_setup_count(); i++)
		variants += effects_setup_at(i)->pace == EFFECT_PACE_VARIANT ? 1 : 0;
	ck_assert_uint_gt(variants, 0);
	ck_assert_uint_eq(firm.count, effects_setup_count() - variants);
	for (size_t i = 0; i < firm.count; i++)
		ck_assert_int_ne(firm.results[i].setup->pace, EFFECT_PACE_VARIANT);
	ck_assert_double_eq_tol(result_of(&firm, "rolling_kick")->before, 8.55, 0.01);
	ck_assert_double_eq_tol(result_of(&firm, "rolling_kick")->after, 8.70, 0.01);
	ck_assert_double_eq_tol(result_of(&firm, "graze_soft")->after, 0.82, 0.01);
	ck_assert(result_of(&firm, "graze_soft")->reversed);
	ck_assert_double_eq_tol(result_of(&firm, "jump_first")->before, -1.28, 0.01);
	effects_free(&firm);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("effects of a change");
	TCase *tests = tcase_create("effects");
	SRunner *runner;
	int failed;

	tcase_add_test(tests, test_identical);
	tcase_add_test(tests, test_paired);
	tcase_add_test(tests, test_other_ball);
	tcase_add_test(tests, test_two_profiles);
	tcase_add_test(tests, test_own_pace);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
