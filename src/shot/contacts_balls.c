/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "physics/collision.h"
#include "physics/flight.h"
#include "shot/contacts.h"
#include "shot/events.h"
#include "shot/tangents.h"

/* A pair of touching balls that approach. */
struct touching {
	size_t first, second;
	double approach;
};

/* The pairs of this instant, and the balls that they are looked for among: those that met already. */
struct meeting {
	bool met[SHOT_BALLS];
	size_t count;
	struct touching pairs[SHOT_BALLS * 6]; /* a ball has at most six neighbours */
	double fastest;
};

static void look_at_pair(const struct play *play, size_t i, const struct ball_state *state, size_t j,
                         struct meeting *meeting)
{
	const struct ball_body *bodies = play->scene->bodies;
	double reach = bodies[i].radius + bodies[j].radius;
	double far = reach + EVENT_TOUCH, distance, approach, least;
	struct ball_state other = play_state(play, j);
	struct vector3 line = vector3_subtract(other.position, state->position);

	if (fabs(line.x) > far || fabs(line.y) > far || meeting->count >= SHOT_BALLS * 6)
		return;
	distance = vector3_norm(line);
	if (distance > far)
		return;
	approach = i < j ? collision_approach(state, &other) : collision_approach(&other, state);
	least = distance < reach - 0.5 * EVENT_DEPTH ? EVENT_DEEP_APPROACH : EVENT_APPROACH;
	if (!(approach > least)) /* nor when there is no line of centres */
		return;
	meeting->pairs[meeting->count++] = (struct touching){i < j ? i : j, i < j ? j : i, approach};
	meeting->fastest = fmax(meeting->fastest, approach);
}

/* The touching pairs that approach, one ball at least having met another at this instant. */
static void find_touching(const struct play *play, struct meeting *meeting)
{
	meeting->count = 0;
	meeting->fastest = 0.0;
	for (size_t i = 0; i < play->scene->ball_count; i++) {
		struct ball_state state;

		if (!meeting->met[i] || !play->balls[i].on_table)
			continue;
		state = play_state(play, i);
		for (size_t j = 0; j < play->scene->ball_count; j++)
			if (j != i && play->balls[j].on_table && !(meeting->met[j] && j < i))
				look_at_pair(play, i, &state, j, meeting);
	}
}

/* Takes from a ball the slip that drives it along n. */
static void stop_driving(struct play *play, size_t i, struct vector3 n)
{
	struct ball_state *state = &play->balls[i].start;
	double radius = play->scene->bodies[i].radius;
	struct vector3 slip = ball_slip(state, radius);
	double drive = slip.x * n.x + slip.y * n.y;
	double surface = state->velocity.x * n.x + state->velocity.y * n.y - drive;

	if (drive >= 0.0) /* friction acts against the slip, so this one pulls the ball away */
		return;
	drive = fmax(drive, -surface - fabs(surface)); /* the spin must not grow */
	state->spin.x -= drive * n.y / radius;
	state->spin.y += drive * n.x / radius;
}

/* The part of a way that would lead beyond low or high from between them. */
static double way_beyond(double at, double way, double low, double high)
{
	if (way < 0.0 && at >= low && at + way < low)
		return at + way - low;
	if (way > 0.0 && at <= high && at + way > high)
		return at + way - high;
	return 0.0;
}

/* Moves a ball along the bed, though not into a rail; returns the part of the way that is left. */
static struct vector3 push(struct play *play, size_t i, struct vector3 way)
{
	const struct table *table = play->scene->table;
	struct vector3 *place = &play->balls[i].start.position;
	double radius = play->scene->bodies[i].radius;
	struct vector3 left =
	    vector3_make(way_beyond(place->x, way.x, radius, table->width - radius),
	                 way_beyond(place->y, way.y, radius, table->length - radius), 0.0);

	*place = vector3_add(*place, vector3_subtract(way, left));
	return left;
}

/* Two balls that were driven together for a while stand inside one another by a micrometre or so, the
 * way they came before they met: sets them apart again, half the way each, or one more where the
 * other lies at a rail. */
static void part(struct play *play, size_t i, size_t j, struct vector3 line)
{
	const struct ball_body *bodies = play->scene->bodies;
	double distance = vector3_norm(line);
	double overlap = bodies[i].radius + bodies[j].radius - distance;
	struct vector3 half =
	    vector3_scale(distance > 0.0 ? 0.5 * fmax(0.0, overlap) / distance : 0.0, line);
	struct vector3 left;

	half.z = 0.0;
	left = push(play, i, vector3_scale(-1.0, half));
	left = push(play, j, vector3_subtract(half, left));
	push(play, i, vector3_scale(-1.0, left));
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
	event = play_record(play, EVENT_BALLS, pair->first, pair->approach);
	if (event != NULL) {
		event->other = pair->second;
		event->number = play->ball_contacts;
	}
}

