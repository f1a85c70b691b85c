/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/effects_bench.h"

#include <math.h>

#include "physics/cloth.h"
#include "physics/cue.h"
#include "physics/cushion.h"
#include "shot/play.h"
#include "shot/trace.h"

#define OPEN_CLOTH 90.0 /* length and width of a cloth on which no rail is met [m] */
#define HALVINGS 60

struct effects_bench effects_bench_make(const struct table *table, const struct drawn_table *drawn,
                                        const double grip[BALL_ROLES])
{
	struct effects_bench bench = {.table = *table,
	                              .constants = drawn->constants,
	                              .diamond = table_long_to_metres(table, 1.0)};

	bench.table.pockets = false;
	bench.constants.terms.slope_long = 0.0;
	bench.constants.terms.slope_short = 0.0;
	bench.constants.terms.nap_long = 0.0;
	bench.constants.terms.bed_restitution = 0.0;
	for (int i = 0; i < RAIL_COUNT; i++)
		bench.rails[i] = drawn->rails[i];
	for (int i = 0; i < BALL_ROLES; i++) {
		bool cue = i == BALL_CUE;

		bench.bodies[i] = (struct ball_body){
		    .radius = 0.5 * (cue ? table->cue_ball_diameter : table->ball_diameter),
		    .mass = cue ? table->cue_ball_mass : table->ball_mass,
		    .grip = drawn->grip[i] * grip[i]};
	}
	return bench;
}

static struct ball_state strike(const struct effects_bench *bench, const struct effect_play *play,
                                double aim)
{
	struct stroke stroke = {.speed = play->speed,
	                        .height = play->height,
	                        .side = play->side,
	                        .elevation = play->elevation_deg * M_PI / 180.0};
	struct ball_state state = {.position = {0.0, 0.0, bench->bodies[BALL_CUE].radius}};

	cue_strike(&stroke, aim, play->squirt_ratio, 0.0, &bench->bodies[BALL_CUE], &state);
	return state;
}

struct ball_state effects_bench_strike(const struct effects_bench *bench,
                                       const struct effect_play *play)
{
	return strike(bench, play, 0.5 * M_PI);
}

struct ball_state effects_bench_shoot(const struct effects_bench *bench,
                                      const struct effect_play *play, struct vector3 to)
{
	double x = table_short_to_metres(&bench->table, play->from_short);
	double y = table_long_to_metres(&bench->table, play->from_long);
	struct ball_state state = strike(bench, play, atan2(to.y - y, to.x - x));

	state.position.x = x;
	state.position.y = y;
	return state;
}

static struct cloth_motion motion_of(const struct effects_bench *bench,
                                     const struct ball_state *state)
{
	return cloth_motion_start(state, &bench->bodies[BALL_CUE], &bench->constants);
}

bool effects_bench_run(const struct effects_bench *bench, struct ball_state *state, double far)
{
	const double radius = bench->bodies[BALL_CUE].radius;

	for (;;) {
		struct cloth_motion motion = motion_of(bench, state);
		struct ball_state end;
		double low = 0.0, high = motion.duration;

		if (motion.phase == CLOTH_REST)
			return false;
		end = cloth_advance(state, &motion, radius, high);
		if (end.position.y < far) {
			*state = end;
			continue;
		}
		for (int i = 0; i < HALVINGS; i++) {
			double middle = 0.5 * (low + high);

			if (cloth_advance(state, &motion, radius, middle).position.y < far)
				low = middle;
			else
				high = middle;
		}
		*state = cloth_advance(state, &motion, radius, high);
		return true;
	}
}

void effects_bench_wait(const struct effects_bench *bench, struct ball_state *state, double time)
{
	const double radius = bench->bodies[BALL_CUE].radius;

	for (;;) {
		struct cloth_motion motion = motion_of(bench, state);
		double step = fmin(time, motion.duration);

		*state = cloth_advance(state, &motion, radius, step);
		time -= step;
		if (motion.phase == CLOTH_REST || !(time > 0.0))
			return;
	}
}

struct vector3 effects_bench_stop(const struct effects_bench *bench, const struct ball_state *state)
{
	const double deceleration = bench->constants.value[ROLLING_RESISTANCE] * STANDARD_GRAVITY;
	struct ball_state rolling =
	    cloth_roll_out(state, &bench->bodies[BALL_CUE], &bench->constants, NULL);
	double time = vector3_norm_flat(rolling.velocity) / deceleration;

	return vector3_add(rolling.position, vector3_scale(0.5 * time, rolling.velocity));
}

/* The state of ball 0 or another just after the last event of a play. */
static bool state_after(const struct shot_trace *trace, const struct shot_record *record,
                        size_t ball, double radius, struct ball_state *state)
{
	double time;

	if (record->event_count == 0 || trace->memory_out)
		return false;
	time = record->events[record->event_count - 1].time;
	return shot_trace_at(trace, ball, time, radius, state, NULL);
}

