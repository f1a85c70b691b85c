/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "shot/setup.h"

/* Designs that cannot stand on a table: refused with a sentence. 9-foot table, like balls; a radius
 * is 0.09 of a diamond. */

#define RADIUS 0.028575

static const struct ball_body like_balls[BALL_ROLES] = {
    {RADIUS, 0.163, 1.0}, {RADIUS, 0.163, 1.0}, {RADIUS, 0.163, 1.0}};

static void place(struct shot_design *design, enum ball_role ball, double along, double across)
{
	design->place[ball] = (struct placement){.present = true};
	design->place[ball].along.diamonds = along;
	design->place[ball].across.diamonds = across;
}

static struct shot_design good_design(void)
{
	struct shot_design design = {.key = "good", .tries = 1};

	place(&design, BALL_CUE, 2.0, 2.0);
	place(&design, BALL_OBJECT, 5.0, 1.0);
	design.aim = (struct aim){
	    .kind = AIM_BALL, .ball = BALL_OBJECT, .fullness = 0.5, .contact = AIM_SIDE_LEFT};
	design.launch = (struct launch){.speed = 1.83};
	return design;
}

/* Whether the design is refused; the sentence must name what is wrong by one of two words. */
static void refused(const struct shot_design *design, const char *word, const char *other)
{
	const struct table *table = table_find_preset("pool-9ft", strlen("pool-9ft"));
	struct shot_setup setup;
	const char *why = NULL;

	ck_assert(!shot_setup_make(design, table, like_balls, &setup, &why));
	ck_assert_ptr_nonnull(why);
	ck_assert_msg(strstr(why, word) != NULL || strstr(why, other) != NULL, "%s", why);
}

static bool accepted_with(const struct shot_design *design, const struct ball_body *bodies,
                          const char **why)
{
	const struct table *table = table_find_preset("pool-9ft", strlen("pool-9ft"));
	struct shot_setup setup;

	return shot_setup_make(design, table, bodies, &setup, why);
}

static bool accepted(const struct shot_design *design)
{
	const char *why = NULL;

	return accepted_with(design, like_balls, &why);
}

START_TEST(good_design_stands)
{
	struct shot_design design = good_design();

	ck_assert(accepted(&design));
}
END_TEST

/* A centre nearer to a nose than the radius, 0.09 diamonds, at each rail; a little farther
 * stands. */
START_TEST(balls_inside_a_cushion)
{
	static const double inside[][2] = {{0.08, 2}, {7.92, 2}, {4, 0.08}, {4, 3.92}, {0, 0}};
	static const double outside[][2] = {{0.0901, 2}, {7.9099, 2}, {4, 0.0901}, {4, 3.9099}};

	for (int i = 0; i < 5; i++) {
		struct shot_design design = good_design();

		place(&design, i % 2 == 0 ? BALL_CUE : BALL_OBJECT, inside[i][0], inside[i][1]);
		refused(&design, "cushion", "nose");
	}
	for (int i = 0; i < 4; i++) {
		struct shot_design design = good_design();

		place(&design, BALL_OBJECT2, outside[i][0], outside[i][1]);
		ck_assert(accepted(&design));
	}
}
END_TEST

/* Centres 0.18 diamonds apart touch. */
START_TEST(balls_inside_one_another)
{
	struct shot_design design = good_design();

	place(&design, BALL_OBJECT2, 5.0, 1.179);
	refused(&design, "inside", "another");
	place(&design, BALL_OBJECT2, 5.0, 1.181);
	ck_assert(accepted(&design));
	place(&design, BALL_OBJECT2, 2.1, 2.1);
	refused(&design, "inside", "another");
	/* Against a ball, but into a third. */
	place(&design, BALL_OBJECT2, 4.9, 1.0 + 0.18);
	design.place[BALL_CUE] = (struct placement){.present = true,
	                                            .touching = true,
	                                            .touched = BALL_OBJECT,
	                                            .toward_long = 4.9,
	                                            .toward_short = 1.1};
	refused(&design, "inside", "another");
}
END_TEST

/* Balls of 47.6 and 60.3 mm on one bed touch at 2 sqrt(R1 R2) = sqrt(47.6 x 60.3) = 53.574994 mm in
 * plan, 0.16874014 diamonds, where R1 + R2 would be 0.169921: between the two they stand apart. */
