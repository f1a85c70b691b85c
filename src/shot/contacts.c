/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/contacts.h"

#include <math.h>

#include "physics/slope.h"
#include "shot/tangents.h"
#include "shot/trace.h"

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

void play_rebase(struct play *play, size_t i)
{
	struct moving_ball *ball = &play->balls[i];
	double radius = play->scene->bodies[i].radius;
	double elapsed = play->time - ball->start_time;
	struct ball_state state = play_state(play, i);

	if (ball->changed && ball->start_time == play->time) /* done at this instant already */
		return;
	for (int rail = 0; rail < RAIL_COUNT; rail++)
		if (!ball->away[rail] && ball->motion.phase != CLOTH_REST)
			ball->away[rail] =
			    cloth_farthest(&ball->start, &ball->motion, radius,
			                   rail_is_long((enum rail)rail) ? 0 : 1,
			                   table_frozen_line(play->scene->table, (enum rail)rail, radius),
			                   elapsed) > 2.0 * radius;
	ball->elapsed = fmin(elapsed, ball->motion.duration);
	tangents_advance(play, i, ball->elapsed);
	if (play->scene->trace != NULL)
		shot_trace_segment(play->scene->trace, i, ball->start_time, play->time, &ball->start,
		                   &ball->motion);
	ball->start = state;
	ball->start_time = play->time;
	ball->last_motion = play->time;
	ball->changed = true;
}

struct shot_event *play_record(struct play *play, enum shot_event_kind kind, size_t i,
                               double approach)
{
	struct shot_record *record = play->record;
	struct shot_event *event;

	if ((kind == EVENT_RAIL || kind == EVENT_BALLS) && approach >= SHOT_AUDIBLE &&
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
	tangents_record(play, i);
	return event;
}

struct constants play_constants(const struct play *play, size_t i)
{
	const struct constants *constants = play->scene->constants;
	const struct ball_state *state = &play->balls[i].start;

	if (constants->terms.slope_long == 0.0 && constants->terms.slope_short == 0.0 &&
	    constants->terms.nap_long == 0.0)
		return *constants;
	for (int rail = 0; rail < RAIL_COUNT; rail++) {
		double line = table_frozen_line(play->scene->table, (enum rail)rail,
		                                play->scene->bodies[i].radius);
		bool across = rail_is_long((enum rail)rail);
		double away = (across ? state->position.x : state->position.y) - line;

		if (fabs(away) <= 1e-12 && (across ? state->velocity.x : state->velocity.y) == 0.0)
			return slope_held(constants, (enum rail)rail);
	}
	return *constants;
}
