/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "shot_support.h"

/* One ball: rests, stillness, pockets, rail contacts and how they are counted, what is not
 * finite. */

#define CASES 500
#define G STANDARD_GRAVITY

static double between(struct random_stream *stream, double low, double high)
{
	return shot_support_between(stream, low, high);
}

/* check-values.md 1.2 and physics.md 1: with slip u, a ball slides for 2 u / (7 mu g) over (v - u /
 * 7) times that, then rolls at v - 2 u / 7 and stops after that over mu_r g; the side spin is gone
 * after R wz / (5/2 mu_p g). Far from every rail. */
START_TEST(lone_ball_rests_and_is_still_in_time)
{
	struct random_stream stream = random_start(2961, 1);
	int misses = 0;

	for (int i = 0; i < CASES; i++) {
		struct shot_support shot;
		struct shot_record record;
		double heading = between(&stream, -M_PI, M_PI), radius, mu, roll, spin;
		struct vector3 u, v, start, stop;
		double slide, side, speed, time;

		shot_support_start(&shot, 1);
		shot.table.length = shot.table.width = 40.0;
		shot_support_draw_constants(&stream, &shot.constants);
		radius = shot.bodies[0].radius;
		mu = shot.constants.value[SLIDING_FRICTION];
		roll = shot.constants.value[ROLLING_RESISTANCE];
		spin = shot.constants.value[SPIN_FRICTION];
		side = between(&stream, -1.0, 1.0);
		start = vector3_make(20.0, 20.0, radius);
		shot.states[0] = shot_support_ball(20.0, 20.0, radius, heading,
		                                   between(&stream, 0.05, 0.8), 0.0, side);
		shot.states[0].spin.x = between(&stream, -1.0, 1.0) / radius;
		shot.states[0].spin.y = between(&stream, -1.0, 1.0) / radius;
		u = vector3_make(shot.states[0].velocity.x - radius * shot.states[0].spin.y,
		                 shot.states[0].velocity.y + radius * shot.states[0].spin.x, 0.0);
		slide = 2.0 * vector3_norm(u) / (7.0 * mu * G);
		v = vector3_add(shot.states[0].velocity, vector3_scale(-2.0 / 7.0, u));
		speed = vector3_norm(v);
		time = slide + speed / (roll * G);
		stop = vector3_add(start,
		                   vector3_scale(slide, vector3_add(shot.states[0].velocity,
		                                                    vector3_scale(-1.0 / 7.0, u))));
		stop = vector3_add(stop, vector3_scale(speed / (2.0 * roll * G), v));
		shot_support_play(&shot, NULL, &record);
		misses += close_false("lone", i, "complete", record.ending == SHOT_COMPLETE) +
		          close_miss("lone", i, "x", stop.x, record.ends[0].position.x, 1e-10) +
		          close_miss("lone", i, "y", stop.y, record.ends[0].position.y, 1e-10) +
		          close_miss("lone", i, "rest", time, record.ends[0].rest_time, 1e-10) +
		          close_miss("lone", i, "still", fmax(time, fabs(side) / (2.5 * spin * G)),
		                     record.ends[0].still_time, 1e-10) +
		          close_false("lone", i, "no event", record.event_count == 0);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* A ball that only spins is at rest from the start and still later; one that does nothing is
 * both. */
START_TEST(spinning_on_the_spot)
{
	struct shot_support shot;
	struct shot_record record;
	double radius;

	shot_support_start(&shot, 2);
	radius = shot.bodies[0].radius;
	shot.states[0].spin.z = -1.37 / radius;
	shot_support_play(&shot, NULL, &record);
	ck_assert_int_eq(record.ending, SHOT_COMPLETE);
	ck_assert_double_eq(record.ends[0].rest_time, 0.0);
	ck_assert_double_eq_tol(record.ends[0].still_time, 1.37 / (2.5 * 0.010 * G), 1e-12);
	ck_assert_double_eq(record.ends[1].rest_time, 0.0);
	ck_assert_double_eq(record.ends[1].still_time, 0.0);
}
END_TEST

/* Rolls straight at a rail at `along` and tells whether it fell. */
static bool falls(enum rail rail, double along, double *time)
{
	struct shot_support shot;
	struct shot_record record;
	double radius, x, y, run = 0.4, v = 1.1;
	double heading = rail == RAIL_RIGHT  ? 0.0
	                 : rail == RAIL_FOOT ? 0.5 * M_PI
	                 : rail == RAIL_LEFT ? M_PI
	                                     : -0.5 * M_PI;

	shot_support_start(&shot, 1);
	shot.table.pockets = true;
	radius = shot.bodies[0].radius;
	x = rail_is_long(rail)
	        ? (rail == RAIL_LEFT ? radius + run : shot.table.width - radius - run)
	        : along;
	y = rail_is_long(rail)
	        ? along
	        : (rail == RAIL_HEAD ? radius + run : shot.table.length - radius - run);
	shot.states[0] = shot_support_ball(x, y, radius, heading, v, v, 0.3);
	shot_support_play(&shot, NULL, &record);
	ck_assert_int_eq(record.ending, SHOT_COMPLETE);
	ck_assert_uint_ge(record.event_count, 1);
	ck_assert_int_eq(record.events[0].rail, rail);
	/* Rolling over `run` at deceleration mu_r g. */
	*time = (v - sqrt(v * v - 2.0 * 0.010 * G * run)) / (0.010 * G);
	ck_assert_double_eq_tol(record.events[0].time, *time, 1e-12);
	ck_assert_double_eq_tol(record.events[0].approach, v - 0.010 * G * *time, 1e-12);
	if (record.events[0].kind == EVENT_RAIL) {
		ck_assert_int_eq(record.events[0].number, 1);
		return false;
	}
	ck_assert(record.ends[0].pocketed);
	ck_assert_uint_eq(record.event_count, 1);
	ck_assert_int_eq(record.events[0].number, 0);
	ck_assert_double_eq(record.ends[0].rest_time, record.events[0].time);
	ck_assert_double_eq(record.ends[0].still_time, record.events[0].time);
	ck_assert_uint_eq(record.impacts[0], 0);
	return true;
}

/* formats.md 1: half mouths of pool-9ft 80.8 mm (corner, from the corner along the rail) and 63.5
 * mm (side, from the middle of a long rail). A micrometre decides. */
START_TEST(mouths_end_where_the_contract_says)
{
	static const double tiny = 1e-6;
	const struct {
		enum rail rail;
		double edge; /* where a pocket ends */
		double into; /* direction into the pocket */
	} edges[] = {
	    {RAIL_LEFT, 0.0808, -1},        {RAIL_LEFT, 2.54 - 0.0808, 1},
	    {RAIL_RIGHT, 0.0808, -1},       {RAIL_RIGHT, 2.54 - 0.0808, 1},
	    {RAIL_LEFT, 1.27 - 0.0635, 1},  {RAIL_LEFT, 1.27 + 0.0635, -1},
	    {RAIL_RIGHT, 1.27 - 0.0635, 1}, {RAIL_RIGHT, 1.27 + 0.0635, -1},
	    {RAIL_HEAD, 0.0808, -1},        {RAIL_HEAD, 1.27 - 0.0808, 1},
	    {RAIL_FOOT, 0.0808, -1},        {RAIL_FOOT, 1.27 - 0.0808, 1},
	};
	double time;

	for (size_t i = 0; i < sizeof edges / sizeof edges[0]; i++) {
		ck_assert(falls(edges[i].rail, edges[i].edge + tiny * edges[i].into, &time));
		ck_assert(!falls(edges[i].rail, edges[i].edge - tiny * edges[i].into, &time));
	}
	/* The middle of a short rail is no pocket. */
	ck_assert(!falls(RAIL_FOOT, 0.635, &time));
}
END_TEST

/* What was before a ball fell still counts, and the others play on. */
START_TEST(play_goes_on_after_a_ball_fell)
{
	struct shot_support shot;
	struct shot_record record;
	double radius;

	shot_support_start(&shot, 2);
	shot.table.pockets = true;
	radius = shot.bodies[0].radius;
	shot.states[0] = shot_support_ball(0.3, 1.27, radius, M_PI, 0.9, 0.9, 0.0);
	shot.states[1] = shot_support_ball(0.8, 0.6, radius, 0.5 * M_PI, 0.7, 0.7, 0.0);
	shot_support_play(&shot, NULL, &record);
	ck_assert(record.ends[0].pocketed);
	ck_assert(!record.ends[1].pocketed);
	/* The other rolls v^2 / (2 mu_r g) as if nothing had been; 0.49 / 0.196133 = 2.498 m is
	 * more than the way to the foot rail. */
	ck_assert_double_gt(record.ends[1].rest_time, record.ends[0].rest_time);
	ck_assert_uint_ge(record.event_count, 2);
	ck_assert_uint_eq(record.events[1].ball, 1);
	ck_assert_int_eq(record.events[1].rail, RAIL_FOOT);
}
END_TEST

/* No pocket anywhere on a table without them. */
START_TEST(table_without_pockets_keeps_its_balls)
{
	struct random_stream stream = random_start(2961, 2);

	for (int i = 0; i < CASES; i++) {
		struct shot_support shot;
		struct shot_record record;

		shot_support_start(&shot, 2);
		shot_support_draw_shot(&stream, &shot);
		shot_support_play(&shot, NULL, &record);
		ck_assert(!record.ends[0].pocketed && !record.ends[1].pocketed);
		for (size_t k = 0; k < record.event_count; k++)
			ck_assert_int_ne(record.events[k].kind, EVENT_POCKET);
	}
}
END_TEST

/* play.h: a ball with strong topspin drives itself into the rail again and again; the series ends
 * at an approach of SHOT_SLOW, the ball stays at the rail and the contacts count once (formats.md
 * 1) while it stays within a diameter of the rail. */
START_TEST(endless_rebounds_end)
{
	struct random_stream stream = random_start(2961, 3);
	int misses = 0, staying = 0;

	for (int i = 0; i < CASES; i++) {
		struct shot_support shot;
		struct shot_record record;
		double radius, v = between(&stream, 0.05, 1.2), drift;
		bool stays = true;
		int counted = 0;

		shot_support_start(&shot, 1);
		shot_support_draw_constants(&stream, &shot.constants);
		radius = shot.bodies[0].radius;
		drift = between(&stream, -0.2, 0.2);
		/* Hardly any speed and much topspin, just before the foot rail. */
		shot.states[0] = shot_support_ball(0.635, shot.table.length - radius - 1e-4, radius,
		                                   0.5 * M_PI + drift, 0.3 * v, 3.0 * v, 0.0);
		shot_support_play(&shot, NULL, &record);
		misses += close_false("topspin", i, "complete", record.ending == SHOT_COMPLETE);
		for (size_t k = 0; k < record.event_count; k++) {
			const struct shot_event *event = &record.events[k];

			counted += event->number > 0;
			stays = stays && event->rail == RAIL_FOOT;
		}
		misses += close_false("topspin", i, "a few dozen events at most",
		                      record.event_count < 80);
		/* Came to rest at the rail after the series: it never left it by a diameter. */
		if (!stays || record.ends[0].position.y < shot.table.length - radius - 1e-9)
			continue;
		staying++;
		misses += close_false("topspin", i, "several impacts", record.event_count > 1) +
		          close_false("topspin", i, "the last one is slow",
		                      record.events[record.event_count - 1].approach < SHOT_SLOW);
		for (size_t k = 1; k < record.event_count; k++)
			misses +=
			    close_false("topspin", i, "each slower than the one before",
			                record.events[k].approach < record.events[k - 1].approach);
		misses += close_false("topspin", i, "counted at least once", counted >= 1);
	}
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(staying, CASES / 20);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("play of one ball");
	TCase *ball = tcase_create("one ball");

	tcase_add_test(ball, lone_ball_rests_and_is_still_in_time);
	tcase_add_test(ball, spinning_on_the_spot);
	tcase_add_test(ball, mouths_end_where_the_contract_says);
	tcase_add_test(ball, play_goes_on_after_a_ball_fell);
	tcase_add_test(ball, table_without_pockets_keeps_its_balls);
	tcase_add_test(ball, endless_rebounds_end);
	suite_add_tcase(suite, ball);
	return close_run(suite);
}
