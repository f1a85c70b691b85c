/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/traced_shot.h"

#include <math.h>

#include "physics/cushion.h"

void traced_shot_free(struct traced_shot *shot)
{
	for (int i = 0; i < BALL_ROLES; i++)
		trace_path_free(&shot->paths[i]);
}

bool traced_shot_moved(const struct traced_shot *shot, enum ball_role ball)
{
	return shot->setup.present[ball] && shot->record.ends[ball].rest_time > 0.0;
}

/* Adds an event behind those that are not later. */
static void add_event(struct traced_shot *shot, const struct trace_event *event)
{
	size_t i = shot->event_count++;

	for (; i > 0 && shot->events[i - 1].time > event->time; i--)
		shot->events[i] = shot->events[i - 1];
	shot->events[i] = *event;
}

static struct trace_event from_record(const struct shot_event *event)
{
	static const enum trace_event_kind kinds[] = {[EVENT_RAIL] = TRACE_RAIL,
	                                              [EVENT_BALLS] = TRACE_CONTACT,
	                                              [EVENT_POCKET] = TRACE_POCKET,
	                                              [EVENT_LEAVE] = TRACE_LEAVE,
	                                              [EVENT_BOUNCE] = TRACE_BOUNCE};
	bool at_rail = event->kind != EVENT_BALLS && event->kind != EVENT_BOUNCE;

	return (struct trace_event){.kind = kinds[event->kind],
	                            .time = event->time,
	                            .ball = (enum ball_role)event->ball,
	                            .other = (enum ball_role)event->other,
	                            .rail = at_rail ? event->rail : RAIL_COUNT,
	                            .number = event->number,
	                            .position = event->position,
	                            .approach = event->approach};
}

/* The strike, or how a ball ends: events of a ball for itself. */
static void add_own_event(struct traced_shot *shot, enum trace_event_kind kind, double time,
                          enum ball_role ball, struct vector3 position)
{
	struct trace_event event = {.kind = kind,
	                            .time = time,
	                            .ball = ball,
	                            .other = ball,
	                            .rail = RAIL_COUNT,
	                            .position = position,
	                            .approach = NAN};

	add_event(shot, &event);
}

static void add_events(struct traced_shot *shot)
{
	const struct shot_record *record = &shot->record;

	add_own_event(shot, TRACE_STRIKE, 0.0, BALL_CUE, shot->setup.balls[BALL_CUE].position);
	for (size_t i = 0; i < record->event_count; i++) {
		struct trace_event event = from_record(&record->events[i]);

		add_event(shot, &event);
	}
	for (int i = 0; i < BALL_ROLES; i++) {
		const struct ball_end *end = &record->ends[i];

		if (!shot->setup.present[i] || end->pocketed)
			continue;
		if (end->rest_time > 0.0)
			add_own_event(shot, TRACE_REST, end->rest_time, (enum ball_role)i, end->position);
		if (end->still_time > end->rest_time)
			add_own_event(shot, TRACE_STOPPED, end->still_time, (enum ball_role)i,
			              end->position);
	}
}

static enum status add_paths(struct traced_shot *shot, const struct shot_trace *trace,
                             double tolerance)
{
	enum status status = STATUS_OK;

	shot->end_time = 0.0;
	for (int i = 0; i < BALL_ROLES; i++)
		if (shot->setup.present[i])
			shot->end_time = fmax(shot->end_time, shot->record.ends[i].still_time);
	for (size_t i = 0; i < BALL_ROLES && status == STATUS_OK; i++)
		status = trace_path_make(trace, i, shot->setup.bodies[i].radius, shot->end_time,
		                         tolerance, &shot->paths[i]);
	return status;
}

enum status traced_shot_play(const struct shot_design *design, const struct shot_setup *setup,
                             const struct table *table, const struct constants *constants,
                             double end_mass_ratio, double tolerance, struct traced_shot *shot)
{
	return traced_shot_play_rails(design, setup, table, constants, NULL, end_mass_ratio,
	                              tolerance, shot);
}

enum status traced_shot_play_rails(const struct shot_design *design,
                                   const struct shot_setup *setup, const struct table *table,
                                   const struct constants *constants,
                                   const struct rail_character *rails, double end_mass_ratio,
                                   double tolerance, struct traced_shot *shot)
{
	struct shot_trace trace = {.count = 0};
	struct ball_state states[BALL_ROLES];
	enum status status = STATUS_INPUT;
	struct shot_scene scene;

	*shot = (struct traced_shot){.design = design, .table = table, .setup = *setup};
	scene = (struct shot_scene){.table = table,
	                            .constants = constants,
	                            .ball_count = BALL_ROLES,
	                            .bodies = shot->setup.bodies,
	                            .present = shot->setup.present,
	                            .rails = rails,
	                            .tolerance = CUSHION_TOLERANCE,
	                            .trace = &trace};
	shot->stroke = shot_design_stroke(design);
	shot_setup_strike(setup, design, &shot->stroke, end_mass_ratio,
	                  constants->terms.bed_restitution, states);
	shot_play(&scene, states, NULL, &shot->record);
	if (shot->record.ending == SHOT_COMPLETE) {
		add_events(shot);
		status = add_paths(shot, &trace, tolerance);
	}
	shot_trace_free(&trace);
	return status;
}
