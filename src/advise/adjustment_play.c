/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/adjustment.h"

#include <math.h>

#include "model/protocol.h"
#include "physics/cloth.h"
#include "physics/collision.h"
#include "physics/cue.h"
#include "physics/cushion.h"
#include "shot/play.h"
#include "shot/trace.h"

#define DEGREE (M_PI / 180.0)

/* One stroke on one table. */
struct play_case {
	const struct adjustment *adjustment;
	const struct adjustment_table *on;
	struct table table; /* without pockets */
	struct ball_body bodies[2];
	struct ball_state states[2]; /* the ball struck, just after; the object ball */
};

static struct ball_body body_of(const struct adjustment_table *on, enum ball_role role)
{
	const struct table *table = &on->table;
	bool cue = role == BALL_CUE;

	return (struct ball_body){
	    .radius = 0.5 * (cue ? table->cue_ball_diameter : table->ball_diameter),
	    .mass = cue ? table->cue_ball_mass : table->ball_mass,
	    .grip = on->drawn.grip[role]};
}

/* The stroke with its varied part set, and where it is aimed; false beyond a miscue. */
static bool choose_stroke(const struct play_case *played, double value, struct stroke *stroke,
                          double *at)
{
	const struct adjustment *adjustment = played->adjustment;
	double elevation = adjustment->elevated ? played->on->elevation_deg * DEGREE : 0.0;

	*stroke = (struct stroke){.speed = adjustment->speed,
	                          .height = adjustment->height,
	                          .side = adjustment->side,
	                          .elevation = elevation};
	*at = adjustment->at;
	if (adjustment->varied == ADJUST_SPEED)
		stroke->speed = value;
	else if (adjustment->varied == ADJUST_HEIGHT)
		stroke->height = value;
	else if (adjustment->varied == ADJUST_SIDE)
		stroke->side = value;
	else
		*at = value;
	if (adjustment->against_squirt)
		stroke->turn = -cue_squirt(stroke->side, played->on->end_mass_ratio);
	return stroke->speed > 0.0 &&
	       hypot(stroke->height, stroke->side) <= STROKE_OFFSET_DESIGNED + 1e-12;
}

/* Where the aim points, from the ball [rad]. */
static double aim_of(const struct play_case *played, double at)
{
	const struct table *table = &played->table;
	const struct vector3 *from = &played->states[0].position;

	switch (played->adjustment->aim) {
	case RAIL_HEAD:
		return atan2(-from->y, table_short_to_metres(table, at) - from->x);
	case RAIL_FOOT:
		return atan2(table->length - from->y, table_short_to_metres(table, at) - from->x);
	case RAIL_LEFT:
		return atan2(table_long_to_metres(table, at) - from->y, -from->x);
	case RAIL_RIGHT:
		return atan2(table_long_to_metres(table, at) - from->y, table->width - from->x);
	case RAIL_COUNT:
		break;
	}
	return (double)NAN;
}

static bool strike(struct play_case *played, double value)
{
	const struct adjustment *adjustment = played->adjustment;
	const struct adjustment_table *on = played->on;
	struct stroke stroke;
	double at;

	played->table = on->table;
	played->table.pockets = false;
	played->bodies[0] = body_of(on, adjustment->object_ball ? BALL_OBJECT : BALL_CUE);
	played->bodies[1] = body_of(on, BALL_OBJECT);
	played->states[0] = (struct ball_state){
	    .position = {table_short_to_metres(&on->table, adjustment->across),
	                 table_long_to_metres(&on->table, adjustment->along),
	                 played->bodies[0].radius}};
	played->states[1] = played->states[0];
	played->states[1].position.y += table_long_to_metres(&on->table, adjustment->distance);
	played->states[1].position.z = played->bodies[1].radius;
	if (!choose_stroke(played, value, &stroke, &at))
		return false;
	cue_strike(&stroke, aim_of(played, at), on->end_mass_ratio,
	           on->drawn.constants.terms.bed_restitution, &played->bodies[0],
	           &played->states[0]);
	return true;
}

static struct shot_scene scene_of(const struct play_case *played, size_t balls)
{
	return (struct shot_scene){.table = &played->table,
	                           .constants = &played->on->drawn.constants,
	                           .ball_count = balls,
	                           .bodies = played->bodies,
	                           .rails = played->on->drawn.rails,
	                           .tolerance = CUSHION_TOLERANCE};
}

/* A ball that is alone on the table stops at that place along it after so many short rails: the way
 * along the table unfolded at head and foot [m]. */
static double unfold(double near, double far, bool foot_first, int rails, double at)
{
	double sign = foot_first ? 1.0 : -1.0;
	bool to_head = (rails % 2 == 1) == foot_first;

	if (rails == 0)
		return at;
	return (foot_first ? far : near) +
	       sign * ((rails - 1) * (far - near) + (to_head ? far - at : at - near));
}

