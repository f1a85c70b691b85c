/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/play.h"

#include <math.h>
#include <string.h>

#include "physics/cloth.h"
#include "physics/flight.h"
#include "shot/contacts.h"
#include "shot/events.h"
#include "shot/gradient_rows.h"
#include "shot/scene_check.h"
#include "shot/tangents.h"
#include "shot/trace.h"

/* Finds the next event: the earliest end of a phase, rail or pair. */
struct next_event {
	double time;
	enum { NEXT_NOTHING, NEXT_PHASE, NEXT_RAIL, NEXT_PAIR } kind;
	size_t ball, other;
};

/* Recomputes what a ball may do next, alone and with the others, from a state that begins now. */
static void schedule_ball(struct play *play, size_t i)
{
	const struct shot_scene *scene = play->scene;
	struct moving_ball *ball = &play->balls[i];
	struct constants constants;
	double left;

	constants = play_constants(play, i);
	ball->motion = cloth_motion_start(&ball->start, &scene->bodies[i], &constants);
	ball->phase_end = play->time + ball->motion.duration;
	tangents_begin(play, i);
	left = ball->motion.duration;
	ball->rail_time = HUGE_VAL;
	if (ball->motion.phase != CLOTH_REST)
		ball->rail_time = play->time + event_rail_time(&ball->start, &ball->motion,
		                                               scene->bodies[i].radius,
		                                               scene->table, left, &ball->rail);
}

/* The side spin of a ball may end in any phase: remember when, for the moment it is still. */
static void note_spin_end(struct play *play, size_t i)
{
	struct moving_ball *ball = &play->balls[i];

	if (ball->start.spin.z != 0.0)
		ball->spin_end = ball->start_time + cloth_side_time(&ball->start, &ball->motion);
}

/* When two balls meet. Those that met slowly and touch still rest on one another: whatever happens
 * to them besides, they meet no sooner than a millisecond later, unless they approach fast. */
static void schedule_pair(struct play *play, size_t i, size_t j)
{
	const struct ball_body *bodies = play->scene->bodies;
	const struct moving_ball *first = &play->balls[i], *second = &play->balls[j];
	struct ball_state a = play_state(play, i), b = play_state(play, j);
	double left = fmin(first->phase_end, second->phase_end) - play->time;
	double slow = i < j ? play->slow_time[i][j] : play->slow_time[j][i];
	struct event_pair pair = {.state = {&a, &b},
	                          .motion = {&first->motion, &second->motion},
	                          .reach = bodies[i].radius + bodies[j].radius,
	                          .rests = slow > -HUGE_VAL,
	                          .soonest = slow + EVENT_RESTING_TIME - play->time};

	play->pair_time[i][j] = play->time + event_pair_time(&pair, left);
	play->pair_time[j][i] = play->pair_time[i][j];
}

/* The first meeting of a ball with another, from the pair times. */
static void choose_partner(struct play *play, size_t i)
{
	struct moving_ball *ball = &play->balls[i];

	ball->pair_time = HUGE_VAL;
	for (size_t j = 0; j < play->scene->ball_count; j++)
		if (j != i && play->pair_time[i][j] < ball->pair_time) {
			ball->pair_time = play->pair_time[i][j];
			ball->partner = j;
		}
}

/* The pair times of a ball that changed. */
static void schedule_pairs(struct play *play, size_t i)
{
	for (size_t j = 0; j < play->scene->ball_count; j++) {
		struct moving_ball *other = &play->balls[j];

		if (j == i || (other->changed && j < i)) /* done from there */
			continue;
		play->pair_time[i][j] = play->pair_time[j][i] = HUGE_VAL;
		if (play->balls[i].on_table && other->on_table)
			schedule_pair(play, i, j);
		if (other->changed)
			continue;
		if (other->partner == i) {
			choose_partner(play, j);
		} else if (play->pair_time[i][j] < other->pair_time) {
			other->pair_time = play->pair_time[i][j];
			other->partner = i;
		}
	}
}

