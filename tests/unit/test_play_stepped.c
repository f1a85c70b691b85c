/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "physics/cloth.h"
#include "physics/collision.h"
#include "physics/cushion.h"
#include "shot_support.h"

/* Whole shots against a plain simulator that walks through time: at every step it moves the balls
 * by the closed forms of the cloth, and where a ball is inside a rail or another ball it goes back
 * to the moment they touched, by halving. It shares the laws of single contacts with the program,
 * and nothing of how events are found, ordered, ended early or counted. */

#define SHOTS 600
#define STEP 2e-4      /* [s] */
#define TOLERANCE 1e-6 /* [m], [s]; times the growth below */
#define GROWTH_MOST 200.0
#define EVENTS_MOST 64

struct stepped {
	const struct shot_support *shot;
	struct ball_state balls[SHOT_BALLS];
	bool on_table[SHOT_BALLS];
	double time;
	double farthest[SHOT_BALLS][RAIL_COUNT]; /* since the last contact with that rail [m] */
	int counted[SHOT_BALLS];
	size_t event_count;
	struct shot_event events[EVENTS_MOST];
};

/* Moves one ball, through as many phases as begin in that time. */
static struct ball_state moved(const struct shot_support *shot, size_t i, struct ball_state ball,
                               double time)
{
	for (int phase = 0; phase < 4; phase++) {
		struct cloth_motion motion =
		    cloth_motion_start(&ball, &shot->bodies[i], &shot->constants);
		double part = fmin(time, motion.duration);

		ball = cloth_advance(&ball, &motion, shot->bodies[i].radius, part);
		time -= part;
		if (!(time > 0.0))
			break;
	}
	return ball;
}

static double rail_distance(const struct shot_support *shot, struct vector3 p, enum rail rail,
                            double radius)
{
	switch (rail) {
	case RAIL_HEAD:
		return p.y - radius;
	case RAIL_FOOT:
		return shot->table.length - radius - p.y;
	case RAIL_LEFT:
		return p.x - radius;
	default:
		return shot->table.width - radius - p.x;
	}
}

/* The deepest overlap after `step`, negative while there is none; what overlaps. */
struct overlap {
	double depth;
	size_t ball, other;
	enum rail rail; /* RAIL_COUNT: two balls */
};

static struct overlap find_overlap(const struct stepped *play, double step)
{
	const struct shot_support *shot = play->shot;
	struct overlap worst = {.depth = 0.0, .rail = RAIL_COUNT};
	struct ball_state balls[SHOT_BALLS];

	for (size_t i = 0; i < shot->scene.ball_count; i++)
		balls[i] = moved(shot, i, play->balls[i], step);
	for (size_t i = 0; i < shot->scene.ball_count; i++) {
		double radius = shot->bodies[i].radius;

		for (int rail = 0; rail < RAIL_COUNT && play->on_table[i]; rail++) {
			double depth =
			    -rail_distance(shot, balls[i].position, (enum rail)rail, radius);

			if (depth > worst.depth)
				worst = (struct overlap){depth, i, i, (enum rail)rail};
		}
		for (size_t k = i + 1; k < shot->scene.ball_count; k++) {
			double depth = 2.0 * radius - vector3_norm_flat(vector3_subtract(
							  balls[i].position, balls[k].position));

			if (play->on_table[i] && play->on_table[k] && depth > worst.depth)
				worst = (struct overlap){depth, i, k, RAIL_COUNT};
		}
	}
	return worst;
}

static void note(struct stepped *play, struct shot_event event)
{
	if (play->event_count < EVENTS_MOST)
		play->events[play->event_count++] = event;
}

static void hit_rail(struct stepped *play, size_t i, enum rail rail)
{
	const struct shot_support *shot = play->shot;
	const double *value = shot->constants.value;
	double radius = shot->bodies[i].radius;
	struct cushion_contact contact = {shot->table.nose_height / radius - 1.0,
	                                  value[CUSHION_RESTITUTION], value[CUSHION_FRICTION],
	                                  value[SLIDING_FRICTION], false};
	struct vector3 p = play->balls[i].position;
	struct shot_event event = {.kind = EVENT_RAIL,
	                           .time = play->time,
	                           .ball = i,
	                           .other = i,
	                           .rail = rail,
	                           .position = p,
	                           .approach = cushion_to_rail(rail, play->balls[i].velocity).y};

	if (table_in_pocket(&shot->table, rail, rail_is_long(rail) ? p.y : p.x)) {
		event.kind = EVENT_POCKET;
		play->on_table[i] = false;
		note(play, event);
		return;
	}
	/* formats.md 1: once, unless more than a diameter from the frozen line between. */
	if (play->farthest[i][rail] > 2.0 * radius)
		event.number = ++play->counted[i];
	play->farthest[i][rail] = 0.0;
	note(play, event);
	if (event.approach < SHOT_SLOW) { /* play.h: stays at the rail */
		if (rail_is_long(rail))
			play->balls[i].velocity.x = play->balls[i].spin.y = 0.0;
		else
			play->balls[i].velocity.y = play->balls[i].spin.x = 0.0;
		return;
	}
	if (cushion_rebound(rail, &contact, 0.0, 1e-10, radius, &play->balls[i], NULL) != STATUS_OK)
		play->event_count = EVENTS_MOST; /* gives the comparison up */
}

