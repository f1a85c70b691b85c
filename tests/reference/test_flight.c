/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "close.h"

#include "base/random.h"
#include "physics/cloth.h"
#include "physics/cue.h"
#include "physics/flight.h"

/* Landings (physics.md 5), jumps and curves of an elevated cue. */

#define CASES 20000
#define RADIUS 0.028575

/* Constants of reference/effects.md. */
static struct constants effect_constants(double bed_restitution)
{
	return (struct constants){.value = {[SLIDING_FRICTION] = 0.20,
	                                    [ROLLING_RESISTANCE] = 0.0105,
	                                    [SPIN_FRICTION] = 0.011},
	                          .terms = {.bed_restitution = bed_restitution}};
}

/* The impulse of a strike along the cue, of this size / mass, before the bed answers. */
static struct ball_state struck_down(double impulse, double elevation, double height, double side)
{
	struct stroke stroke = {.speed = impulse * cos(elevation),
	                        .height = height,
	                        .side = side,
	                        .elevation = elevation};
	struct ball_body body = {RADIUS, 0.1634, 1.0};
	struct ball_state ball = {.position = {0.613, 0.741, RADIUS}};

	cue_strike(&stroke, 0.0, 0.0, 0.0, &body, &ball);
	ball.velocity.z = -impulse * sin(elevation);
	return ball;
}

/* Rows 15 of effects.md: elevation 40 degrees, stick impulse 4 m/s, height -0.15, side 0.2, bed
 * restitution 0.5. Backspin [m/s] after the strike and two landings, share of side left after each
 * landing. The bed's friction during the strike counts there, as if the ball landed with the
 * downward part of the impulse; cue_strike leaves it out (physics.md 4), so here the strike is a
 * landing of its own. */
