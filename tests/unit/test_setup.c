/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "shot/setup.h"
#include "shot_support.h"

/* Where balls stand and which way the cue points (formats.md 1 and 4), against plain geometry: a
 * point lies on the aim line when the cross product with its direction is zero, and ahead when the
 * scalar product is positive. 9-foot table: a diamond is 0.3175 m. */

#define CASES 500
#define DIAMOND 0.3175
#define RADIUS 0.028575

static double between(struct random_stream *stream, double low, double high)
{
	return shot_support_between(stream, low, high);
}

static struct table nine_foot(void)
{
	return *table_find_preset("pool-9ft", strlen("pool-9ft"));
}

static const struct ball_body like_balls[BALL_ROLES] = {
    {RADIUS, 0.163, 1.0}, {RADIUS, 0.163, 1.0}, {RADIUS, 0.163, 1.0}};

/* blackball: cue ball 47.6 mm, the others 50.8 mm across. */
static const struct ball_body unlike_balls[BALL_ROLES] = {
    {0.0238, 0.094, 1.0}, {0.0254, 0.116, 1.0}, {0.0254, 0.116, 1.0}};

static void place(struct shot_design *design, enum ball_role ball, double along, double across)
{
	design->place[ball] = (struct placement){.present = true};
	design->place[ball].along.diamonds = along;
	design->place[ball].across.diamonds = across;
}

static struct shot_design lone_design(double along, double across)
{
	struct shot_design design = {.key = "set up", .tries = 1};

	place(&design, BALL_CUE, along, across);
	design.aim = (struct aim){.kind = AIM_POINT, .point_long = 8.0, .point_short = 2.0};
	design.launch = (struct launch){.speed = 1.83, .height = -0.13, .side = 0.29};
	return design;
}

static struct shot_setup made(const struct shot_design *design, const struct table *table,
                              const struct ball_body *bodies)
{
	const char *why = "";
	struct shot_setup setup;

	ck_assert_msg(shot_setup_make(design, table, bodies, &setup, &why), "%s", why);
	return setup;
}

/* How far a point lies to the left of the aim line [m], seen along it, and how far ahead. */
static double left_of_aim(const struct shot_setup *setup, double x, double y)
{
	const struct vector3 *p = &setup->balls[BALL_CUE].position;

	return cos(setup->aim) * (y - p->y) - sin(setup->aim) * (x - p->x);
}

static double ahead(const struct shot_setup *setup, double x, double y)
{
	const struct vector3 *p = &setup->balls[BALL_CUE].position;

	return cos(setup->aim) * (x - p->x) + sin(setup->aim) * (y - p->y);
}

START_TEST(balls_stand_where_the_design_says)
{
	struct table table = nine_foot();
	struct shot_design design = lone_design(2.343, 0.641);
	struct shot_setup setup;

	place(&design, BALL_OBJECT2, 6.125, 3.375);
	setup = made(&design, &table, like_balls);
	ck_assert(setup.present[BALL_CUE] && !setup.present[BALL_OBJECT] &&
	          setup.present[BALL_OBJECT2]);
	ck_assert_double_eq_tol(setup.balls[BALL_CUE].position.x, 0.641 * DIAMOND, 1e-15);
	ck_assert_double_eq_tol(setup.balls[BALL_CUE].position.y, 2.343 * DIAMOND, 1e-15);
	ck_assert_double_eq(setup.balls[BALL_CUE].position.z, RADIUS);
	ck_assert_double_eq_tol(setup.balls[BALL_OBJECT2].position.x, 3.375 * DIAMOND, 1e-15);
	ck_assert_double_eq_tol(setup.balls[BALL_OBJECT2].position.y, 6.125 * DIAMOND, 1e-15);
	ck_assert_double_eq(vector3_norm(setup.balls[BALL_CUE].velocity), 0.0);
	ck_assert_double_eq(vector3_norm(setup.balls[BALL_CUE].spin), 0.0);
}
END_TEST

