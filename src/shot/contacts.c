/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/contacts.h"

#include <math.h>

#include "physics/collision.h"
#include "physics/cushion.h"
#include "shot/events.h"

#define PAIR_ROUNDS 2000 /* solutions of touching pairs at one instant */

struct ball_state play_state(const struct play *play, size_t i)
{
	const struct moving_ball *ball = &play->balls[i];
	double elapsed = play->time >= ball->phase_end ? ball->motion.duration
	                                               : play->time - ball->start_time;

	if (ball->changed || ball->motion.phase == CLOTH_REST)
		elapsed = play->time - ball->start_time;
	if (elapsed <= 0.0)
		return ball->start;
	return cloth_advance(&ball->start, &ball->motion, play->scene->bodies[i].radius, elapsed);
}

/* Largest distance from a rail's frozen line on the way over `elapsed` seconds from the start. */
static double farthest(const struct moving_ball *ball, const struct table *table, enum rail rail,
                       double radius, double elapsed)
{
	bool along_y = rail == RAIL_HEAD || rail == RAIL_FOOT;
	double line = table_frozen_line(table, rail, radius);
	double p = along_y ? ball->start.position.y : ball->start.position.x;
	double v = along_y ? ball->start.velocity.y : ball->start.velocity.x;
	double a = along_y ? ball->motion.acceleration.y : ball->motion.acceleration.x;
	double turn = a != 0.0 ? -v / a : -1.0;
	double distance = fabs(p + elapsed * (v + 0.5 * elapsed * a) - line);

	if (turn > 0.0 && turn < elapsed)
		distance = fmax(distance, fabs(p + turn * (v + 0.5 * turn * a) - line));
	return distance;
}

void play_rebase(struct play *play, size_t i)
{
	struct moving_ball *ball = &play->balls[i];
	double radius = play->scene->bodies[i].radius;
	double elapsed = play->time - ball->start_time;
	struct ball_state state = play_state(play, i);

	for (int rail = 0; rail < RAIL_COUNT; rail++)
		if (!ball->away[rail] && ball->motion.phase != CLOTH_REST)
			ball->away[rail] = farthest(ball, play->scene->table, (enum rail)rail, radius,
			                            elapsed) > 2.0 * radius;
	ball->start = state;
	ball->start_time = play->time;
	ball->last_motion = play->time;
	ball->changed = true;
}

static struct shot_event *record_event(struct play *play, enum shot_event_kind kind, size_t i,
                                       double approach)
{
	struct shot_record *record = play->record;
	struct shot_event *event;

	if (kind != EVENT_POCKET && approach >= SHOT_AUDIBLE &&
	    play->time - play->last_sound >= SHOT_SOUND_GAP) {
		play->last_sound = play->time;
		play->sounds++;
	}
	if (record->event_count >= SHOT_EVENTS)
		return NULL;
	event = &record->events[record->event_count++];
	*event = (struct shot_event){.kind = kind,
	                             .time = play->time,
	                             .ball = i,
	                             .other = i,
	                             .position = play->balls[i].start.position,
	                             .approach = approach};
	return event;
}

static void fall_into_pocket(struct play *play, size_t i, enum rail rail, double approach)
{
	struct moving_ball *ball = &play->balls[i];
	struct shot_event *event = record_event(play, EVENT_POCKET, i, approach);

	if (event != NULL)
		event->rail = rail;
	ball->on_table = false;
	play->record->ends[i] = (struct ball_end){.pocketed = true,
	                                          .position = ball->start.position,
	                                          .rest_time = play->time,
	                                          .still_time = play->time};
}

static void record_rail(struct play *play, size_t i, enum rail rail, double approach)
{
	struct moving_ball *ball = &play->balls[i];
	struct shot_event *event = record_event(play, EVENT_RAIL, i, approach);

	if (event != NULL)
		event->rail = rail;
	if (!ball->away[rail])
		return;
	ball->away[rail] = false;
	ball->contacts++;
	if (event != NULL)
		event->number = ball->contacts;
}

