/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "outside_solver.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "outside_contacts.h"

#define AT_ONCE 1e-13 /* a distance as small is none [m] */
#define INSIDE 1e-8   /* balls this deep inside one another or a rail have missed their event [m] */

static void load(struct outside_player *player, const struct ball_state *states)
{
	for (size_t i = 0; i < player->cloth.count; i++) {
		double radius = player->cloth.bodies[i].radius;
		double numbers[OUTSIDE_BALL_NUMBERS] = {
		    states[i].position.x,     states[i].position.y,      states[i].velocity.x,
		    states[i].velocity.y,     radius * states[i].spin.x, radius * states[i].spin.y,
		    radius * states[i].spin.z};

		memcpy(player->y + i * OUTSIDE_BALL_NUMBERS, numbers, sizeof numbers);
		player->cloth.balls[i] = (struct outside_ball){.on_table = true};
		player->contacts[i] = 0;
		for (int rail = 0; rail < RAIL_COUNT; rail++)
			player->farthest[i][rail] = HUGE_VAL;
	}
}

struct outside_player *outside_player_open(size_t count, const struct outside_accuracy *accuracy)
{
	struct outside_player *player = calloc(1, sizeof *player);
	struct outside_accuracy impact = {accuracy->relative, accuracy->absolute, 0.0};
	struct outside_system system;

	if (player == NULL)
		return NULL;
	player->cloth.count = count;
	system = outside_cloth_system(&player->cloth);
	player->integrator = outside_integrator_open(&system, accuracy);
	player->cushion = outside_cushion_open(&impact);
	if (player->integrator == NULL || player->cushion == NULL) {
		outside_player_close(player);
		return NULL;
	}
	return player;
}

void outside_player_close(struct outside_player *player)
{
	if (player == NULL)
		return;
	outside_integrator_close(player->integrator);
	outside_cushion_close(player->cushion);
	free(player);
}

/* Notes how far the balls have been from the rails: exact, for the solver stops where one turns. */
static void note_distances(struct outside_player *player, const double *y)
{
	for (size_t i = 0; i < player->cloth.count; i++)
		for (int rail = 0; rail < RAIL_COUNT; rail++)
			player->farthest[i][rail] =
			    fmax(player->farthest[i][rail],
			         outside_cloth_rail_gap(&player->cloth, i, y, (enum rail)rail));
}

/* Whether a ball is inside another or beyond a rail. */
static bool missed_event(const struct outside_player *player, const double *y)
{
	const struct outside_cloth *cloth = &player->cloth;

	for (size_t i = 0; i < cloth->count; i++) {
		if (!cloth->balls[i].on_table)
			continue;
		for (int rail = 0; rail < RAIL_COUNT; rail++)
			if (outside_cloth_rail_gap(cloth, i, y, (enum rail)rail) < -INSIDE)
				return true;
		for (size_t j = i + 1; j < cloth->count; j++)
			if (cloth->balls[j].on_table &&
			    outside_cloth_pair_gap(cloth, i, j, y) < -INSIDE)
				return true;
	}
	return false;
}

static bool moves(const struct outside_player *player)
{
	for (size_t i = 0; i < player->cloth.count; i++) {
		const struct outside_ball *ball = &player->cloth.balls[i];

		if (ball->on_table && (ball->phase != OUTSIDE_RESTS || ball->turning != 0.0))
			return true;
	}
	return false;
}

/* Begins the motion after an event; notes when balls came to rest. */
static void begin(struct outside_player *player)
{
	bool rested[OUTSIDE_BALLS];

	for (size_t i = 0; i < player->cloth.count; i++)
		rested[i] = player->time > 0.0 && player->cloth.balls[i].phase == OUTSIDE_RESTS;
	outside_cloth_begin(&player->cloth, player->y);
	for (size_t i = 0; i < player->cloth.count; i++) {
		const struct outside_ball *ball = &player->cloth.balls[i];
		struct outside_end *end = &player->record->ends[i];

		if (!ball->on_table)
			continue;
		if (ball->phase == OUTSIDE_RESTS && !rested[i])
			end->rest_time = player->time;
		if (ball->phase != OUTSIDE_RESTS || ball->turning != 0.0)
			end->still_time = HUGE_VAL;
		else if (end->still_time == HUGE_VAL)
			end->still_time = player->time;
	}
	outside_contacts_find_pressed(player);
}

/* What happens without any time in between: balls that start in touch, or are driven into a rail
 * that they lie at. */