static void hit_ball(struct stepped *play, size_t i, size_t k)
{
	const struct shot_support *shot = play->shot;
	struct ball_state *a = &play->balls[i], *b = &play->balls[k];
	struct collision_contact contact = {shot->constants.value[BALL_RESTITUTION],
	                                    shot->constants.value[BALL_FRICTION], 0.0};
	struct collision_change change =
	    collision_solve(a, &shot->bodies[i], b, &shot->bodies[k], &contact);

	note(play, (struct shot_event){.kind = EVENT_BALLS,
	                               .time = play->time,
	                               .ball = i,
	                               .other = k,
	                               .position = a->position,
	                               .approach = change.approach});
	a->velocity = vector3_add(a->velocity, change.velocity[0]);
	a->spin = vector3_add(a->spin, change.spin[0]);
	b->velocity = vector3_add(b->velocity, change.velocity[1]);
	b->spin = vector3_add(b->spin, change.spin[1]);
	a->velocity.z = b->velocity.z = 0.0; /* the bed holds them */
}

static void walk(struct stepped *play, double step)
{
	const struct shot_support *shot = play->shot;

	for (size_t i = 0; i < shot->scene.ball_count; i++) {
		play->balls[i] = moved(shot, i, play->balls[i], step);
		for (int rail = 0; rail < RAIL_COUNT; rail++)
			play->farthest[i][rail] =
			    fmax(play->farthest[i][rail],
			         rail_distance(shot, play->balls[i].position, (enum rail)rail,
			                       shot->bodies[i].radius));
	}
	play->time += step;
}

/* Puts a ball just outside the rail or the other ball, so that it is not met twice. */
static void step_out(struct stepped *play, const struct overlap *overlap)
{
	struct ball_state *ball = &play->balls[overlap->ball];

	if (overlap->rail != RAIL_COUNT) {
		hit_rail(play, overlap->ball, overlap->rail);
		ball->position =
		    vector3_add(ball->position,
		                cushion_from_rail(overlap->rail, vector3_make(0.0, -1e-12, 0.0)));
		return;
	}
	hit_ball(play, overlap->ball, overlap->other);
}

/* Walks until every ball rests. False when it takes too long or too many events. */
static bool walk_to_end(struct stepped *play)
{
	for (long k = 0; k < 400000 && play->event_count < EVENTS_MOST; k++) {
		bool moves = false;
		double low = 0.0, high = STEP;

		for (size_t i = 0; i < play->shot->scene.ball_count; i++)
			moves = moves ||
			        (play->on_table[i] &&
			         (vector3_norm_flat(play->balls[i].velocity) > 1e-9 ||
			          vector3_norm(ball_slip(&play->balls[i],
			                                 play->shot->bodies[i].radius)) > 1e-9));
		if (!moves)
			return true;
		if (find_overlap(play, STEP).depth <= 0.0) {
			walk(play, STEP);
			continue;
		}
		for (int halving = 0; halving < 60; halving++) {
			double middle = 0.5 * (low + high);

			if (find_overlap(play, middle).depth > 0.0)
				high = middle;
			else
				low = middle;
		}
		struct overlap overlap = find_overlap(play, high);

		walk(play, low);
		step_out(play, &overlap);
	}
	return false;
}

static void stepped_start(struct stepped *play, const struct shot_support *shot)
{
	memset(play, 0, sizeof *play);
	play->shot = shot;
	for (size_t i = 0; i < shot->scene.ball_count; i++) {
		play->balls[i] = shot->states[i];
		play->on_table[i] = true;
		for (int rail = 0; rail < RAIL_COUNT; rail++)
			play->farthest[i][rail] = HUGE_VAL;
	}
}

