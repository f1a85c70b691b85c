/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "physics/cloth.h"
#include "shot_support.h"

/* Angular momentum of a sliding ball. On a level bed the ball feels its weight, the bed's reaction
 * on the vertical line through its centre, and friction in the plane of the bed at the point where
 * it touches. The first two cancel, and friction has no moment about any line in that plane. So the
 * angular momentum about every fixed line in the bed is kept while the ball slides, however
 * friction turns and however the side spin falls: derived from Newton's laws.
 *
 * With d from a point of the line to the centre, (d x v + (2/5) R^2 w) . u is kept for every level
 * u. As d x v has the level part R z x v, that is v + (2/5) R (w x z): 7/5 of the velocity once the
 * ball rolls. */

#define STATES 10000
#define TIMES 23
#define TOLERANCE 1e-12 /* relative to the speed and the speed of spin at the start */

/* A ball anywhere on a table, going any way with any spin, and its body. */
static struct ball_state draw_state(struct random_stream *stream, const struct ball_body *body)
{
	struct ball_state state = {.position = {0.0, 0.0, body->radius}};
	double heading = shot_support_between(stream, -M_PI, M_PI);
	double speed = 9.0 * pow(10.0, shot_support_between(stream, -3.0, 0.0));

	state.position.x = shot_support_between(stream, 0.0, 1.5);
	state.position.y = shot_support_between(stream, 0.0, 3.0);
	state.velocity = vector3_make(speed * cos(heading), speed * sin(heading), 0.0);
	state.spin.x = 2.0 * speed / body->radius * random_normal(stream);
	state.spin.y = 2.0 * speed / body->radius * random_normal(stream);
	state.spin.z = 2.0 * speed / body->radius * random_normal(stream);
	return state;
}

/* About the line through a point of the bed in a level direction, divided by the mass [m^2/s]. */
static double about_line(const struct ball_state *state, double radius, struct vector3 point,
                         struct vector3 direction)
{
	struct vector3 orbital =
	    vector3_cross(vector3_subtract(state->position, point), state->velocity);
	struct vector3 own = vector3_scale(0.4 * radius * radius, state->spin);

	return vector3_dot(direction, vector3_add(orbital, own));
}

/* v + (2/5) R (w x z) [m/s] */
static struct vector3 kept_velocity(const struct ball_state *state, double radius)
{
	struct vector3 up = {0.0, 0.0, 1.0};
	struct vector3 turn = vector3_scale(0.4 * radius, vector3_cross(state->spin, up));

	return vector3_add(state->velocity, turn);
}

/* Compares a state on the way with the start. */
static int check_state(int row, const struct ball_state *start, const struct ball_state *state,
                       double radius, struct random_stream *stream)
{
	double scale = vector3_norm(start->velocity) + 0.4 * radius * vector3_norm(start->spin);
	double way = shot_support_between(stream, -M_PI, M_PI);
	struct vector3 direction = {cos(way), sin(way), 0.0};
	double across = shot_support_between(stream, -1.0, 2.0);
	struct vector3 point = {across, shot_support_between(stream, -1.0, 4.0), 0.0};
	struct vector3 before = kept_velocity(start, radius), now = kept_velocity(state, radius);

	return close_miss("sliding", row, "v + 2/5 R w x z, across, of the start", 0.0,
	                  (now.x - before.x) / scale, TOLERANCE) +
	       close_miss("sliding", row, "v + 2/5 R w x z, along, of the start", 0.0,
	                  (now.y - before.y) / scale, TOLERANCE) +
	       close_miss("sliding", row, "angular momentum about a line, of the start", 0.0,
	                  (about_line(state, radius, point, direction) -
	                   about_line(start, radius, point, direction)) /
	                      (radius * scale),
	                  TOLERANCE);
}

static void draw_table(struct random_stream *stream, struct ball_body *body,
                       struct constants *constants)
{
	*constants = constants_centre();
	shot_support_draw_constants(stream, constants);
	body->radius = shot_support_between(stream, 0.02, 0.04);
	body->mass = shot_support_between(stream, 0.1, 0.3);
	body->grip = shot_support_between(stream, 0.5, 2.0);
}

/* Many times within the slide, and its end, where the ball is made to roll exactly. */
START_TEST(angular_momentum_is_kept_while_sliding)
{
	struct random_stream stream = random_start(308117, 1);
	int misses = 0, slides = 0;

	for (int i = 0; i < STATES; i++) {
		struct constants constants;
		struct ball_body body;
		struct ball_state start;
		struct cloth_motion motion;

		draw_table(&stream, &body, &constants);
		start = draw_state(&stream, &body);
		motion = cloth_motion_start(&start, &body, &constants);
		slides += motion.phase == CLOTH_SLIDING;
		for (int k = 1; k <= TIMES && motion.phase == CLOTH_SLIDING; k++) {
			double time = motion.duration * (k < TIMES ? random_uniform(&stream) : 1.0);
			struct ball_state state = cloth_advance(&start, &motion, body.radius, time);

			misses += check_state(i, &start, &state, body.radius, &stream);
		}
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_eq(slides, STATES);
}
END_TEST

/* In pieces: each state on the way is the start of a slide of its own. */
START_TEST(angular_momentum_is_kept_piece_by_piece)
{
	struct random_stream stream = random_start(308117, 2);
	int misses = 0;

	for (int i = 0; i < STATES; i++) {
		struct constants constants;
		struct ball_body body;
		struct ball_state start, state;

		draw_table(&stream, &body, &constants);
		start = state = draw_state(&stream, &body);
		for (int k = 0; k < 5; k++) {
			struct cloth_motion motion = cloth_motion_start(&state, &body, &constants);

			if (motion.phase != CLOTH_SLIDING)
				break;
			state = cloth_advance(&state, &motion, body.radius,
			                      (k < 4 ? 0.4 : 1.0) * motion.duration);
			misses += check_state(i, &start, &state, body.radius, &stream);
		}
		misses += close_false("pieces", i, "rolls at the end",
		                      vector3_norm(ball_slip(&state, body.radius)) <=
		                          TOLERANCE * vector3_norm(start.spin) * body.radius);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* What a ball rolls with is 5/7 of the kept velocity, whatever the friction. */
START_TEST(rolling_velocity_follows_from_the_start)
{
	struct random_stream stream = random_start(308117, 3);
	int misses = 0;

	for (int i = 0; i < STATES; i++) {
		struct constants constants;
		struct ball_body body;
		struct ball_state start, end;
		struct vector3 kept;
		double scale;

		draw_table(&stream, &body, &constants);
		start = draw_state(&stream, &body);
		kept = vector3_scale(5.0 / 7.0, kept_velocity(&start, body.radius));
		scale = vector3_norm(start.velocity) + 0.4 * body.radius * vector3_norm(start.spin);
		end = cloth_roll_out(&start, &body, &constants, NULL);
		misses += close_miss("rolling", i, "velocity across, of the start", kept.x / scale,
		                     end.velocity.x / scale, TOLERANCE);
		misses += close_miss("rolling", i, "velocity along, of the start", kept.y / scale,
		                     end.velocity.y / scale, TOLERANCE);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("angular momentum of sliding balls");
	TCase *angular = tcase_create("angular");

	tcase_add_test(angular, angular_momentum_is_kept_while_sliding);
	tcase_add_test(angular, angular_momentum_is_kept_piece_by_piece);
	tcase_add_test(angular, rolling_velocity_follows_from_the_start);
	suite_add_tcase(suite, angular);
	return close_run(suite);
}
