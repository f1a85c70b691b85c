/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Predictions: that an interval holds the next ball, that it carries the correlation of the
 * profile, that everything that can become of a ball is counted. Expected values: tables and
 * strokes drawn here, without the code under test; the closed form of a stunned ball's run; counts
 * by hand. */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "advise/prediction.h"
#include "physics/cushion.h"

#define NORMAL_975 1.959963984540054

static const char *names[CONSTANT_COUNT];
static double matrix[CONSTANT_COUNT * CONSTANT_COUNT];
static struct session session;

/* 1 sd of each constant on its fitted scale, and how far a common cause moves it: the correlation
 * of two is the product of their loads. */
static const double spreads[CONSTANT_COUNT] = {0.131, 0.0473, 0.112, 0.187, 0.0917, 0.213, 0.157};
static const double loads[CONSTANT_COUNT] = {0.83, -0.71, 0.37, 0.91, -0.57, 0.44, 0.62};
static const double values[CONSTANT_COUNT] = {0.1931, 0.00987, 0.0113, 0.9217,
                                              0.1549, 0.9421,  0.0573};

static struct profile make_profile(void)
{
	struct profile profile = {
	    .correlation_count = CONSTANT_COUNT, .correlation_order = names, .correlation = matrix};

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		enum constant_id id = (enum constant_id)i;
		double scaled = constant_to_scale(id, values[i]);

		names[i] = constant_prior(id)->name;
		profile.constants[i] = (struct estimate){
		    .best = {values[i], spreads[i] * constant_scale_slope(id, values[i]),
		             constant_from_scale(id, scaled - NORMAL_975 * spreads[i]),
		             constant_from_scale(id, scaled + NORMAL_975 * spreads[i])},
		    .state = KNOWLEDGE_DETERMINED,
		    .has_interval = true};
		for (int j = 0; j < CONSTANT_COUNT; j++)
			matrix[CONSTANT_COUNT * i + j] = i == j ? 1.0 : loads[i] * loads[j];
	}
	session = session_default();
	profile.table = session.table;
	return profile;
}

/* A rolling one-rail kick and a cut with a rolling cue ball. */
static struct shot_design make_kick(void)
{
	struct shot_design design = {.key = "kick", .title = "", .how = "", .tries = 1};

	design.place[BALL_CUE] = (struct placement){
	    .present = true, .along = {.diamonds = 0.73}, .across = {.diamonds = 1.19}};
	design.aim =
	    (struct aim){.kind = AIM_NOSE, .rail = RAIL_RIGHT, .at = 2.83, .spread_deg = 0.3};
	design.launch = (struct launch){.speed = 1.77,
	                                .speed_spread = 0.06,
	                                .height = 0.4,
	                                .height_spread = 0.05,
	                                .side_spread = 0.05};
	design.watch_count = 1;
	design.watch[0] = (struct watch_interval){.from = {MOMENT_STRIKE, BALL_CUE, 0},
	                                          .to = {MOMENT_REST, BALL_CUE, 0}};
	return design;
}

static struct shot_design make_cut(void)
{
	struct shot_design design = make_kick();

	design.key = "cut";
	design.place[BALL_OBJECT] = (struct placement){
	    .present = true, .along = {.diamonds = 3.11}, .across = {.diamonds = 1.83}};
	design.aim = (struct aim){.kind = AIM_BALL,
	                          .ball = BALL_OBJECT,
	                          .fullness = 0.61,
	                          .contact = AIM_SIDE_LEFT,
	                          .spread_deg = 0.2};
	design.launch.speed = 1.33;
	return design;
}

static void draw_truth(struct random_stream *stream, struct constants *constants)
{
	double cause = random_normal(stream);

	*constants = (struct constants){.terms = {0.0}};
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		enum constant_id id = (enum constant_id)i;
		double normal =
		    loads[i] * cause + sqrt(1.0 - loads[i] * loads[i]) * random_normal(stream);

		constants->value[i] =
		    fmin(constant_prior(id)->highest,
		         constant_from_scale(id, constant_to_scale(id, values[i]) +
		                                     spreads[i] * normal));
	}
}

