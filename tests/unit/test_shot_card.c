/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a card tells of a shot: the height of a ramp, the pace in lengths, what is drawn of the
 * constants, the areas and the order of the boxes. */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "advise/constant_draws.h"
#include "advise/pace.h"
#include "advise/ramp.h"
#include "advise/shot_card.h"
#include "advise/table_draws.h"
#include "physics/ball.h"
#include "physics/cue.h"

#define RADIUS 0.028575
#define MASS 0.163

static const struct ball_body ball = {.radius = RADIUS, .mass = MASS, .grip = 1.0};

/* The energy of the ball that the engine lets leave the ramp is that of its height: m g drop, by
 * ball_energy, which knows nothing of ramps. */
START_TEST(test_ramp_energy)
{
	static const double grooves[] = {180.0, 163.5, 144.7, 120.3, 90.0, 61.8};

	for (size_t i = 0; i < sizeof(grooves) / sizeof(grooves[0]); i++) {
		double groove = grooves[i] * M_PI / 180.0, speed = 0.437 + 0.291 * (double)i;
		struct stroke stroke = {.speed = speed};
		struct ball_state state = {.position = {0.3, 0.7, RADIUS}};
		struct ramp_layout layout;

		cue_release(&stroke, 0.83, groove, &ball, &state);
		ck_assert(ramp_layout_make(speed, groove, RADIUS, 0.1974, &layout));
		ck_assert_double_eq_tol(MASS * STANDARD_GRAVITY * layout.drop,
		                        ball_energy(&state, &ball), 1e-12);
		ck_assert_double_eq_tol(RADIUS * vector3_norm(state.spin) / speed,
		                        layout.spin_ratio, 1e-12);
		ck_assert_double_eq_tol(layout.travel * sin(0.1974), layout.drop, 1e-12);
	}
}
END_TEST

/* Newton's law in small steps: two contacts at R sin(groove/2) from the axis, friction that keeps
 * the ball rolling. Own integration, no energy in it. */
START_TEST(test_ramp_newton)
{
	const double groove = 97.3 * M_PI / 180.0, lean = 0.2317, step = 1e-6;
	const double arm = RADIUS * sin(0.5 * groove), inertia = 0.4 * MASS * RADIUS * RADIUS;
	double way = 0.0, speed = 0.0;
	struct ramp_layout layout;

	ck_assert(ramp_layout_make(0.871, groove, RADIUS, lean, &layout));
	while (way < layout.travel) {
		/* m a = m g sin(lean) - F and inertia a / arm = F arm. */
		double friction =
		    MASS * STANDARD_GRAVITY * sin(lean) * inertia / (inertia + MASS * arm * arm);
		double acceleration = STANDARD_GRAVITY * sin(lean) - friction / MASS;

		way += step * (speed + 0.5 * step * acceleration);
		speed += step * acceleration;
	}
	ck_assert_double_eq_tol(speed, 0.871, 1e-5);
}
END_TEST

/* Drops of a flat ramp that standards.md B of the references worked out: 17.8, 35.0, 71.4 mm. The
 * rest by hand: on a flat board the ball touches R tan(lean/2) ahead of the edge; in a groove of 90
 * degrees it rides 0.41421 R high. */