/* Where the ball stops, beyond where it should after so many short rails [diamonds]. */
static double run_beyond(const struct play_case *played, int wanted_rails, double wanted)
{
	struct shot_scene scene = scene_of(played, 1);
	const struct table *table = &played->table;
	double radius = played->bodies[0].radius, far = table->length - radius;
	struct shot_record record;
	bool foot_first = true;
	int rails = 0;

	shot_play(&scene, played->states, NULL, &record);
	if (record.ending != SHOT_COMPLETE)
		return (double)NAN;
	for (size_t i = 0; i < record.event_count; i++) {
		const struct shot_event *event = &record.events[i];

		if (event->kind != EVENT_RAIL || event->number == 0 || rail_is_long(event->rail))
			continue;
		if (rails++ == 0)
			foot_first = event->rail == RAIL_FOOT;
	}
	return table_long_to_diamonds(
	    table, unfold(radius, far, foot_first, rails, record.ends[0].position.y) -
	               unfold(radius, far, true, wanted_rails, wanted));
}

/* The n-th rail contact; false where there is none. */
static bool find_contact(const struct play_case *played, struct shot_event *found)
{
	struct shot_scene scene = scene_of(played, 1);
	struct shot_need need = {.rails = {played->adjustment->contact}};
	struct shot_record record;

	shot_play(&scene, played->states, &need, &record);
	for (size_t i = 0; i < record.event_count; i++)
		if (record.events[i].kind == EVENT_RAIL &&
		    record.events[i].number == played->adjustment->contact) {
			*found = record.events[i];
			return true;
		}
	return false;
}

static double rail_result(const struct play_case *played)
{
	struct shot_event event;

	if (!find_contact(played, &event) || event.rail != played->adjustment->arrives)
		return (double)NAN;
	return rail_is_long(event.rail) ? table_long_to_diamonds(&played->table, event.position.y)
	                                : table_short_to_diamonds(&played->table, event.position.x);
}

/* Above 0 on the right rail, below on the head rail; 0 where the ball touches both. */
static double corner_result(const struct play_case *played)
{
	const struct table *table = &played->table;
	double radius = played->bodies[0].radius;
	struct shot_event event;

	if (!find_contact(played, &event))
		return (double)NAN;
	if (event.rail == RAIL_RIGHT)
		return table_long_to_diamonds(table, event.position.y - radius);
	if (event.rail == RAIL_HEAD)
		return -table_short_to_diamonds(table, table->width - radius - event.position.x);
	return (double)NAN;
}

/* The cue ball goes on alone from the contact: the object ball is taken off, or it would come
 * back. */
static double return_result(struct play_case *played)
{
	struct shot_scene scene = scene_of(played, 2);
	struct shot_need need = {.ball_contacts = 1};
	struct shot_trace trace = {.count = 0};
	struct shot_record record;
	bool met = false;

	scene.trace = &trace;
	shot_play(&scene, played->states, &need, &record);
	for (size_t i = 0; i < record.event_count; i++)
		met = met || record.events[i].kind == EVENT_BALLS;
	met = met && !trace.memory_out &&
	      shot_trace_at(&trace, 0, record.events[record.event_count - 1].time,
	                    played->bodies[0].radius, &played->states[0], NULL);
	shot_trace_free(&trace);
	if (!met)
		return (double)NAN;
	return run_beyond(played, 0,
	                  played->states[0].position.y +
	                      table_long_to_metres(&played->table, played->adjustment->wanted));
}

/* The contact alone: the cue ball comes along y, the line of centres lies `cut` to the right. */
static double cut_result(const struct adjustment *adjustment, const struct adjustment_table *on,
                         double cut)
{
	const struct constants *constants = &on->drawn.constants;
	struct ball_body cue = body_of(on, BALL_CUE), object = body_of(on, BALL_OBJECT);
	struct collision_contact law = {.restitution = constants->value[BALL_RESTITUTION],
	                                .friction = constants->value[BALL_FRICTION],
	                                .friction_fall = constants->terms.ball_friction_fall};
	double apart = 2.0 * sqrt(cue.radius * object.radius);
	struct ball_state first = {.position = {0.0, 0.0, cue.radius},
	                           .velocity = {0.0, adjustment->speed, 0.0},
	                           .spin = {-2.5 * adjustment->height * adjustment->speed /
	                                        cue.radius, 0.0, 0.0}};
	struct ball_state second = {.position = {apart * sin(cut * DEGREE),
	                                         apart * cos(cut * DEGREE), object.radius}};
	struct collision_change change = collision_solve(&first, &cue, &second, &object, &law);
	struct constants level = *constants;

	second.velocity = change.velocity[1];
	second.velocity.z = 0.0;
	second.spin = change.spin[1];
	level.terms = (struct constant_terms){.slope_long = 0.0};
	second = cloth_roll_out(&second, &object, &level, NULL);
	if (!(vector3_norm_flat(second.velocity) > 0.0))
		return (double)NAN;
	return atan2(second.velocity.x, second.velocity.y) / DEGREE;
}

double adjustment_result(const struct adjustment *adjustment, const struct adjustment_table *table,
                         double value)
{
	struct play_case played = {.adjustment = adjustment, .on = table};

	if (adjustment->kept == KEEP_CUT)
		return cut_result(adjustment, table, value) - adjustment->wanted;
	if (!strike(&played, value))
		return (double)NAN;
	switch (adjustment->kept) {
	case KEEP_RUN:
		return run_beyond(&played, adjustment->contact,
		                  table_long_to_metres(&played.table, adjustment->wanted));
	case KEEP_RAIL:
		return rail_result(&played) - adjustment->wanted;
	case KEEP_CORNER:
		return corner_result(&played);
	case KEEP_RETURN:
		return return_result(&played);
	case KEEP_CUT:
		break;
	}
	return (double)NAN;
}