/* A ball as it is really played; false when the cue ball fell. */
static bool play_truth(const struct stroke_scene *scene, uint64_t number, bool player,
                       struct observed observed[QUANTITY_COUNT])
{
	struct random_stream stream = random_start(31415926, number);
	double shared[SHARED_UNKNOWNS] = {0.0}, own[OWN_UNKNOWNS] = {0.0};
	struct constants constants;
	struct shot_record record;

	draw_truth(&stream, &constants);
	for (int i = player ? 0 : OWN_STROKE; i < OWN_UNKNOWNS; i++)
		own[i] = random_normal(&stream);
	if (player) {
		shared[SHARED_HEIGHT] = random_normal(&stream);
		shared[SHARED_SIDE] = random_normal(&stream);
		shared[SHARED_AIM] = random_normal(&stream);
	}
	ck_assert(stroke_scene_play(scene, &constants, shared, own, CUSHION_TOLERANCE, &record,
	                            observed));
	return !record.ends[BALL_CUE].pocketed;
}

/* Of the truths in which a reading happens, 95 % lie in its interval, within 3.5 standard
 * deviations of a binomial. */
static void check_reading(const struct predicted_reading *reading, const struct stroke_scene *scene,
                          const struct prediction *prediction, bool player)
{
	size_t happened = 0, inside = 0, count = 1500;
	double share, error;

	for (size_t i = 0; i < count; i++) {
		struct observed observed[QUANTITY_COUNT], *seen = &observed[reading->quantity];

		bool rests = play_truth(scene, i, player, observed);

		if (!seen->happened || seen->pocketed ||
		    (quantity_at(reading->quantity).kind == QUANTITY_WATCH && !rests) ||
		    (reading->rail != RAIL_COUNT && seen->rail != reading->rail))
			continue;
		happened++;
		inside += seen->value >= reading->span.low95 && seen->value <= reading->span.high95;
	}
	share = (double)inside / (double)happened;
	error = sqrt(0.95 * 0.05 / (double)happened);
	ck_assert_msg(fabs(share - 0.95) < 3.5 * error, "%s: %zu of %zu inside",
	              quantity_name(reading->quantity), inside, happened);
	share =
	    (double)(reading->rail != RAIL_COUNT ? reading->rails[reading->rail] : reading->seen) /
	    (double)prediction->played;
	error = sqrt(0.25 / (double)count);
	ck_assert_double_eq_tol((double)happened / (double)count, share, 3.5 * error);
}

static void check_coverage(struct shot_design design, bool player)
{
	struct profile profile = make_profile();
	struct table_draws table = table_draws_profile(&profile, NULL);
	struct player_draws draws = player ? player_draws_anybody() : player_draws_exact();
	struct prediction_task task = {
	    .session = &session, .table = &table, .player = &draws, .draws = 6000, .seed = 271828};
	struct prediction prediction;
	struct stroke_scene scene;
	const char *why;
	int checked = 0;

	ck_assert_int_eq(prediction_make(&design, &task, 0, &prediction, &why), STATUS_OK);
	ck_assert_uint_eq(prediction.played, 6000);
	for (size_t i = 0; i < prediction.reading_count; i++) {
		const struct predicted_reading *reading = &prediction.readings[i];

		/* The first contact of an exact stroke has no spread, and what is seldom too few truths. */
		if (reading->span.high95 - reading->span.low95 < 1e-6 || reading->seen < 3000)
			continue;
		ck_assert(stroke_scene_make(&scene, &design, &session, NULL,
		                            UINT32_C(1) << reading->quantity, &why));
		scene.need.everything = true;
		check_reading(reading, &scene, &prediction, player);
		checked++;
	}
	ck_assert_int_ge(checked, 5);
	prediction_free(&prediction);
}

