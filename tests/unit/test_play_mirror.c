/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "shot_support.h"

/* A shot and its mirror image in a plane through the middle of the table are mirror images of each
 * other event by event: the laws of physics.md know neither left nor right. A rounding error grows
 * along a shot as any other displacement does, so the comparison is made where a displacement of
 * the start grows by less than GROWTH_MOST: 1e-9 m is then far above what rounding makes. */

#define SHOTS 1500
#define GROWTH_MOST 1e3
#define GROWTH_STEP 1e-7 /* of a place [m], of a velocity and of R w [m/s] */
#define WAYS 5           /* of displacing the start: place x, y, speed, direction, side spin */
#define IMPACTS 1e-12    /* accuracy of cushion impacts */
#define TOLERANCE 1e-9   /* [m], [s] */

/* Which coordinate is turned round: across the long axis x, across the short one y. */
enum mirror { MIRROR_X, MIRROR_Y };

/* A velocity is reflected as a position is, a spin (an axial vector) in its two other
 * components. */
static struct ball_state mirrored(struct ball_state state, enum mirror mirror,
                                  const struct table *table)
{
	if (mirror == MIRROR_X) {
		state.position.x = table->width - state.position.x;
		state.velocity.x = -state.velocity.x;
		state.spin.y = -state.spin.y;
	} else {
		state.position.y = table->length - state.position.y;
		state.velocity.y = -state.velocity.y;
		state.spin.x = -state.spin.x;
	}
	state.spin.z = -state.spin.z;
	return state;
}

static struct vector3 mirrored_place(struct vector3 place, enum mirror mirror,
                                     const struct table *table)
{
	struct ball_state state = {.position = place};

	return mirrored(state, mirror, table).position;
}

static enum rail mirrored_rail(enum rail rail, enum mirror mirror)
{
	static const enum rail across_x[RAIL_COUNT] = {RAIL_HEAD, RAIL_FOOT, RAIL_RIGHT, RAIL_LEFT};
	static const enum rail across_y[RAIL_COUNT] = {RAIL_FOOT, RAIL_HEAD, RAIL_LEFT, RAIL_RIGHT};

	return mirror == MIRROR_X ? across_x[rail] : across_y[rail];
}

static double distance(struct vector3 a, struct vector3 b)
{
	return vector3_norm(vector3_subtract(a, b));
}

/* Whether two records hold the same events but for their times and places. */
static bool same_events(const struct shot_record *a, const struct shot_record *b)
{
	if (a->ending != b->ending || a->event_count != b->event_count)
		return false;
	for (size_t k = 0; k < a->event_count; k++) {
		const struct shot_event *e = &a->events[k], *f = &b->events[k];

		if (e->kind != f->kind || e->ball != f->ball || e->other != f->other ||
		    (e->kind != EVENT_BALLS && e->rail != f->rail))
			return false;
	}
	return true;
}

static struct ball_state displaced(struct ball_state ball, int way, double radius)
{
	struct vector3 v = ball.velocity;
	double part = GROWTH_STEP / vector3_norm_flat(v);

	if (way == 0)
		ball.position.x += GROWTH_STEP;
	else if (way == 1)
		ball.position.y += GROWTH_STEP;
	else if (way == 2)
		ball.velocity = vector3_scale(1.0 + part, v);
	else if (way == 3)
		ball.velocity = vector3_add(v, vector3_make(-part * v.y, part * v.x, 0.0));
	else
		ball.spin.z += GROWTH_STEP / radius;
	return ball;
}

/* The largest displacement of an event or a rest by a displaced start, per unit of it; infinite
 * where another course of events comes of it. */
static double growth(const struct shot_support *shot, const struct shot_record *record)
{
	double most = 0.0;

	for (int way = 0; way < WAYS; way++) {
		struct ball_state states[SHOT_BALLS];
		struct shot_record moved;

		for (size_t i = 0; i < shot->scene.ball_count; i++)
			states[i] = shot->states[i];
		states[0] = displaced(states[0], way, shot->bodies[0].radius);
		shot_play(&shot->scene, states, &shot->need, &moved);
		if (!same_events(record, &moved))
			return HUGE_VAL;
		for (size_t k = 0; k < record->event_count; k++)
			most = fmax(
			    most,
			    fmax(distance(record->events[k].position, moved.events[k].position),
			         fabs(record->events[k].time - moved.events[k].time)));
		for (size_t i = 0; i < record->ball_count; i++)
			most =
			    fmax(most, distance(record->ends[i].position, moved.ends[i].position));
	}
	return most / GROWTH_STEP;
}

