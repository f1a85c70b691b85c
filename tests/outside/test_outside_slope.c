/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "base/random.h"
#include "outside_cloth.h"
#include "physics/cloth.h"

/* A ball on a bed that slopes, by up to 20 mm per m: the program's motions, one phase after the
 * other, against the equations of physics.md 1 integrated by SUNDIALS, at every step of that and
 * at the end of every phase. */

#define CASES 400
#define PLACE_TOLERANCE 1e-9 /* [m] */
#define TIME_TOLERANCE 1e-9  /* [s] */

static const struct outside_accuracy proof = {1e-13, 1e-14, 0.0};

struct bed {
	struct constants constants;
	struct ball_body body;
	struct outside_cloth cloth;
	struct outside_integrator *integrator;
	double worst_place, worst_time;
	int misses;
	long steps, phases;
};

static double between(struct random_stream *stream, double low, double high)
{
	return low + (high - low) * random_uniform(stream);
}

static void bed_start(struct bed *bed)
{
	struct outside_system system;

	memset(bed, 0, sizeof *bed);
	bed->constants = constants_centre();
	bed->body = (struct ball_body){0.028575, 0.163, 1.0};
	bed->cloth =
	    (struct outside_cloth){.constants = &bed->constants, .bodies = &bed->body, .count = 1};
	bed->cloth.balls[0].on_table = true;
	system = outside_cloth_system(&bed->cloth);
	bed->integrator = outside_integrator_open(&system, &proof);
	ck_assert_ptr_nonnull(bed->integrator);
}

static void load(const struct ball_state *state, double radius, double *y)
{
	y[OUTSIDE_BALL_X] = state->position.x;
	y[OUTSIDE_BALL_Y] = state->position.y;
	y[OUTSIDE_BALL_VX] = state->velocity.x;
	y[OUTSIDE_BALL_VY] = state->velocity.y;
	y[OUTSIDE_BALL_WX] = radius * state->spin.x;
	y[OUTSIDE_BALL_WY] = radius * state->spin.y;
	y[OUTSIDE_BALL_WZ] = radius * state->spin.z;
}

/* How far two states are apart: place [m], velocity and R w [m/s], the largest. */
static double distance(const double *y, const struct ball_state *state, double radius)
{
	double other[OUTSIDE_BALL_NUMBERS], most = 0.0;

	load(state, radius, other);
	for (int i = 0; i < OUTSIDE_BALL_NUMBERS; i++)
		most = fmax(most, fabs(y[i] - other[i]));
	return most;
}

/* Integrates one phase of the outside ball, looking at the program's own motion at every step; the
 * duration is returned. */
static double follow_phase(struct bed *bed, int row, double *y, const struct ball_state *start,
                           const struct cloth_motion *motion)
{
	bool found[OUTSIDE_ROOTS];
	double t = 0.0, radius = bed->body.radius, off = 0.0;

	ck_assert(outside_integrator_restart(bed->integrator, y));
	for (;;) {
		enum outside_step step = outside_integrator_step(bed->integrator, &t, y, found);
		struct ball_state got =
		    cloth_advance(start, motion, radius, fmin(t, motion->duration));

		ck_assert_int_ne(step, OUTSIDE_FAILED);
		off = fmax(off, distance(y, &got, radius));
		outside_cloth_follow(&bed->cloth, y);
		bed->steps++;
		if (step == OUTSIDE_ROOT && found[OUTSIDE_ROOT_SPIN]) {
			y[OUTSIDE_BALL_WZ] = 0.0;
			break;
		}
		if (step == OUTSIDE_ROOT && found[OUTSIDE_ROOT_PHASE]) {
			t += outside_cloth_end_phase(&bed->cloth, 0, y);
			break;
		}
	}
	bed->worst_place = fmax(bed->worst_place, off);
	bed->misses += close_miss("slope", row, "state on the way", 0.0, off, PLACE_TOLERANCE);
	return t;
}

/* One phase of both, which the end of the side spin may cut in two for SUNDIALS; seconds it took
 * there. */
static double compare_phase(struct bed *bed, int row, double *y, const struct ball_state *start,
                            const struct cloth_motion *motion)
{
	enum outside_phase phase = bed->cloth.balls[0].phase;
	struct cloth_motion rest_of_it = *motion;
	struct ball_state state = *start;
	double took = 0.0, radius = bed->body.radius;

	while (bed->cloth.balls[0].phase == phase) {
		double part = follow_phase(bed, row, y, &state, &rest_of_it);

		took += part;
		state = cloth_advance(&state, &rest_of_it, radius, fmin(part, rest_of_it.duration));
		rest_of_it = cloth_motion_later(&rest_of_it, &state, radius);
		outside_cloth_begin(&bed->cloth, y);
	}
	return took;
}