START_TEST(test_coverage_exact)
{
	check_coverage(make_kick(), false);
}
END_TEST

START_TEST(test_coverage_player)
{
	check_coverage(make_kick(), true);
}
END_TEST

START_TEST(test_coverage_cut)
{
	check_coverage(make_cut(), false);
}
END_TEST

/* A stunned ball slides 12 v^2 / (49 mu_s g) and then rolls 25 v^2 / (98 mu_r g), so to first order
 * the variance of its run is A^2 s^2 + B^2 r^2 + 2 rho A B s r, with A and B the two parts and s
 * and r the standard deviations of the logarithms of the constants. */
START_TEST(test_correlation)
{
	static const double rhos[] = {-0.87, 0.0, 0.87};
	const double speed = 0.617, slide_spread = 0.0913, roll_spread = 0.00457;
	double slide = 12.0 * speed * speed / (49.0 * values[0] * STANDARD_GRAVITY);
	double roll = 25.0 * speed * speed / (98.0 * values[1] * STANDARD_GRAVITY);
	double widths[3];

	for (int k = 0; k < 3; k++) {
		struct profile profile = make_profile();
		struct shot_design design = make_kick();
		struct player_draws player = player_draws_exact();
		double a = slide * slide_spread, b = roll * roll_spread;
		double metre = 8.0 / session.table.length;
		struct table_draws table;
		struct prediction_task task = {.session = &session,
		                               .player = &player,
		                               .draws = 20000,
		                               .seed = 161803,
		                               .table = &table};
		struct prediction prediction;
		const char *why;

		for (int i = 0; i < CONSTANT_COUNT; i++)
			profile.constants[i].state = KNOWLEDGE_HELD;
		for (int i = 0; i < 2; i++) {
			double spread = i == 0 ? slide_spread : roll_spread;

			profile.constants[i].state = KNOWLEDGE_DETERMINED;
			profile.constants[i].best.low95 = values[i] * exp(-NORMAL_975 * spread);
			profile.constants[i].best.high95 = values[i] * exp(NORMAL_975 * spread);
		}
		matrix[1] = matrix[CONSTANT_COUNT] = rhos[k];
		table = table_draws_profile(&profile, NULL);
		design.launch.height = 0.0;
		design.launch.speed = speed;
		design.aim =
		    (struct aim){.kind = AIM_POINT, .point_long = 8.0, .point_short = 1.19};
		ck_assert_int_eq(prediction_make(&design, &task, 0, &prediction, &why), STATUS_OK);
		ck_assert_str_eq(quantity_name(prediction.readings[0].quantity), "cue_rest_long");
		widths[k] = prediction.readings[0].span.high95 - prediction.readings[0].span.low95;
		ck_assert_double_eq_tol(prediction.readings[0].as_designed,
		                        0.73 + metre * (slide + roll), 1e-9);
		/* 3.5 %: three standard errors of a width from 20000 plays, and the second order. */
		ck_assert_double_eq_tol(widths[k] / (2.0 * NORMAL_975 * metre *
		                                     sqrt(a * a + b * b + 2.0 * rhos[k] * a * b)),
		                        1.0, 0.035);
		prediction_free(&prediction);
	}
	ck_assert_double_lt(widths[0], 0.6 * widths[1]);
	ck_assert_double_gt(widths[2], 1.2 * widths[1]);
}
END_TEST

/* Every play ends with a ball on the bed, in a pocket or over a rail; the right side pocket is the
 * middle of the right rail. The result does not depend on the threads. */