/* A slow ball stays at the rail: what drives it into the rail is taken away, its motion along the
 * rail stays. Ends the endless series of rebounds of a ball with topspin. */
static void stay_at_rail(struct ball_state *state, enum rail rail)
{
	if (rail_is_long(rail)) {
		state->velocity.x = 0.0;
		state->spin.y = 0.0;
	} else {
		state->velocity.y = 0.0;
		state->spin.x = 0.0;
	}
}

static bool rebound(struct play *play, size_t i, enum rail rail)
{
	const struct shot_scene *scene = play->scene;
	const double *value = scene->constants->value;
	const struct ball_body *body = &scene->bodies[i];
	struct cushion_contact contact = {
	    .nose_sine = scene->table->nose_height / body->radius - 1.0,
	    .restitution = value[CUSHION_RESTITUTION],
	    .friction = value[CUSHION_FRICTION] * body->grip,
	    .bed_friction = value[SLIDING_FRICTION] * body->grip};
	unsigned number = play->record->impacts[i]++;
	double turn = 0.0;

	if (scene->irregular != NULL && number < SHOT_IRREGULAR) {
		contact.restitution *= 1.0 + scene->irregular[i][number].liveliness;
		turn = scene->irregular[i][number].turn;
	}
	return cushion_rebound(rail, &contact, turn, scene->tolerance, body->radius,
	                       &play->balls[i].start, NULL) == STATUS_OK;
}

bool contacts_rail(struct play *play, size_t i)
{
	struct moving_ball *ball = &play->balls[i];
	const struct table *table = play->scene->table;
	enum rail rail = ball->rail;
	double line = table_frozen_line(table, rail, play->scene->bodies[i].radius);
	double along, approach;

	play_rebase(play, i);
	if (rail_is_long(rail))
		ball->start.position.x = line;
	else
		ball->start.position.y = line;
	along = rail_is_long(rail) ? ball->start.position.y : ball->start.position.x;
	approach = cushion_to_rail(rail, ball->start.velocity).y;
	if (table_in_pocket(table, rail, along)) {
		fall_into_pocket(play, i, rail, approach);
		return true;
	}
	record_rail(play, i, rail, approach);
	if (approach < SHOT_SLOW) {
		stay_at_rail(&ball->start, rail);
		return true;
	}
	return rebound(play, i, rail);
}

/* The pairs of touching balls that approach, and the one that does so fastest. */
struct touching {
	size_t first, second;
	double approach;
};

static bool pair_touches(const struct play *play, size_t i, size_t j)
{
	const struct ball_body *bodies = play->scene->bodies;
	struct ball_state a, b;
	struct vector3 line;

	if (!play->balls[i].on_table || !play->balls[j].on_table)
		return false;
	a = play_state(play, i);
	b = play_state(play, j);
	line = vector3_subtract(a.position, b.position);
	return vector3_norm_flat(line) - bodies[i].radius - bodies[j].radius <= EVENT_TOUCH;
}

static size_t find_touching(const struct play *play,
                            struct touching pairs[SHOT_BALLS * 6], double *fastest)
{
	size_t count = 0;

	*fastest = 0.0;
	for (size_t i = 0; i < play->scene->ball_count; i++)
		for (size_t j = i + 1; j < play->scene->ball_count; j++) {
			struct ball_state a, b;
			double approach;

			/* A ball has at most six neighbours, so the pairs cannot outrun the room. */
			if (count >= SHOT_BALLS * 6 || !pair_touches(play, i, j))
				continue;
			a = play_state(play, i);
			b = play_state(play, j);
			approach = collision_approach(&a, &b);
			if (approach <= EVENT_APPROACH)
				continue;
			pairs[count++] = (struct touching){i, j, approach};
			*fastest = fmax(*fastest, approach);
		}
	return count;
}