START_TEST(unequal_balls_inside_one_another)
{
	static const struct ball_body bodies[BALL_ROLES] = {
	    {0.0238, 0.094, 1.0}, {0.03015, 0.211, 1.0}, {RADIUS, 0.163, 1.0}};
	struct shot_design design = good_design();
	const char *why = NULL;

	place(&design, BALL_OBJECT, 2.0, 2.168740);
	ck_assert(!accepted_with(&design, bodies, &why));
	ck_assert_str_eq(why, "two balls stand inside one another");
	place(&design, BALL_OBJECT, 2.0, 2.168741);
	ck_assert(accepted_with(&design, bodies, &why));
}
END_TEST

/* The nose stands 36.3 mm above the bed: above the centre of a ball of up to 72.6 mm and below the
 * top of one of more than 36.3 mm. Balls that are not placed do not matter. */
START_TEST(balls_that_the_cushion_cannot_meet)
{
	static const double diameters[] = {0.0362, 0.0727, 0.0364, 0.0725};
	struct shot_design design = good_design();

	for (int i = 0; i < 4; i++) {
		struct ball_body bodies[BALL_ROLES] = {like_balls[0], like_balls[1], {0.05, 0.2, 1.0}};
		const char *why = NULL;

		bodies[BALL_OBJECT].radius = 0.5 * diameters[i];
		ck_assert_int_eq(accepted_with(&design, bodies, &why), i >= 2);
		if (i < 2)
			ck_assert_ptr_nonnull(strstr(why, "so large or so small"));
	}
}
END_TEST

START_TEST(touching_nothing)
{
	struct shot_design design = good_design();

	/* A ball that is not there. */
	design.place[BALL_OBJECT] = (struct placement){.present = true,
	                                               .touching = true,
	                                               .touched = BALL_OBJECT2,
	                                               .toward_long = 8.0,
	                                               .toward_short = 3.0};
	refused(&design, "touch", "placed");
	/* Itself, and one another in a circle. */
	design.place[BALL_OBJECT].touched = BALL_OBJECT;
	refused(&design, "touch", "circle");
	design.place[BALL_OBJECT].touched = BALL_CUE;
	design.place[BALL_CUE] = design.place[BALL_OBJECT];
	design.place[BALL_CUE].touched = BALL_OBJECT;
	refused(&design, "touch", "circle");
	/* Towards the centre of the ball it touches: no direction. */
	design = good_design();
	design.place[BALL_OBJECT] = (struct placement){.present = true,
	                                               .touching = true,
	                                               .touched = BALL_CUE,
	                                               .toward_long = 2.0,
	                                               .toward_short = 2.0};
	refused(&design, "direction", "touch");
	/* Out through a cushion. */
	place(&design, BALL_CUE, 0.1, 2.0);
	design.place[BALL_OBJECT].toward_long = 0.0;
	refused(&design, "cushion", "nose");
}
END_TEST

START_TEST(aims_that_have_no_direction)
{
	struct shot_design design = good_design();

	design.aim = (struct aim){.kind = AIM_POINT, .point_long = 2.0, .point_short = 2.0};
	refused(&design, "aimed at", "direction");
	/* A ball that is not there, the cue ball itself. */
	design.aim = (struct aim){.kind = AIM_BALL, .ball = BALL_OBJECT2, .fullness = 1.0};
	refused(&design, "not placed", "aimed at");
	design.aim.ball = BALL_CUE;
	refused(&design, "not placed", "aimed at");
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("setups refused");
	TCase *refusals = tcase_create("refusals");

	tcase_add_test(refusals, good_design_stands);
	tcase_add_test(refusals, balls_inside_a_cushion);
	tcase_add_test(refusals, balls_inside_one_another);
	tcase_add_test(refusals, unequal_balls_inside_one_another);
	tcase_add_test(refusals, balls_that_the_cushion_cannot_meet);
	tcase_add_test(refusals, touching_nothing);
	tcase_add_test(refusals, aims_that_have_no_direction);
	suite_add_tcase(suite, refusals);
	return close_run(suite);
}