static struct shot_scene scene_of(const struct effects_bench *bench, const struct table *table,
                                  size_t count, struct shot_trace *trace)
{
	return (struct shot_scene){.table = table,
	                           .constants = &bench->constants,
	                           .ball_count = count,
	                           .bodies = bench->bodies,
	                           .rails = bench->rails,
	                           .tolerance = CUSHION_TOLERANCE,
	                           .trace = trace};
}

bool effects_bench_meet(const struct effects_bench *bench, struct ball_state *states, size_t count)
{
	struct table table = bench->table;
	struct shot_trace trace = {0};
	struct shot_scene scene = scene_of(bench, &table, count, &trace);
	struct shot_need need = {.ball_contacts = (int)count - 1};
	struct shot_record record;
	bool met;

	table.length = table.width = OPEN_CLOTH;
	for (size_t i = 0; i < count; i++) {
		states[i].position.x += 0.5 * OPEN_CLOTH;
		states[i].position.y += 0.5 * OPEN_CLOTH;
	}
	shot_play(&scene, states, &need, &record);
	met = record.ending == SHOT_ENOUGH && record.events[0].kind == EVENT_BALLS;
	for (size_t i = 0; i < count && met; i++)
		met = state_after(&trace, &record, i, bench->bodies[i].radius, &states[i]);
	for (size_t i = 0; i < count; i++) {
		states[i].position.x -= 0.5 * OPEN_CLOTH;
		states[i].position.y -= 0.5 * OPEN_CLOTH;
	}
	shot_trace_free(&trace);
	return met;
}

/* Whether the first counted contacts of ball 0 with rails are these. */
static bool meets(const struct shot_record *record, int rails, const enum rail *order)
{
	int met = 0;

	for (size_t i = 0; i < record->event_count; i++) {
		const struct shot_event *event = &record->events[i];

		if (event->kind != EVENT_RAIL || event->number < 1 || event->number > rails)
			continue;
		if (event->rail != order[event->number - 1])
			return false;
		met++;
	}
	return met == rails;
}

bool effects_bench_rails(const struct effects_bench *bench, enum ball_role role, double longer,
                         int rails, const enum rail *order, struct ball_state *state)
{
	struct table table = bench->table;
	struct shot_trace trace = {0};
	struct shot_scene scene = scene_of(bench, &table, 1, &trace);
	struct shot_need need = {.rails = {rails}};
	struct ball_state after = *state;
	struct shot_record record;
	bool met;

	scene.bodies = &bench->bodies[role];
	table.length *= longer;
	shot_play(&scene, state, &need, &record);
	met = record.ending == SHOT_ENOUGH && meets(&record, rails, order) &&
	      state_after(&trace, &record, 0, bench->bodies[role].radius, &after);
	if (met)
		*state = after;
	shot_trace_free(&trace);
	return met;
}

static double beyond(const struct shot_trace *trace, double time, double radius, int axis,
                     double line)
{
	struct ball_state state = {.position = {0.0, 0.0, 0.0}};

	shot_trace_at(trace, 0, time, radius, &state, NULL);
	return (axis == 0 ? state.position.x : state.position.y) - line;
}

/* The moment between two at which the ball crosses the line; negative where it does not. */
static double crossing(const struct shot_trace *trace, double radius, double from, double until,
                       int axis, double line)
{
	double side = beyond(trace, from, radius, axis, line);

	if (!(side * beyond(trace, until, radius, axis, line) < 0.0))
		return -1.0;
	for (int i = 0; i < HALVINGS; i++) {
		double middle = 0.5 * (from + until);

		if (side * beyond(trace, middle, radius, axis, line) > 0.0)
			from = middle;
		else
			until = middle;
	}
	return until;
}

bool effects_bench_cross(const struct effects_bench *bench, int rails, const enum rail *order,
                         int axis, double line, struct ball_state *state)
{
	const double radius = bench->bodies[BALL_CUE].radius;
	struct shot_trace trace = {0};
	struct shot_scene scene = scene_of(bench, &bench->table, 1, &trace);
	struct shot_need need = {.rails = {rails + 1}};
	struct shot_record record;
	double from = -1.0, until = -1.0, time = -1.0;

	shot_play(&scene, state, &need, &record);
	for (size_t i = 0; i < record.event_count; i++) {
		if (record.events[i].kind == EVENT_RAIL && record.events[i].number == rails)
			from = record.events[i].time;
		until = record.events[i].time;
	}
	if (record.ending == SHOT_COMPLETE)
		until = record.ends[0].rest_time;
	if (meets(&record, rails, order) && !trace.memory_out && record.ending <= SHOT_ENOUGH)
		time = crossing(&trace, radius, from, until, axis, line);
	if (time >= 0.0)
		shot_trace_at(&trace, 0, time, radius, state, NULL);
	shot_trace_free(&trace);
	return time >= 0.0;
}

bool effects_bench_rest(const struct effects_bench *bench, struct ball_state *state)
{
	struct shot_scene scene = scene_of(bench, &bench->table, 1, NULL);
	struct shot_need need = {.everything = true};
	struct shot_record record;

	shot_play(&scene, state, &need, &record);
	state->position = record.ends[0].position;
	return record.ending == SHOT_COMPLETE;
}