/* Frozen: the centre is one radius from the nose, of whichever ball it is. */
START_TEST(frozen_balls_touch_their_rail)
{
	struct table table = nine_foot();

	for (int i = 0; i < 4; i++) {
		struct shot_design design = lone_design(4.5, 2.5);
		struct shot_setup setup;
		struct vector3 p;
		double radius;

		place(&design, BALL_OBJECT, 1.5, 1.5);
		if (i < 2)
			design.place[i % 2].along = (struct place_coordinate){
			    .frozen = true, .rail = i == 0 ? RAIL_HEAD : RAIL_FOOT};
		else
			design.place[i % 2].across = (struct place_coordinate){
			    .frozen = true, .rail = i == 2 ? RAIL_LEFT : RAIL_RIGHT};
		setup = made(&design, &table, unlike_balls);
		p = setup.balls[i % 2].position;
		radius = unlike_balls[i % 2].radius;
		ck_assert_double_eq_tol(i < 2 ? p.y : p.x,
		                        i == 0 || i == 2 ? radius : (i == 1 ? 2.54 : 1.27) - radius,
		                        1e-15);
	}
}
END_TEST

/* Centres R1 + R2 apart in space, each at the height of its radius, on the line from the touched
 * ball's centre to the point as seen from above. */
START_TEST(touching_balls_touch)
{
	struct random_stream stream = random_start(9437, 1);
	struct table table = nine_foot();
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		const struct ball_body *bodies = i % 2 == 0 ? like_balls : unlike_balls;
		enum ball_role touched = i % 4 < 2 ? BALL_CUE : BALL_OBJECT;
		enum ball_role other = touched == BALL_CUE ? BALL_OBJECT : BALL_CUE;
		struct shot_design design = lone_design(4.0, 2.0);
		double along = between(&stream, 2.0, 6.0), across = between(&stream, 1.0, 3.0);
		double to_long = between(&stream, 0.0, 8.0), to_short = between(&stream, 0.0, 4.0);
		struct shot_setup setup;
		struct vector3 line, toward;

		place(&design, touched, along, across);
		design.place[other] = (struct placement){.present = true,
		                                         .touching = true,
		                                         .touched = touched,
		                                         .toward_long = to_long,
		                                         .toward_short = to_short};
		setup = made(&design, &table, bodies);
		line = vector3_subtract(setup.balls[other].position, setup.balls[touched].position);
		toward =
		    vector3_make((to_short - across) * DIAMOND, (to_long - along) * DIAMOND, 0.0);
		misses += close_miss("touching", i, "apart", bodies[0].radius + bodies[1].radius,
		                     vector3_norm(line), 1e-14) +
		          close_miss("touching", i, "on the line", 0.0,
		                     line.x * toward.y - line.y * toward.x, 1e-14) +
		          close_false("touching", i, "towards the point",
		                      line.x * toward.x + line.y * toward.y > 0.0) +
		          close_miss("touching", i, "height", bodies[other].radius,
		                     setup.balls[other].position.z, 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A ball against a ball against a ball, placed in whichever order. */
START_TEST(chains_of_touching_balls_stand)
{
	struct table table = nine_foot();
	struct shot_design design = lone_design(4.0, 2.0);
	struct shot_setup setup;
	struct vector3 first, second;

	place(&design, BALL_OBJECT2, 3.5, 1.25);
	design.place[BALL_OBJECT] = (struct placement){.present = true,
	                                               .touching = true,
	                                               .touched = BALL_OBJECT2,
	                                               .toward_long = 8.0,
	                                               .toward_short = 1.25};
	design.place[BALL_CUE] = (struct placement){.present = true,
	                                            .touching = true,
	                                            .touched = BALL_OBJECT,
	                                            .toward_long = 3.0,
	                                            .toward_short = 4.0};
	setup = made(&design, &table, like_balls);
	first = setup.balls[BALL_OBJECT].position;
	second = setup.balls[BALL_CUE].position;
	ck_assert_double_eq_tol(first.x, 1.25 * DIAMOND, 1e-15);
	ck_assert_double_eq_tol(first.y, 3.5 * DIAMOND + 2.0 * RADIUS, 1e-15);
	ck_assert_double_eq_tol(hypot(second.x - first.x, second.y - first.y), 2.0 * RADIUS, 1e-14);
	ck_assert_double_gt(second.x, first.x);
	ck_assert_double_lt(second.y, first.y);
}
END_TEST

/* A point on the nose line of each rail, and the sight mark behind it by the setback. */
START_TEST(rails_are_aimed_at)
{
	struct random_stream stream = random_start(9437, 2);
	struct table table = nine_foot();
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		double along = between(&stream, 0.3, 7.7), across = between(&stream, 0.3, 3.7);
		struct shot_design design = lone_design(along, across);
		enum rail rail = (enum rail)(i % 4);
		bool sight = i % 8 >= 4;
		double at = between(&stream, 0.0, rail_is_long(rail) ? 8.0 : 4.0);
		double behind = sight ? 0.09366 : 0.0; /* formats.md 1, pool-9ft */
		struct shot_setup setup;
		double x, y;

		design.aim =
		    (struct aim){.kind = sight ? AIM_SIGHT : AIM_NOSE, .rail = rail, .at = at};
		setup = made(&design, &table, like_balls);
		x = rail == RAIL_LEFT ? -behind : rail == RAIL_RIGHT ? 1.27 + behind : at * DIAMOND;
		y = rail == RAIL_HEAD ? -behind : rail == RAIL_FOOT ? 2.54 + behind : at * DIAMOND;
		misses +=
		    close_miss("rail", i, "on the line", 0.0, left_of_aim(&setup, x, y), 1e-14) +
		    close_false("rail", i, "ahead", ahead(&setup, x, y) > 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

START_TEST(points_are_aimed_at)
{
	struct random_stream stream = random_start(9437, 3);
	struct table table = nine_foot();
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct shot_design design =
		    lone_design(between(&stream, 0.3, 7.7), between(&stream, 0.3, 3.7));
		struct shot_setup setup;
		double x, y;

		design.aim.point_long = between(&stream, 0.0, 8.0);
		design.aim.point_short = between(&stream, 0.0, 4.0);
		x = design.aim.point_short * DIAMOND;
		y = design.aim.point_long * DIAMOND;
		setup = made(&design, &table, like_balls);
		misses +=
		    close_miss("point", i, "on the line", 0.0, left_of_aim(&setup, x, y), 1e-14) +
		    close_false("point", i, "ahead", ahead(&setup, x, y) > 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* formats.md 4: the aim line passes (1 - fullness)(R1 + R2) beside the ball's centre; `contact` is
 * the side of the ball that is hit as seen along the shot, so the line passes on that side. */
START_TEST(balls_are_aimed_at)
{
	struct random_stream stream = random_start(9437, 4);
	struct table table = nine_foot();
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		const struct ball_body *bodies = i % 2 == 0 ? like_balls : unlike_balls;
		enum ball_role target = i % 3 == 0 ? BALL_OBJECT2 : BALL_OBJECT;
		struct shot_design design =
		    lone_design(between(&stream, 0.3, 3.0), between(&stream, 0.3, 3.7));
		bool left = i % 4 < 2;
		double fullness = i % 5 == 0 ? 1.0 : between(&stream, 0.01, 1.0), beside;
		struct shot_setup setup;
		struct vector3 p;

		place(&design, target, between(&stream, 3.5, 7.7), between(&stream, 0.3, 3.7));
		design.aim = (struct aim){.kind = AIM_BALL,
		                          .ball = target,
		                          .fullness = fullness,
		                          .contact = left ? AIM_SIDE_LEFT : AIM_SIDE_RIGHT};
		setup = made(&design, &table, bodies);
		p = setup.balls[target].position;
		/* The line is to the left of the centre when the centre is to the right of it. */
		beside = (1.0 - fullness) * (bodies[BALL_CUE].radius + bodies[target].radius);
		misses += close_miss("ball", i, "beside", left ? -beside : beside,
		                     left_of_aim(&setup, p.x, p.y), 1e-14) +
		          close_false("ball", i, "ahead", ahead(&setup, p.x, p.y) > 0.0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The stroke is the design's, and the struck ball leaves along the aim, turned, with squirt. */
START_TEST(strikes_follow_the_design)
{
	struct table table = nine_foot();
	struct shot_design design = lone_design(1.7, 1.1);
	struct ball_state states[BALL_ROLES];
	struct shot_setup setup;
	struct stroke stroke;
	double way;

	place(&design, BALL_OBJECT, 5.0, 2.0);
	design.launch.elevation_deg = 12.5;
	stroke = shot_design_stroke(&design);
	ck_assert_double_eq(stroke.speed, 1.83);
	ck_assert_double_eq(stroke.height, -0.13);
	ck_assert_double_eq(stroke.side, 0.29);
	ck_assert_double_eq(stroke.turn, 0.0);
	ck_assert_double_eq_tol(stroke.elevation, 12.5 * CLOSE_PI / 180.0, 1e-15);
	setup = made(&design, &table, like_balls);
	stroke.turn = 0.0173;
	stroke.elevation = 0.0;
	shot_setup_strike(&setup, &design, &stroke, 0.0, 0.0, states);
	way = setup.aim + 0.0173;
	ck_assert_double_eq_tol(states[BALL_CUE].velocity.x, 1.83 * cos(way), 1e-14);
	ck_assert_double_eq_tol(states[BALL_CUE].velocity.y, 1.83 * sin(way), 1e-14);
	ck_assert_double_eq_tol(RADIUS * states[BALL_CUE].spin.z, 2.5 * 0.29 * 1.83, 1e-14);
	ck_assert_double_eq(vector3_norm(states[BALL_OBJECT].velocity), 0.0);
	/* physics.md 4: with an end mass, right-hand side sends the ball to the left. */
	shot_setup_strike(&setup, &design, &stroke, 20.0, 0.0, states);
	ck_assert_double_eq_tol(
	    atan2(states[BALL_CUE].velocity.y, states[BALL_CUE].velocity.x) - way,
	    atan(2.5 * 0.29 * sqrt(1.0 - 0.29 * 0.29) / (21.0 + 2.5 * (1.0 - 0.29 * 0.29))), 1e-14);
}
END_TEST

/* formats.md 4: from a ramp the ball leaves with R w = v / sin(groove / 2), rolling for a flat
 * one. */
START_TEST(ramps_release_by_their_groove)
{
	struct table table = nine_foot();
	struct shot_design design = lone_design(1.7, 1.1);
	struct ball_state states[BALL_ROLES];
	struct shot_setup setup = made(&design, &table, like_balls);
	struct stroke stroke = {.speed = 1.27};

	design.launch.by_ramp = true;
	design.launch.groove_deg = 180.0;
	shot_setup_strike(&setup, &design, &stroke, 0.0, 0.0, states);
	ck_assert_double_le(vector3_norm(ball_slip(&states[BALL_CUE], RADIUS)), 1e-15);
	design.launch.groove_deg = 90.0;
	shot_setup_strike(&setup, &design, &stroke, 0.0, 0.0, states);
	ck_assert_double_eq_tol(RADIUS * vector3_norm(states[BALL_CUE].spin), 1.27 * sqrt(2.0),
	                        1e-14);
	ck_assert_double_eq(states[BALL_CUE].spin.z, 0.0);
	ck_assert_double_eq_tol(vector3_norm(states[BALL_CUE].velocity), 1.27, 1e-14);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("setup of a shot");
	TCase *setups = tcase_create("setups");

	tcase_add_test(setups, balls_stand_where_the_design_says);
	tcase_add_test(setups, frozen_balls_touch_their_rail);
	tcase_add_test(setups, touching_balls_touch);
	tcase_add_test(setups, chains_of_touching_balls_stand);
	tcase_add_test(setups, rails_are_aimed_at);
	tcase_add_test(setups, points_are_aimed_at);
	tcase_add_test(setups, balls_are_aimed_at);
	tcase_add_test(setups, strikes_follow_the_design);
	tcase_add_test(setups, ramps_release_by_their_groove);
	suite_add_tcase(suite, setups);
	return close_run(suite);
}