START_TEST(test_ramp_places)
{
	static const double speeds[] = {0.5, 0.7, 1.0}, drops[] = {0.0178, 0.0350, 0.0714};
	double lean = atan(0.2), time, down;
	struct ramp_layout layout;

	for (int i = 0; i < 3; i++) {
		ck_assert(ramp_layout_make(speeds[i], M_PI, RADIUS, lean, &layout));
		ck_assert_double_eq_tol(layout.drop, drops[i], 0.5e-4);
		ck_assert_double_eq_tol(layout.ahead, RADIUS * tan(0.5 * lean), 1e-12);
		ck_assert_double_eq_tol(layout.ride, 0.0, 1e-15);
	}
	ck_assert(ramp_layout_make(1.2, 0.5 * M_PI, RADIUS, lean, &layout));
	ck_assert_double_eq_tol(layout.ride, 0.4142135623730951 * RADIUS, 1e-12);
	/* The fall: time by which the height is gone. */
	time = (layout.ahead - RADIUS * tan(0.5 * lean)) / (1.2 * cos(lean));
	down = 1.2 * sin(lean) * time + 0.5 * STANDARD_GRAVITY * time * time;
	ck_assert_double_eq_tol(down, layout.ride, 1e-12);
	ck_assert(!ramp_layout_make(0.0, M_PI, RADIUS, lean, &layout));
	ck_assert(!ramp_layout_make(1.0, 0.0, RADIUS, lean, &layout));
	ck_assert(!ramp_layout_make(1.0, 3.2, RADIUS, lean, &layout));
	ck_assert(!ramp_layout_make(1.0, M_PI, RADIUS, 0.0, &layout));
	ck_assert(!ramp_layout_make((double)NAN, M_PI, RADIUS, lean, &layout));
}
END_TEST

/* Below one length the way is v^2 / (2 mu g); the faster the longer; a slope does not count. */
START_TEST(test_pace)
{
	const struct table *table = table_find_preset("pool-9ft", 8);
	struct constants constants = constants_centre();
	double length = table->length - 2.0 * RADIUS, last = 0.0;

	constants.value[ROLLING_RESISTANCE] = 0.00973;
	for (double speed = 0.137; speed < 0.66; speed += 0.0713)
		ck_assert_double_eq_tol(pace_lengths(table, &constants, &ball, speed),
		                        speed * speed / (2.0 * 0.00973 * STANDARD_GRAVITY) / length,
		                        1e-9);
	for (double speed = 0.2; speed < 5.0; speed += 0.1937) {
		double lengths = pace_lengths(table, &constants, &ball, speed);

		ck_assert_double_gt(lengths, last);
		last = lengths;
	}
	last = pace_lengths(table, &constants, &ball, 4.8411);
	constants.terms.slope_long = 0.004;
	constants.terms.slope_short = -0.006;
	ck_assert_double_eq(pace_lengths(table, &constants, &ball, 4.8411), last);
}
END_TEST

/* Mean and spread of the draws on the fitted scales are those asked for. */
START_TEST(test_draws)
{
	enum { DRAWS = 4000 };
	struct constant_draws draws = constant_draws_prior();
	double sums[CONSTANT_COUNT] = {0.0}, squares[CONSTANT_COUNT] = {0.0};

	for (uint64_t k = 0; k < DRAWS; k++) {
		struct random_stream stream = random_start(7, k);
		struct constants drawn = constant_draws_take(&draws, &stream);

		for (int i = 0; i < CONSTANT_COUNT; i++) {
			const struct constant_prior *prior = constant_prior((enum constant_id)i);
			double scaled = constant_to_scale((enum constant_id)i,
			                                  fmin(drawn.value[i], 1.0 - 1e-9));
			double z =
			    (scaled - constant_to_scale((enum constant_id)i, prior->centre)) /
			    prior->spread;

			ck_assert_double_ge(drawn.value[i], prior->lowest);
			ck_assert_double_le(drawn.value[i], prior->highest);
			sums[i] += z / DRAWS;
			squares[i] += z * z / DRAWS;
		}
	}
	/* Within four standard errors; limits cut a little off some spreads. */
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		ck_assert_double_le(fabs(sums[i]), 0.08);
		ck_assert_double_ge(squares[i], 0.85);
		ck_assert_double_le(squares[i], 1.1);
	}
}
END_TEST

/* A profile of two known constants that go together, one held, the rest not known. */
static struct profile made_up_profile(double *correlation, const char **order)
{
	struct profile profile = {
	    .correlation_count = 2, .correlation_order = order, .correlation = correlation};