START_TEST(test_counts)
{
	struct profile profile = make_profile();
	struct table_draws table = table_draws_profile(&profile, NULL);
	struct player_draws player = player_draws_anybody();
	struct shot_design design = make_kick();
	struct prediction_task task = {.session = &session,
	                               .table = &table,
	                               .player = &player,
	                               .draws = 1500,
	                               .seed = 5,
	                               .threads = 1};
	struct prediction first, second;
	const struct predicted_ball *ball = &first.balls[BALL_CUE];
	const char *why;
	size_t fallen = 0;

	design.aim =
	    (struct aim){.kind = AIM_NOSE, .rail = RAIL_RIGHT, .at = 4.0, .spread_deg = 1.7};
	ck_assert_int_eq(prediction_make(&design, &task, 3, &first, &why), STATUS_OK);
	task.threads = 3;
	ck_assert_int_eq(prediction_make(&design, &task, 3, &second, &why), STATUS_OK);
	for (int i = 0; i < PREDICTION_POCKETS; i++)
		fallen += ball->pockets[i];
	ck_assert_uint_eq(fallen, ball->fallen);
	ck_assert_uint_eq(ball->rests + ball->fallen + ball->left, first.played);
	ck_assert_int_eq(ball->designed_pocket, 3);
	ck_assert_uint_gt(ball->pockets[3], 300);
	ck_assert_uint_gt(ball->rests, 300);
	ck_assert_mem_eq(first.readings, second.readings,
	                 first.reading_count * sizeof first.readings[0]);
	ck_assert_mem_eq(ball->places, second.balls[BALL_CUE].places,
	                 ball->rests * sizeof *ball->places);
	prediction_free(&first);
	prediction_free(&second);
}
END_TEST

/* Sorted numbers 1 to n: (n + 1) / 40 gaps are left out at either end. */
START_TEST(test_span)
{
	static const struct {
		size_t count;
		double low, high;
	} cases[] = {{1, 1, 1},   {38, 1, 38},       {39, 1, 39},
	             {79, 2, 78}, {3999, 100, 3900}, {4000, 100, 3901}};
	double numbers[4000];

	for (size_t k = 0; k < sizeof(cases) / sizeof(cases[0]); k++) {
		struct predicted_span span;
		size_t count = cases[k].count;

		for (size_t i = 0; i < count; i++)
			numbers[i] = (double)((i * 2741) % count + 1);
		span = prediction_span(numbers, count);
		ck_assert_double_eq(span.low95, cases[k].low);
		ck_assert_double_eq(span.high95, cases[k].high);
		ck_assert_double_eq(span.median, 0.5 * (double)(count + 1));
	}
}
END_TEST

/* Not on that table, and never at rest. */
START_TEST(test_refused)
{
	struct profile profile = make_profile();
	struct table_draws table = table_draws_profile(&profile, NULL);
	struct player_draws player = player_draws_exact();
	struct shot_design design = make_cut();
	struct prediction_task task = {
	    .session = &session, .table = &table, .player = &player, .draws = 100, .seed = 5};
	struct prediction prediction;
	const char *why = "";

	design.place[BALL_OBJECT].along.diamonds = 0.74;
	design.place[BALL_OBJECT].across.diamonds = 1.2;
	ck_assert_int_eq(prediction_make(&design, &task, 0, &prediction, &why), STATUS_INPUT);
	ck_assert_uint_gt(strlen(why), 0);
	prediction_free(&prediction);
	design = make_kick();
	table.middle.constants.terms.slope_long = 0.02;
	why = "";
	ck_assert_int_eq(prediction_make(&design, &task, 0, &prediction, &why), STATUS_INPUT);
	ck_assert_uint_gt(strlen(why), 0);
	prediction_free(&prediction);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("prediction");
	TCase *tests = tcase_create("prediction");
	SRunner *runner;
	int failed;

	tcase_add_test(tests, test_span);
	tcase_add_test(tests, test_coverage_exact);
	tcase_add_test(tests, test_coverage_player);
	tcase_add_test(tests, test_coverage_cut);
	tcase_add_test(tests, test_correlation);
	tcase_add_test(tests, test_counts);
	tcase_add_test(tests, test_refused);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