static int check_event(int i, const struct shot_event *a, const struct shot_event *b,
                       enum mirror mirror, const struct table *table)
{
	int misses =
	    close_false("event", i, "same kind", a->kind == b->kind) +
	    close_false("event", i, "same balls", a->ball == b->ball && a->other == b->other) +
	    close_false("event", i, "same number", a->number == b->number) +
	    close_miss("event", i, "time", a->time, b->time, TOLERANCE) +
	    close_miss("event", i, "approach", a->approach, b->approach, TOLERANCE) +
	    close_miss("event", i, "place", 0.0,
	               distance(mirrored_place(a->position, mirror, table), b->position),
	               TOLERANCE);

	if (a->kind != EVENT_BALLS)
		misses += close_false("event", i, "mirrored rail",
		                      b->rail == mirrored_rail(a->rail, mirror));
	return misses;
}

static int compare(int i, const struct shot_record *a, const struct shot_record *b,
                   enum mirror mirror, const struct table *table)
{
	int misses = close_false("shot", i, "same ending", a->ending == b->ending) +
	             close_false("shot", i, "as many events", a->event_count == b->event_count);

	if (misses > 0)
		return misses;
	for (size_t k = 0; k < a->event_count; k++)
		misses += check_event(i, &a->events[k], &b->events[k], mirror, table);
	for (size_t k = 0; k < a->ball_count; k++)
		misses += close_miss("shot", i, "rest", 0.0,
		                     distance(mirrored_place(a->ends[k].position, mirror, table),
		                              b->ends[k].position),
		                     TOLERANCE) +
		          close_miss("shot", i, "rest time", a->ends[k].rest_time,
		                     b->ends[k].rest_time, 100.0 * TOLERANCE) +
		          close_miss("shot", i, "still time", a->ends[k].still_time,
		                     b->ends[k].still_time, 100.0 * TOLERANCE) +
		          close_false("shot", i, "pocketed alike",
		                      a->ends[k].pocketed == b->ends[k].pocketed);
	return misses;
}

START_TEST(mirror_images_agree)
{
	struct random_stream stream = random_start(52907, 1);
	int misses = 0, compared = 0;

	for (int i = 0; i < SHOTS; i++) {
		struct ball_state images[SHOT_BALLS];
		struct shot_record record, image;
		enum mirror mirror = i % 2 == 0 ? MIRROR_X : MIRROR_Y;
		struct shot_support shot;

		shot_support_start(&shot, (size_t)(1 + i % 3));
		shot.table.pockets = i % 4 < 2;
		if (i % 8 < 4) /* else a usual table */
			shot_support_draw_constants(&stream, &shot.constants);
		shot.scene.tolerance = IMPACTS;
		shot_support_draw_shot(&stream, &shot);
		/* Shorter shots: fewer contacts to amplify. */
		shot.states[0].velocity = vector3_scale(0.4, shot.states[0].velocity);
		shot.states[0].spin = vector3_scale(0.4, shot.states[0].spin);
		shot_support_play(&shot, NULL, &record);
		if (!(growth(&shot, &record) < GROWTH_MOST))
			continue;
		for (size_t k = 0; k < shot.scene.ball_count; k++)
			images[k] = mirrored(shot.states[k], mirror, &shot.table);
		shot_play(&shot.scene, images, &shot.need, &image);
		misses += compare(i, &record, &image, mirror, &shot.table);
		compared++;
	}
	printf("mirror images: %d of %d shots compared\n", compared, SHOTS);
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(compared, SHOTS / 2);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("mirror images");
	TCase *mirror = tcase_create("mirror");

	tcase_add_test(mirror, mirror_images_agree);
	suite_add_tcase(suite, mirror);
	return close_run(suite);
}