/* Brings the schedule up to date after some balls changed: the cost grows with those, not with the
 * pairs of all balls. */
static void schedule(struct play *play)
{
	size_t count = play->scene->ball_count;

	for (size_t i = 0; i < count; i++)
		if (play->balls[i].changed && play->balls[i].on_table) {
			schedule_ball(play, i);
			note_spin_end(play, i);
		}
	for (size_t i = 0; i < count; i++)
		if (play->balls[i].changed)
			schedule_pairs(play, i);
	for (size_t i = 0; i < count; i++)
		if (play->balls[i].changed) {
			choose_partner(play, i);
			play->balls[i].changed = false;
		}
}

static struct next_event find_next(const struct play *play)
{
	struct next_event next = {.time = HUGE_VAL, .kind = NEXT_NOTHING};

	for (size_t i = 0; i < play->scene->ball_count; i++) {
		const struct moving_ball *ball = &play->balls[i];

		if (!ball->on_table)
			continue;
		if (ball->rail_time <= next.time && ball->rail_time < HUGE_VAL)
			next = (struct next_event){ball->rail_time, NEXT_RAIL, i, i};
		if (ball->phase_end < next.time)
			next = (struct next_event){ball->phase_end, NEXT_PHASE, i, i};
		if (ball->pair_time < next.time)
			next = (struct next_event){ball->pair_time, NEXT_PAIR, i, ball->partner};
	}
	return next;
}

static bool need_met(const struct play *play)
{
	const struct shot_need *need = play->need;

	if (need == NULL || need->everything || play->ball_contacts < need->ball_contacts ||
	    play->sounds < need->sounds)
		return false;
	for (size_t i = 0; i < play->scene->ball_count; i++)
		if (play->balls[i].on_table && play->balls[i].contacts < need->rails[i])
			return false;
	return true;
}

static void play_start(struct play *play, const struct shot_scene *scene,
                       const struct ball_state *states, const struct shot_need *need,
                       struct shot_record *record)
{
	play->scene = scene;
	play->need = need;
	play->record = record;
	play->time = 0.0;
	play->ball_contacts = 0;
	play->rounds = 0;
	play->sounds = 0;
	play->last_sound = need != NULL && need->struck ? 0.0 : -HUGE_VAL;
	record->event_count = 0;
	record->ball_count = scene->ball_count;
	memset(record->impacts, 0, sizeof record->impacts);
	for (size_t i = 0; i < scene->ball_count; i++) {
		struct moving_ball *ball = &play->balls[i];

		memset(ball, 0, sizeof *ball);
		ball->on_table = scene->present == NULL || scene->present[i];
		ball->start = states[i];
		if (ball->on_table && scene->constants->terms.bed_restitution > 0.0 &&
		    ball->start.velocity.z < 0.0 &&
		    ball->start.position.z <= scene->bodies[i].radius)
			flight_land(&ball->start, &scene->bodies[i], scene->constants);
		ball->changed = true;
		ball->last_motion = 0.0;
		for (int rail = 0; rail < RAIL_COUNT; rail++)
			ball->away[rail] = true;
		record->ends[i] = (struct ball_end){.position = states[i].position};
		for (size_t j = i + 1; j < scene->ball_count; j++)
			play->slow_time[i][j] = -HUGE_VAL;
	}
}

/* Fills in how every ball still on the table ended. */
static void play_finish(struct play *play)
{
	for (size_t i = 0; i < play->scene->ball_count; i++) {
		const struct moving_ball *ball = &play->balls[i];
		struct ball_end *end = &play->record->ends[i];
		struct ball_state state;

		if (!ball->on_table)
			continue;
		state = play_state(play, i);
		end->position = state.position;
		end->rest_time = ball->motion.phase == CLOTH_REST ? ball->last_motion : play->time;
		end->still_time = fmax(end->rest_time,
		                       play->time + cloth_side_time(&state, &ball->motion));
		if (state.spin.z == 0.0)
			end->still_time = fmax(end->rest_time, ball->spin_end);
		if (play->scene->trace != NULL)
			shot_trace_segment(play->scene->trace, i, ball->start_time, play->time,
			                   &ball->start, &ball->motion);
		tangents_end(play, i);
	}
}