	for (int i = 0; i < CONSTANT_COUNT; i++)
		profile.constants[i] = (struct estimate){
		    .best = {.value = constant_prior((enum constant_id)i)->centre},
		    .state = KNOWLEDGE_HELD};
	for (int i = SLIDING_FRICTION; i <= ROLLING_RESISTANCE; i++) {
		double spread = i == SLIDING_FRICTION ? 0.0731 : 0.0293;
		double centre = i == SLIDING_FRICTION ? 0.187 : 0.0091;

		profile.constants[i] = (struct estimate){
		    .best = {centre, centre * spread, centre * exp(-1.959963984540054 * spread),
		             centre * exp(1.959963984540054 * spread)},
		    .state = KNOWLEDGE_DETERMINED,
		    .has_interval = true};
	}
	profile.constants[SPIN_FRICTION].state = KNOWLEDGE_NOT_DETERMINED;
	return profile;
}

START_TEST(test_draws_of_a_profile)
{
	enum { DRAWS = 6000 };
	double correlation[] = {1.0, -0.63, -0.63, 1.0}, a2 = 0.0, b2 = 0.0, ab = 0.0, c2 = 0.0;
	const char *order[] = {"sliding_friction", "rolling_resistance"};
	struct profile profile = made_up_profile(correlation, order);
	struct table_draws table = table_draws_profile(&profile, NULL);
	struct constant_draws draws = table_draws_constants(&table);

	for (uint64_t k = 0; k < DRAWS; k++) {
		struct random_stream stream = random_start(11, k);
		struct constants drawn = constant_draws_take(&draws, &stream);
		double a = log(drawn.value[SLIDING_FRICTION] / 0.187);
		double b = log(drawn.value[ROLLING_RESISTANCE] / 0.0091);
		double c = log(drawn.value[SPIN_FRICTION] / constant_prior(SPIN_FRICTION)->centre);

		a2 += a * a / DRAWS;
		b2 += b * b / DRAWS;
		ab += a * b / DRAWS;
		c2 += c * c / DRAWS;
		ck_assert_double_eq(drawn.value[BALL_FRICTION],
		                    constant_prior(BALL_FRICTION)->centre);
	}
	ck_assert_double_eq_tol(sqrt(a2), 0.0731, 0.003);
	ck_assert_double_eq_tol(sqrt(b2), 0.0293, 0.0012);
	ck_assert_double_eq_tol(ab / sqrt(a2 * b2), -0.63, 0.04);
	ck_assert_double_ge(sqrt(c2), 0.8 * constant_prior(SPIN_FRICTION)->spread);
}
END_TEST

/* A slow roll up the middle, by a ramp: no rail, no other ball. */
static struct shot_design slow_roll(void)
{
	struct shot_design design = {
	    .key = "roll",
	    .title = "",
	    .how = "",
	    .tries = 2,
	    .aim = {.kind = AIM_POINT, .point_long = 8.0, .point_short = 1.375, .spread_deg = 0.23},
	    .launch = {.by_ramp = true,
	               .speed = 0.5,
	               .speed_spread = 0.017,
	               .ramp = "board",
	               .group_spread = 0.3,
	               .groove_deg = 180.0}};

	design.place[BALL_CUE] = (struct placement){
	    .present = true, .along = {.diamonds = 1.875}, .across = {.diamonds = 1.375}};
	design.watch_count = 1;
	design.watch[0] =
	    (struct watch_interval){{MOMENT_STRIKE, BALL_CUE, 0}, {MOMENT_REST, BALL_CUE, 0}};
	design.measure = 1u << quantity_number((struct quantity){QUANTITY_REST_LONG, BALL_CUE, 0});
	return design;
}

/* Of a rolling ball the rests are known in closed form: d = v^2 / (2 mu g), so the logarithm of d
 * has twice the spread of the speed, and across d times the turn. The outline is about as long and
 * as wide as 90 % of that needs (2.15 standard deviations either way). */
