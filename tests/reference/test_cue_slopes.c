/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"
#include "differences.h"

#include "base/random.h"
#include "physics/cue.h"

/* Derivatives of the strike and of the release against extrapolated differences of these. */

#define CASES 2000
#define RADIUS 0.028575

static const struct ball_body body = {RADIUS, 0.1634, 1.0};

struct shot {
	struct stroke stroke;
	double aim, end_mass_ratio, groove; /* of a ramp; 0: a strike */
};

static double between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

static struct shot random_shot(struct random_stream *random, int which)
{
	double offset = 0.5 * sqrt(random_uniform(random));
	double direction = between(random, -CLOSE_PI, CLOSE_PI);

	return (struct shot){.stroke = {.speed = between(random, 0.3, 6.0),
	                                .turn = between(random, -0.02, 0.02),
	                                .height = offset * sin(direction),
	                                .side = offset * cos(direction),
	                                .elevation = which % 2 ? between(random, 0.0, 1.2) : 0.0},
	                     .aim = between(random, -3.0, 3.0),
	                     .end_mass_ratio = which % 3 ? between(random, 8.0, 60.0) : 0.0};
}

static void shifted_shot(const void *context, int changed, double shift, double *values)
{
	struct shot shot = *(const struct shot *)context;
	struct stroke *stroke = &shot.stroke;
	double *inputs[CUE_IN] = {&stroke->speed, &stroke->turn, &stroke->height, &stroke->side,
	                          &stroke->elevation};
	struct ball_state ball = {.position = {0.6, 0.7, RADIUS}};

	*inputs[changed] += shift;
	if (shot.groove > 0.0)
		cue_release(stroke, shot.aim, shot.groove, &body, &ball);
	else
		cue_strike(stroke, shot.aim, shot.end_mass_ratio, 0.0, &body, &ball);
	values[0] = ball.velocity.x;
	values[1] = ball.velocity.y;
	values[2] = ball.spin.x;
	values[3] = ball.spin.y;
	values[4] = ball.spin.z;
}

/* Relative to the speed, and to the speed over the radius for spins. */
static int check_shot(int i, const struct shot *shot, const struct cue_slopes *slopes)
{
	double speed = shot->stroke.speed / cos(shot->stroke.elevation);
	int misses = 0;

	for (int input = 0; input < CUE_IN; input++) {
		double found[CUE_OUT];

		differences(shifted_shot, shot, input, 0.02, CUE_OUT, found);
		for (int k = 0; k < CUE_OUT; k++)
			misses += close_miss("cue", i, "slope", found[k], slopes->by[k][input],
			                     1e-9 * fmax(1.0, speed) *
			                         (k < 2 ? 1.0 : 1.0 / RADIUS));
	}
	return misses;
}

START_TEST(strike_slopes_match_differences)
{
	struct random_stream random = random_start(6203, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct shot shot = random_shot(&random, i);
		struct cue_slopes slopes;

		cue_strike_slopes(&shot.stroke, shot.aim, shot.end_mass_ratio, &body, &slopes);
		misses += check_shot(i, &shot, &slopes);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

START_TEST(release_slopes_match_differences)
{
	struct random_stream random = random_start(6203, 2);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct shot shot = random_shot(&random, i);
		struct cue_slopes slopes;

		shot.groove = between(&random, 0.9, CLOSE_PI);
		cue_release_slopes(&shot.stroke, shot.aim, shot.groove, &body, &slopes);
		misses += check_shot(i, &shot, &slopes);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("derivatives of the strike");
	TCase *tests = tcase_create("slopes");

	tcase_add_test(tests, strike_slopes_match_differences);
	tcase_add_test(tests, release_slopes_match_differences);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