/* Takes from a ball the slip that drives it along n. */
static void stop_driving(struct play *play, size_t i, struct vector3 n)
{
	struct ball_state *state = &play->balls[i].start;
	double radius = play->scene->bodies[i].radius;
	struct vector3 slip = ball_slip(state, radius);
	double drive = slip.x * n.x + slip.y * n.y;

	if (drive >= 0.0) /* friction acts against the slip, so this one pulls the ball away */
		return;
	state->spin.x -= drive * n.y / radius;
	state->spin.y += drive * n.x / radius;
}

/* Two balls that were driven together for a while stand inside one another by some micrometres, the
 * way they came before they met: sets them apart again, half the way each. */
static void part(struct play *play, size_t i, size_t j, struct vector3 n, double distance)
{
	const struct ball_body *bodies = play->scene->bodies;
	double overlap = bodies[i].radius + bodies[j].radius - distance;
	struct vector3 half = vector3_scale(0.5 * fmax(0.0, overlap), n);

	play->balls[i].start.position = vector3_subtract(play->balls[i].start.position, half);
	play->balls[j].start.position = vector3_add(play->balls[j].start.position, half);
}

static void record_pair(struct play *play, const struct touching *pair)
{
	struct shot_record *record = play->record;
	struct shot_event *event;

	for (size_t k = record->event_count; k-- > 0 && record->events[k].time == play->time;)
		if (record->events[k].kind == EVENT_BALLS && record->events[k].ball == pair->first &&
		    record->events[k].other == pair->second)
			return;
	play->ball_contacts++;
	event = record_event(play, EVENT_BALLS, pair->first, pair->approach);
	if (event != NULL) {
		event->other = pair->second;
		event->number = play->ball_contacts;
	}
}

static void add_change(struct play *play, size_t i, struct vector3 velocity, struct vector3 spin)
{
	struct ball_state *state = &play->balls[i].start;

	state->velocity = vector3_add(state->velocity, velocity);
	state->spin = vector3_add(state->spin, spin);
}

/* Solves the fastest pairs from one state and adds what each does. */
static void solve_pairs(struct play *play, const struct touching *pairs, size_t count,
                        double fastest)
{
	const struct ball_body *bodies = play->scene->bodies;
	const double *value = play->scene->constants->value;
	struct collision_change changes[SHOT_BALLS * 6];

	for (size_t k = 0; k < count; k++) {
		size_t i = pairs[k].first, j = pairs[k].second;
		struct ball_state a = play_state(play, i), b = play_state(play, j);
		double restitution = pairs[k].approach < SHOT_SLOW ? 0.0 : value[BALL_RESTITUTION];

		changes[k] = collision_solve(&a, &bodies[i], &b, &bodies[j], restitution,
		                             value[BALL_FRICTION]);
	}
	for (size_t k = 0; k < count; k++) {
		size_t i = pairs[k].first, j = pairs[k].second;
		struct vector3 n;
		double distance;

		if (pairs[k].approach < fastest * (1.0 - 1e-9))
			continue;
		play_rebase(play, i);
		play_rebase(play, j);
		record_pair(play, &pairs[k]);
		add_change(play, i, changes[k].velocity[0], changes[k].spin[0]);
		add_change(play, j, changes[k].velocity[1], changes[k].spin[1]);
		if (pairs[k].approach >= SHOT_SLOW)
			continue;
		n = vector3_subtract(play->balls[j].start.position, play->balls[i].start.position);
		distance = vector3_norm_flat(n);
		n = vector3_scale(1.0 / distance, n);
		part(play, i, j, n, distance);
		stop_driving(play, i, n);
		stop_driving(play, j, vector3_scale(-1.0, n));
	}
}

void contacts_balls(struct play *play)
{
	struct touching pairs[SHOT_BALLS * 6];

	for (int round = 0; round < PAIR_ROUNDS; round++) {
		double fastest;
		size_t count = find_touching(play, pairs, &fastest);

		if (count == 0)
			return;
		solve_pairs(play, pairs, count, fastest);
	}
}