START_TEST(jumped_balls_keep_their_spin)
{
	static const struct {
		double grip, sliding, backspin[3], side[2];
	} rows[] = {{1.0, 1.0, {-0.36, -1.28, -1.75}, {0.90, 0.88}},
	            {0.7, 1.0, {0.20, -0.45, -0.77}, {0.93, 0.92}},
	            {0.5, 1.0, {0.57, 0.11, -0.12}, {0.95, 0.94}},
	            {1.0, 0.7, {0.20, -0.45, -0.77}, {0.90, 0.88}}};
	int misses = 0;

	for (int i = 0; i < 4; i++) {
		struct ball_body body = {RADIUS, 0.1634, rows[i].grip};
		struct constants constants = effect_constants(0.5);
		struct ball_state ball = struck_down(4.0, close_radians(40.0), -0.15, 0.2);
		double side = ball.spin.z;

		constants.value[SLIDING_FRICTION] *= rows[i].sliding;
		for (int k = 0; k < 3; k++) {
			flight_land(&ball, &body, &constants);
			misses += close_miss("effects 15", i, "backspin", rows[i].backspin[k],
			                     -RADIUS * ball.spin.y, 6e-3);
			if (k > 0)
				misses += close_miss("effects 15", i, "side left",
				                     rows[i].side[k - 1], ball.spin.z / side,
				                     6e-3);
			ck_assert_double_eq_tol(ball.velocity.z,
			                        4.0 * sin(close_radians(40.0)) * pow(0.5, k + 1),
			                        1e-14);
			ball.velocity.z = -ball.velocity.z; /* it flies, and comes down */
		}
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The same row, elevation 50 degrees and height 0.2: the ball grips at once and rolls, whatever the
 * grip is. */
START_TEST(steep_follow_grips_at_once)
{
	struct constants constants = effect_constants(0.5);

	for (double grip = 1.0; grip > 0.45; grip -= 0.25) {
		struct ball_body body = {RADIUS, 0.1634, grip};
		struct ball_state ball = struck_down(4.0, close_radians(50.0), 0.2, 0.0);

		ck_assert_double_ge(vector3_norm(ball_slip(&ball, RADIUS)), 0.5);
		flight_land(&ball, &body, &constants);
		ck_assert_double_le(vector3_norm(ball_slip(&ball, RADIUS)), 1e-14);
	}
}
END_TEST

static double between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

static struct ball_state falling(struct random_stream *random)
{
	double vx = between(random, -4.0, 4.0), vy = between(random, -4.0, 4.0);
	double wx = between(random, -150.0, 150.0), wy = between(random, -150.0, 150.0);

	return (struct ball_state){
	    .position = {0.31, 0.47, RADIUS + 1e-13},
	    .velocity = {vx, vy, -exp(between(random, -7.0, 1.5))},
	    .spin = {wx, wy, between(random, -150.0, 150.0)}};
}

static struct constants random_constants(struct random_stream *random)
{
	struct constants constants = effect_constants(between(random, 0.05, 0.95));

	constants.value[SLIDING_FRICTION] = between(random, 0.03, 0.6);
	constants.value[SPIN_FRICTION] = between(random, 0.001, 0.06);
	return constants;
}

/* Force and torque as vectors, at the lowest point: the slip keeps its direction and loses 7/2 of
 * the impulse / mass that opposes it, and the angular momentum about that point is kept but for the
 * part about the vertical. */
static int check_landing(int i, const struct ball_state *before, const struct ball_state *after,
                         const struct ball_body *body, const struct constants *constants)
{
	struct vector3 arm = vector3_make(0.0, 0.0, -RADIUS);
	struct vector3 push = vector3_subtract(after->velocity, before->velocity);
	struct vector3 turned = vector3_scale(2.5 / (RADIUS * RADIUS), vector3_cross(arm, push));
	struct vector3 spin = vector3_subtract(after->spin, before->spin);
	struct vector3 slip = ball_slip(before, RADIUS), left = ball_slip(after, RADIUS);
	double normal = push.z * body->grip, rubbed = hypot(push.x, push.y);
	double most = constants->value[SLIDING_FRICTION] * normal;
	double pivot = 2.5 * constants->value[SPIN_FRICTION] * normal;

	return close_miss("landing", i, "R wx", turned.x * RADIUS, spin.x * RADIUS, 1e-13) +
	       close_miss("landing", i, "R wy", turned.y * RADIUS, spin.y * RADIUS, 1e-13) +
	       close_miss("landing", i, "R wz",
	                  fmax(0.0, RADIUS * fabs(before->spin.z) - pivot),
	                  RADIUS * fabs(after->spin.z), 1e-13) +
	       close_false("landing", i, "side does not turn round",
	                   before->spin.z * after->spin.z >= 0.0) +
	       close_miss("landing", i, "friction",
	                  fmin(most, 2.0 / 7.0 * vector3_norm(slip)), rubbed, 1e-13) +
	       close_miss("landing", i, "slip's direction", 0.0,
	                  vector3_norm(vector3_cross(left, slip)), 1e-11) +
	       close_false("landing", i, "slip's sense", vector3_dot(left, slip) >= -1e-11) +
	       close_false("landing", i, "energy falls",
	                   ball_energy(after, body) < ball_energy(before, body));
}

START_TEST(landings_obey_their_laws)
{
	struct random_stream random = random_start(5203, 1);
	int misses = 0, stuck = 0, ended = 0;

	for (int i = 0; i < CASES; i++) {
		struct constants constants = random_constants(&random);
		struct ball_body body = {RADIUS, 0.1634, between(&random, 0.5, 1.5)};
		struct ball_state before = falling(&random), after = before;
		double up = -constants.terms.bed_restitution * before.velocity.z;

		flight_land(&after, &body, &constants);
		if (up < FLIGHT_LOWEST) {
			ended++;
			up = 0.0;
		}
		stuck += vector3_norm(ball_slip(&after, RADIUS)) < 1e-13;
		misses += check_landing(i, &before, &after, &body, &constants) +
		          close_miss("landing", i, "bounce", up, after.velocity.z, 1e-15) +
		          close_miss("landing", i, "height", RADIUS, after.position.z, 0.0) +
		          close_false("landing", i, "airborne",
		                      flight_airborne(&after, RADIUS, &constants) == (up > 0.0));
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_ge(stuck, CASES / 100);
	ck_assert_int_ge(ended, CASES / 100);
}
END_TEST

/* A ball that hops to the end rubs on the bed as much as one that lies there as long: the impulse
 * of all landings is the weight times the time, so the side spin falls at 5/2 spin_friction g / R
 * (physics.md 1), from the top of one flight to a late one. */
START_TEST(hopping_balls_lose_side_as_lying_ones)
{
	struct constants constants = effect_constants(0.73);
	struct ball_body body = {RADIUS, 0.1634, 0.83};
	struct ball_state ball = {.position = {0.3, 0.4, RADIUS},
	                          .velocity = {0.7, -0.4, -1.9},
	                          .spin = {11.0, -17.0, 83.0}};
	double time = 1.9 / STANDARD_GRAVITY, side = ball.spin.z;
	int landings = 0;

	do {
		flight_land(&ball, &body, &constants);
		ck_assert_int_lt(++landings, 20);
		if (ball.velocity.z > 0.0)
			time += 2.0 * ball.velocity.z / STANDARD_GRAVITY;
		ball.velocity.z = -ball.velocity.z;
	} while (ball.velocity.z < 0.0);
	ck_assert_int_ge(landings, 10);
	ck_assert_double_eq_tol(side - ball.spin.z,
	                        2.5 * 0.011 * 0.83 * STANDARD_GRAVITY / RADIUS * time, 1e-11);
}
END_TEST

/* With no bed restitution balls stay on the bed. */
START_TEST(balls_fly_only_where_the_bed_bounces)
{
	struct constants still = effect_constants(0.0), lively = effect_constants(0.41);
	struct ball_state ball = {.position = {0.3, 0.4, RADIUS}, .velocity = {1.0, 0.0, 0.3}};

	ck_assert(!flight_airborne(&ball, RADIUS, &still));
	ck_assert(flight_airborne(&ball, RADIUS, &lively));
	ball.velocity.z = 0.0;
	ck_assert(!flight_airborne(&ball, RADIUS, &lively));
	ball.position.z = RADIUS + 1e-9;
	ck_assert(flight_airborne(&ball, RADIUS, &lively));
	ck_assert(!flight_airborne(&ball, RADIUS, &still));
}
END_TEST

/* check-values.md 4: the slate gives back the downward part of the impulse times its restitution;
 * everything else is as without a jump. */
START_TEST(elevated_strikes_jump)
{
	struct ball_body body = {RADIUS, 0.1634, 1.0};

	for (double elevation = 0.0; elevation < 1.3; elevation += 0.17) {
		struct stroke stroke = {2.17, 0.013, -0.11, 0.23, elevation};
		struct ball_state jumps = {.position = {0.3, 0.4, RADIUS}}, stays = jumps;

		cue_strike(&stroke, 0.71, 21.0, 0.47, &body, &jumps);
		cue_strike(&stroke, 0.71, 21.0, 0.0, &body, &stays);
		ck_assert_double_eq_tol(jumps.velocity.z, 0.47 * 2.17 * tan(elevation), 1e-14);
		ck_assert_double_eq(stays.velocity.z, 0.0);
		jumps.velocity.z = 0.0;
		ck_assert_mem_eq(&jumps.velocity, &stays.velocity, sizeof stays.velocity);
		ck_assert_mem_eq(&jumps.spin, &stays.spin, sizeof stays.spin);
	}
}
END_TEST

/* check-values.md 1.2: a strike with an elevated cue and side leaves with R w = (-2, -2) and v =
 * (2, 0), row 2: it bends to 33.690 degrees, whatever the friction; where the bend ends does depend
 * on that. v = 2: height -2/5, and side such that the part of its spin along the shot is 2. */
START_TEST(masse_direction_does_not_know_friction)
{
	const double elevation = 0.81;
	struct stroke stroke = {2.0, 0.0, -0.4, -0.4 / tan(elevation), elevation};
	struct ball_body body = {RADIUS, 0.1634, 1.0};
	struct ball_state ball = {.position = {0.0, 0.0, RADIUS}};

	/* The spin of follow and draw is that of the whole impulse, v / cos(elevation). */
	stroke.height = -0.4 * cos(elevation);
	cue_strike(&stroke, 0.0, 0.0, 0.0, &body, &ball);
	ck_assert_double_eq_tol(RADIUS * ball.spin.x, -2.0, 1e-14);
	ck_assert_double_eq_tol(RADIUS * ball.spin.y, -2.0, 1e-14);
	for (double friction = 0.1; friction < 0.45; friction += 0.1) {
		struct constants constants = effect_constants(0.0);
		struct ball_state end;
		double time;

		constants.value[SLIDING_FRICTION] = friction;
		end = cloth_roll_out(&ball, &body, &constants, &time);
		ck_assert_double_eq_tol(close_degrees(atan2(end.velocity.y, end.velocity.x)),
		                        33.690, 6e-4);
		ck_assert_double_eq_tol(end.velocity.x, 0.85714, 6e-6);
		ck_assert_double_eq_tol(end.velocity.y, 0.57143, 6e-6);
		ck_assert_double_eq_tol(time, 0.65147 * 0.2 / friction, 1.2e-5);
		ck_assert_double_eq_tol(end.position.x, 0.93068 * 0.2 / friction, 1.2e-5);
		ck_assert_double_eq_tol(end.position.y, 0.18614 * 0.2 / friction, 1.2e-5);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("landings, jumps and curves");
	TCase *tests = tcase_create("flight");

	tcase_add_test(tests, jumped_balls_keep_their_spin);
	tcase_add_test(tests, steep_follow_grips_at_once);
	tcase_add_test(tests, landings_obey_their_laws);
	tcase_add_test(tests, hopping_balls_lose_side_as_lying_ones);
	tcase_add_test(tests, balls_fly_only_where_the_bed_bounces);
	tcase_add_test(tests, elevated_strikes_jump);
	tcase_add_test(tests, masse_direction_does_not_know_friction);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