/* From a state to rest, phase by phase. */
static void compare(struct bed *bed, int row, const struct ball_state *start, double rest[2])
{
	struct ball_state state = *start;
	double y[OUTSIDE_BALL_NUMBERS], radius = bed->body.radius;
	double engine = 0.0, outside = 0.0;

	load(start, radius, y);
	outside_cloth_begin(&bed->cloth, y);
	for (int phases = 0; phases < 3; phases++) {
		struct cloth_motion motion =
		    cloth_motion_start(&state, &bed->body, &bed->constants);

		if (motion.phase == CLOTH_REST)
			break;
		engine += motion.duration;
		outside += compare_phase(bed, row, y, &state, &motion);
		state = cloth_advance(&state, &motion, radius, motion.duration);
		bed->phases++;
		bed->worst_time = fmax(bed->worst_time, fabs(engine - outside));
		bed->misses +=
		    close_miss("slope", row, "end of a phase", outside, engine, TIME_TOLERANCE) +
		    close_miss("slope", row, "state at that end", 0.0, distance(y, &state, radius),
		               PLACE_TOLERANCE);
	}
	bed->misses += close_false("slope", row, "at rest in the end",
	                           bed->cloth.balls[0].phase == OUTSIDE_RESTS &&
	                               vector3_norm_flat(state.velocity) == 0.0);
	rest[0] = y[OUTSIDE_BALL_X];
	rest[1] = y[OUTSIDE_BALL_Y];
}

/* A slope of up to 20 mm per m on which balls stop, and a ball that goes some metres, rolling or
 * with any slip. */
static struct ball_state draw(struct random_stream *stream, int which, struct bed *bed)
{
	double *value = bed->constants.value, heading = between(stream, -CLOSE_PI, CLOSE_PI);
	double way = between(stream, -CLOSE_PI, CLOSE_PI), r = between(stream, 0.0238, 0.0308);
	double limit, slope, speed;
	struct ball_state state = {
	    .position = {between(stream, 0.0, 1.3), between(stream, 0.0, 2.6), r}};

	bed->body = (struct ball_body){r, 0.163, between(stream, 0.7, 1.3)};
	value[SLIDING_FRICTION] = between(stream, 0.06, 0.5);
	value[ROLLING_RESISTANCE] = between(stream, 0.003, 0.05);
	value[SPIN_FRICTION] = between(stream, 0.002, 0.05);
	limit = 1.4 * value[ROLLING_RESISTANCE];
	slope = which % 3 == 0 ? between(stream, 0.0, 1e-3) : between(stream, 0.0, 0.02);
	slope = fmin(slope, between(stream, 0.8, 0.95) * limit);
	bed->constants.terms.slope_long = slope * sin(way);
	bed->constants.terms.slope_short = slope * cos(way);
	speed = sqrt(2.0 * (limit - slope) / 1.4 * STANDARD_GRAVITY * between(stream, 0.02, 8.0));
	state.velocity = vector3_make(speed * cos(heading), speed * sin(heading), 0.0);
	state.spin = vector3_make(-state.velocity.y / r, state.velocity.x / r,
	                          between(stream, -100.0, 100.0));
	if (which % 2 == 0) {
		state.spin.x += between(stream, -100.0, 100.0);
		state.spin.y += between(stream, -100.0, 100.0);
	}
	return state;
}

START_TEST(motions_agree)
{
	struct random_stream stream = random_start(511, 8);
	struct bed bed;
	double rest[2];

	bed_start(&bed);
	for (int i = 0; i < CASES; i++) {
		struct ball_state start = draw(&stream, i, &bed);

		compare(&bed, i, &start, rest);
	}
	outside_integrator_close(bed.integrator);
	printf("%d balls on slopes, %ld phases, %ld steps: states differ by at most %.2g m or m/s, "
	       "ends of phases by %.2g s\n",
	       CASES, bed.phases, bed.steps, bed.worst_place, bed.worst_time);
	ck_assert_int_eq(bed.misses, 0);
}
END_TEST

/* physics.md 1: a ball rolled to rest over d drifts (5/14) (s / mu_r) d down a slope s across its
 * way, for small s; leaving out that rolling resistance opposes the sideways motion, too, would
 * give twice that. The equations themselves say it, and the program with them. */
START_TEST(small_slopes_drift_by_the_rule)
{
	static const double slopes[] = {2e-3, 5e-4, 1.25e-4};
	const double mu = 0.0113, way = 2.29;
	struct bed bed;

	bed_start(&bed);
	bed.constants.value[ROLLING_RESISTANCE] = mu;
	for (int i = 0; i < 3; i++) {
		double s = slopes[i], v = sqrt(2.0 * mu * STANDARD_GRAVITY * way), rest[2];
		double rule = 5.0 / 14.0 * s / mu * way;
		struct ball_state start = {.position = {0.61, 0.17, bed.body.radius},
		                           .velocity = {0.0, v, 0.0},
		                           .spin = {-v / bed.body.radius, 0.0, 0.0}};

		bed.constants.terms.slope_short = s;
		compare(&bed, 1000 + i, &start, rest);
		/* The next order is (s / mu)^2 of it. */
		ck_assert_double_eq_tol((0.61 - rest[0]) / rule, 1.0, 1.2 * (s / mu) * (s / mu));
	}
	outside_integrator_close(bed.integrator);
	ck_assert_int_eq(bed.misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("outside slope");
	TCase *tests = tcase_create("slope");

	tcase_set_timeout(tests, 0);
	tcase_add_test(tests, motions_agree);
	tcase_add_test(tests, small_slopes_drift_by_the_rule);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