/* What a contact does to a ball. One that stays on the bed keeps no vertical velocity: the bed takes
 * it up. */
static void add_change(struct play *play, size_t i, struct vector3 velocity, struct vector3 spin)
{
	const struct constants *constants = play->scene->constants;
	const struct ball_body *body = &play->scene->bodies[i];
	struct ball_state *state = &play->balls[i].start;

	state->velocity = vector3_add(state->velocity, velocity);
	state->spin = vector3_add(state->spin, spin);
	if (constants->terms.bed_restitution <= 0.0)
		state->velocity.z = 0.0;
	else if (state->velocity.z < 0.0 && state->position.z <= body->radius)
		flight_land(state, body, constants);
}

/* Two balls that met slowly: what drives one into the other is taken away. */
static void stay_together(struct play *play, size_t i, size_t j)
{
	struct vector3 line =
	    vector3_subtract(play->balls[j].start.position, play->balls[i].start.position);
	double flat = vector3_norm_flat(line);
	struct vector3 n = flat > 0.0 ? vector3_scale(1.0 / flat, line)
	                              : vector3_make(1.0, 0.0, 0.0);

	part(play, i, j, line);
	stop_driving(play, i, n);
	stop_driving(play, j, vector3_scale(-1.0, n));
}

static struct collision_contact contact_of(const struct play *play, const struct touching *pair)
{
	const struct constants *constants = play->scene->constants;

	return (struct collision_contact){
	    .restitution = pair->approach < SHOT_SLOW ? 0.0 : constants->value[BALL_RESTITUTION],
	    .friction = constants->value[BALL_FRICTION],
	    .friction_fall = constants->terms.ball_friction_fall};
}

/* One pair meets, by the changes solved from the state that all pairs of this instant share. */
static void meet(struct play *play, const struct touching *pair,
                 const struct collision_change *change)
{
	const struct ball_body *bodies = play->scene->bodies;
	size_t i = pair->first, j = pair->second;

	play_rebase(play, i);
	play_rebase(play, j);
	tangents_meet_ball(play, i, j);
	record_pair(play, pair);
	if (play->gradient != NULL) {
		struct collision_contact contact = contact_of(play, pair);
		struct collision_slopes slopes;

		collision_find_slopes(&play->balls[i].start, &bodies[i], &play->balls[j].start,
		                      &bodies[j], &contact, &slopes);
		tangents_collide(play, i, j, &slopes);
	}
	add_change(play, i, change->velocity[0], change->spin[0]);
	add_change(play, j, change->velocity[1], change->spin[1]);
	play->slow_time[i][j] = -HUGE_VAL;
	if (pair->approach < SHOT_SLOW) {
		play->slow_time[i][j] = play->time;
		stay_together(play, i, j);
	}
}

/* Solves the fastest pairs from one state and adds what each does. */
static void solve_pairs(struct play *play, struct meeting *meeting)
{
	const struct ball_body *bodies = play->scene->bodies;
	struct collision_change changes[SHOT_BALLS * 6];

	for (size_t k = 0; k < meeting->count; k++) {
		const struct touching *pair = &meeting->pairs[k];
		struct ball_state a = play_state(play, pair->first);
		struct ball_state b = play_state(play, pair->second);
		struct collision_contact contact = contact_of(play, pair);

		changes[k] = collision_solve(&a, &bodies[pair->first], &b, &bodies[pair->second],
		                             &contact);
	}
	for (size_t k = 0; k < meeting->count; k++) {
		const struct touching *pair = &meeting->pairs[k];

		if (pair->approach < meeting->fastest * (1.0 - 1e-9))
			continue;
		meet(play, pair, &changes[k]);
		meeting->met[pair->first] = meeting->met[pair->second] = true;
	}
}

void contacts_balls(struct play *play, size_t first, size_t second)
{
	struct meeting meeting = {.met = {false}};

	meeting.met[first] = meeting.met[second] = true;
	for (; play->rounds < SHOT_EVENT_CAP; play->rounds++) {
		find_touching(play, &meeting);
		if (meeting.count == 0)
			return;
		solve_pairs(play, &meeting);
	}
}