START_TEST(test_area)
{
	struct session session = session_default();
	struct constants middle = constants_centre();
	struct constant_draws draws = constant_draws_exact(&middle);
	struct shot_design design = slow_roll();
	struct shot_card card, again;
	const struct ball_area *area = &card.area.balls[BALL_CUE];
	double way = 0.25 / (2.0 * middle.value[ROLLING_RESISTANCE] * STANDARD_GRAVITY);
	double turn = hypot(0.23, 0.2) * M_PI / 180.0; /* stroke and shot */
	const char *why;

	ck_assert_int_eq(shot_card_make(&design, &session, &draws, 3, 0, 1, &card, &why),
	                 STATUS_OK);
	ck_assert_uint_eq(card.area.played, STOP_AREA_DRAWS - STOP_AREA_MADE);
	ck_assert_uint_eq(area->rests, card.area.played);
	ck_assert_uint_ge(100 * area->inside, 80 * area->rests);
	ck_assert_uint_le(100 * area->inside, 92 * area->rests);
	ck_assert_double_eq_tol(table_long_to_metres(&session.table, area->along),
	                        2.0 * 2.15 * 2.0 * 0.017 * way, 0.13 * 0.14 * way);
	ck_assert_double_eq_tol(table_short_to_metres(&session.table, area->across),
	                        2.0 * 2.15 * turn * way, 0.13 * 0.022 * way);
	/* The boxes: the watch is pressed before the place is measured. */
	ck_assert_uint_eq(card.box_count, 2);
	ck_assert_str_eq(quantity_name(card.boxes[0]), "watch1");
	ck_assert_str_eq(quantity_name(card.boxes[1]), "cue_rest_long");
	/* The same with any number of threads, other with another seed. */
	ck_assert_int_eq(shot_card_make(&design, &session, &draws, 3, 0, 5, &again, &why),
	                 STATUS_OK);
	ck_assert_double_eq(again.area.balls[BALL_CUE].along, area->along);
	shot_card_free(&again);
	ck_assert_int_eq(shot_card_make(&design, &session, &draws, 4, 0, 2, &again, &why),
	                 STATUS_OK);
	ck_assert_double_ne(again.area.balls[BALL_CUE].along, area->along);
	shot_card_free(&again);
	shot_card_free(&card);
}
END_TEST

/* A ball sent into a corner pocket falls nearly always, and the rest is told. */
START_TEST(test_pocket)
{
	struct session session = session_default();
	struct constants middle = constants_centre();
	struct constant_draws draws = constant_draws_exact(&middle);
	struct shot_design design = slow_roll();
	struct stop_area area;
	const char *why;

	design.aim = (struct aim){
	    .kind = AIM_POINT, .point_long = 8.0, .point_short = 4.0, .spread_deg = 0.05};
	design.launch.speed = 1.7;
	ck_assert_int_eq(stop_area_make(&design, &session, &draws, 1, 0, 2, &area, &why),
	                 STATUS_OK);
	ck_assert_uint_ge(area.balls[BALL_CUE].fallen, 585);
	ck_assert_uint_eq(area.balls[BALL_CUE].fallen + area.balls[BALL_CUE].rests +
	                      area.balls[BALL_CUE].left,
	                  area.played);
	stop_area_free(&area);
	design.place[BALL_CUE].along.diamonds = 8.3;
	ck_assert_int_eq(stop_area_make(&design, &session, &draws, 1, 0, 2, &area, &why),
	                 STATUS_INPUT);
	ck_assert(strlen(why) > 0);
	stop_area_free(&area);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("shot card");
	TCase *tests = tcase_create("shot card");
	SRunner *runner = srunner_create(suite);
	int failed;

	tcase_add_test(tests, test_ramp_energy);
	tcase_add_test(tests, test_ramp_newton);
	tcase_add_test(tests, test_ramp_places);
	tcase_add_test(tests, test_pace);
	tcase_add_test(tests, test_draws);
	tcase_add_test(tests, test_draws_of_a_profile);
	tcase_add_test(tests, test_area);
	tcase_add_test(tests, test_pocket);
	suite_add_tcase(suite, tests);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