/* A phase of motion ends; a flying ball comes down. */
static void end_phase(struct play *play, size_t i)
{
	const struct shot_scene *scene = play->scene;
	struct moving_ball *ball = &play->balls[i];

	play_rebase(play, i);
	if (ball->motion.phase != CLOTH_FLYING) {
		tangents_end_phase(play, i);
		return;
	}
	play_record(play, EVENT_BOUNCE, i, -ball->start.velocity.z);
	flight_land(&ball->start, &scene->bodies[i], scene->constants);
}

static bool play_event(struct play *play, const struct next_event *next)
{
	play->time = next->time;
	if (next->kind == NEXT_RAIL)
		return contacts_rail(play, next->ball);
	if (next->kind == NEXT_PHASE) {
		end_phase(play, next->ball);
		return true;
	}
	play_rebase(play, next->ball);
	play_rebase(play, next->other);
	contacts_balls(play, next->ball, next->other);
	return true;
}

static bool vector_finite(struct vector3 v)
{
	return isfinite(v.x) && isfinite(v.y) && isfinite(v.z);
}

/* Whether every ball that is about to be scheduled has a finite state. */
static bool states_finite(const struct play *play)
{
	for (size_t i = 0; i < play->scene->ball_count; i++) {
		const struct moving_ball *ball = &play->balls[i];

		if (ball->on_table && ball->changed &&
		    !(vector_finite(ball->start.position) && vector_finite(ball->start.velocity) &&
		      vector_finite(ball->start.spin)))
			return false;
	}
	return true;
}

/* The events of a play that has started. */
static enum shot_ending play_on(struct play *play)
{
	for (int count = 0; count + play->rounds < SHOT_EVENT_CAP; count++) {
		struct next_event next;

		if (!states_finite(play))
			return SHOT_BROKEN;
		schedule(play);
		next = find_next(play);
		if (next.kind == NEXT_NOTHING)
			return SHOT_COMPLETE;
		if (!(next.time >= play->time) || !play_event(play, &next))
			return SHOT_BROKEN;
		if (need_met(play))
			return SHOT_ENOUGH;
	}
	return SHOT_CAPPED;
}

/* Numbers near the end of what doubles hold may break on the way to the end. */
static bool ends_finite(const struct shot_scene *scene, const struct shot_record *record)
{
	for (size_t i = 0; i < scene->ball_count; i++)
		if ((scene->present == NULL || scene->present[i]) &&
		    !(vector_finite(record->ends[i].position) &&
		      isfinite(record->ends[i].rest_time)))
			return false;
	return true;
}

static void play_all(struct play *play, const struct ball_state *states)
{
	tangents_start(play);
	play->record->ending = scene_check(play->scene, states) ? play_on(play) : SHOT_BROKEN;
	play_finish(play);
	if (!ends_finite(play->scene, play->record))
		play->record->ending = SHOT_BROKEN;
}

void shot_play(const struct shot_scene *scene, const struct ball_state *states,
               const struct shot_need *need, struct shot_record *record)
{
	struct play play;

	play_start(&play, scene, states, need, record);
	play.gradient = NULL;
	play_all(&play, states);
}

void shot_play_gradient(const struct shot_scene *scene, const struct ball_state *states,
                        const struct shot_need *need, struct shot_record *record,
                        struct shot_gradient *gradient)
{
	struct play play;

	play_start(&play, scene, states, need, record);
	play.gradient = gradient;
	play_all(&play, states);
}

void shot_gradient_still(struct shot_gradient *gradient, size_t ball)
{
	for (int part = 0; part < STATE_PARTS; part++)
		row_zero(&gradient->balls[ball].part[part], gradient_pairs(gradient));
}