static bool meet_at_once(struct outside_player *player)
{
	const struct outside_cloth *cloth = &player->cloth;

	for (size_t i = 0; i < cloth->count; i++)
		for (int rail = 0; rail < RAIL_COUNT && cloth->balls[i].on_table; rail++)
			if (outside_cloth_rail_gap(cloth, i, player->y, (enum rail)rail) <=
			        AT_ONCE &&
			    outside_cloth_rail_speed(i, player->y, (enum rail)rail) > 0.0) {
				outside_contacts_rail(player, i, (enum rail)rail, true);
				return true;
			}
	return outside_contacts_balls(player);
}

/* Handles what was found at a root. True when the motion of a ball changed by it. */
static bool handle(struct outside_player *player, const bool *found)
{
	struct outside_cloth *cloth = &player->cloth;
	bool changed = false;

	for (size_t i = 0; i < cloth->count; i++) {
		const bool *own = found + i * OUTSIDE_BALL_ROOTS;

		if (own[OUTSIDE_ROOT_PHASE]) {
			player->time += outside_cloth_end_phase(cloth, i, player->y);
			changed = true;
		}
		if (own[OUTSIDE_ROOT_SPIN]) {
			player->y[i * OUTSIDE_BALL_NUMBERS + OUTSIDE_BALL_WZ] = 0.0;
			changed = true;
		}
		/* A ball that just rebounded may be found at the rail once more, by rounding. */
		for (int rail = 0; rail < RAIL_COUNT; rail++)
			if (own[OUTSIDE_ROOT_RAIL + rail] &&
			    outside_cloth_rail_speed(i, player->y, (enum rail)rail) > 0.0) {
				outside_contacts_rail(player, i, (enum rail)rail, false);
				changed = true;
			}
	}
	for (size_t i = 0; i < cloth->count; i++)
		for (size_t j = i + 1; j < cloth->count; j++)
			if (found[outside_cloth_pair_root(cloth->count, i, j)]) {
				outside_contacts_balls(player);
				changed = true;
			}
	return changed;
}

/* From an event to the next. */
static void run(struct outside_player *player)
{
	bool found[OUTSIDE_ROOTS];
	double start = player->time, t;

	if (!outside_integrator_restart(player->integrator, player->y)) {
		player->record->outcome = OUTSIDE_UNSOLVED;
		return;
	}
	for (;;) {
		enum outside_step step =
		    outside_integrator_step(player->integrator, &t, player->y, found);

		player->record->steps++;
		player->time = start + t;
		if (step == OUTSIDE_FAILED)
			player->record->outcome = OUTSIDE_UNSOLVED;
		else if (missed_event(player, player->y))
			player->record->outcome = OUTSIDE_MISSED;
		if (player->record->outcome != OUTSIDE_PLAYED)
			return;
		note_distances(player, player->y);
		outside_cloth_follow(&player->cloth, player->y);
		if (step == OUTSIDE_ROOT && handle(player, found))
			return;
	}
}

void outside_player_play(struct outside_player *player, const struct outside_scene *scene,
                         const struct ball_state *states, struct outside_record *record)
{
	memset(record, 0, sizeof *record);
	player->record = record;
	player->time = 0.0;
	player->meetings = 0;
	player->cloth.table = scene->table;
	player->cloth.constants = scene->constants;
	player->cloth.bodies = scene->bodies;
	load(player, states);
	while (record->outcome == OUTSIDE_PLAYED) {
		bool met = meet_at_once(player);

		begin(player);
		if (record->event_count >= OUTSIDE_EVENTS)
			record->outcome = OUTSIDE_GIVEN_UP;
		else if (!moves(player))
			break;
		else if (!met)
			run(player);
	}
	for (size_t i = 0; i < player->cloth.count; i++)
		if (player->cloth.balls[i].on_table)
			record->ends[i].position = outside_contacts_place(player, i);
}

double outside_record_distance(const struct outside_record *a, const struct outside_record *b,
                               size_t balls)
{
	double most = 0.0;

	if (a->event_count != b->event_count || a->outcome != b->outcome)
		return HUGE_VAL;
	for (size_t k = 0; k < a->event_count; k++) {
		if (a->events[k].kind != b->events[k].kind ||
		    a->events[k].ball != b->events[k].ball ||
		    a->events[k].rail != b->events[k].rail ||
		    a->events[k].other != b->events[k].other)
			return HUGE_VAL;
		most = fmax(most, vector3_norm(vector3_subtract(a->events[k].position,
		                                                b->events[k].position)));
	}
	for (size_t i = 0; i < balls; i++)
		most = fmax(
		    most, vector3_norm(vector3_subtract(a->ends[i].position, b->ends[i].position)));
	return most;
}