/* How much a displaced start displaces, as in test_play_mirror. */
static double growth(const struct shot_support *shot, const struct shot_record *record)
{
	double most = 1.0;

	for (int way = 0; way < 2; way++) {
		struct ball_state states[SHOT_BALLS];
		struct shot_record other;

		memcpy(states, shot->states, sizeof states);
		*(way == 0 ? &states[0].position.x : &states[0].position.y) += 1e-7;
		shot_play(&shot->scene, states, &shot->need, &other);
		if (other.event_count != record->event_count)
			return HUGE_VAL;
		for (size_t k = 0; k < record->event_count; k++)
			most =
			    fmax(most, fabs(other.events[k].time - record->events[k].time) / 1e-7);
		for (size_t i = 0; i < record->ball_count; i++)
			most = fmax(most, vector3_norm(vector3_subtract(other.ends[i].position,
			                                                record->ends[i].position)) /
			                      1e-7);
	}
	return most;
}

static int compare(int i, const struct stepped *walked, const struct shot_record *record)
{
	int misses = close_miss("stepped", i, "events", (double)walked->event_count,
	                        (double)record->event_count, 0.0);

	for (size_t k = 0; misses == 0 && k < record->event_count; k++) {
		const struct shot_event *a = &walked->events[k], *b = &record->events[k];

		misses +=
		    close_false("stepped", i, "same kind", a->kind == b->kind) +
		    close_false("stepped", i, "same ball", a->ball == b->ball) +
		    close_false("stepped", i, "same other ball", a->other == b->other) +
		    close_miss("stepped", i, "time", a->time, b->time, GROWTH_MOST * TOLERANCE) +
		    close_miss("stepped", i, "approach", a->approach, b->approach, 1e-4) +
		    close_miss("stepped", i, "place", 0.0,
		               vector3_norm(vector3_subtract(a->position, b->position)),
		               GROWTH_MOST * TOLERANCE);
		if (a->kind != EVENT_BALLS)
			misses += close_false("stepped", i, "same rail", a->rail == b->rail) +
			          close_miss("stepped", i, "number", a->number, b->number, 0.0);
	}
	for (size_t k = 0; misses == 0 && k < record->ball_count; k++)
		misses += close_false("stepped", i, "fell or not",
		                      walked->on_table[k] != record->ends[k].pocketed) +
		          close_miss("stepped", i, "rest", 0.0,
		                     walked->on_table[k]
		                         ? vector3_norm(vector3_subtract(walked->balls[k].position,
		                                                         record->ends[k].position))
		                         : 0.0,
		                     GROWTH_MOST * TOLERANCE);
	return misses;
}

/* Any stroke, or one with strong topspin close to a rail, which is met several times. */
static void draw_shot(struct random_stream *stream, int i, struct shot_support *shot)
{
	double radius, v = shot_support_between(stream, 0.05, 0.4), out, heading;

	shot_support_start(shot, (size_t)(1 + i % 2));
	shot->table.pockets = i % 3 == 0;
	shot->scene.tolerance = 1e-10;
	shot_support_draw_shot(stream, shot);
	shot->states[0].velocity = vector3_scale(0.3, shot->states[0].velocity);
	shot->states[0].spin = vector3_scale(0.4, shot->states[0].spin);
	if (i % 4 < 2)
		return;
	radius = shot->bodies[0].radius;
	out = shot_support_between(stream, 0.001, 0.05);
	heading = shot_support_between(stream, -1.0, 1.0);
	shot->states[0] = shot_support_ball(shot->table.width - radius - out, 0.6, radius, heading,
	                                    v, shot_support_between(stream, 2.0, 7.0) * v, 0.2 * v);
	if (shot->scene.ball_count > 1)
		shot->states[1].position = vector3_make(0.2, 1.7, radius);
}

START_TEST(walking_through_time_gives_the_same_shot)
{
	struct random_stream stream = random_start(30871, 1);
	int misses = 0, compared = 0, doubles = 0;

	for (int i = 0; i < SHOTS; i++) {
		struct shot_support shot;
		struct shot_record record;
		struct stepped walked;

		draw_shot(&stream, i, &shot);
		shot_support_play(&shot, NULL, &record);
		if (!(growth(&shot, &record) < GROWTH_MOST))
			continue;
		stepped_start(&walked, &shot);
		misses += close_false("stepped", i, "walked to its end", walk_to_end(&walked)) +
		          compare(i, &walked, &record);
		compared++;
		for (size_t k = 0; k < record.event_count; k++)
			doubles +=
			    record.events[k].kind == EVENT_RAIL && record.events[k].number == 0;
	}
	printf("walked through: %d of %d shots; %d rail contacts that do not count\n", compared,
	       SHOTS, doubles);
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(compared, SHOTS / 2);
	ck_assert_int_gt(doubles, 10);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("shots walked through");
	TCase *stepped = tcase_create("stepped");

	tcase_add_test(stepped, walking_through_time_gives_the_same_shot);
	suite_add_tcase(suite, stepped);
	return close_run(suite);
}
