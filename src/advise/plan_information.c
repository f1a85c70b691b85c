/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan_information.h"

#include <string.h>

#include "estimate/drawn_constants.h"
#include "physics/cushion.h"

#define STABLE_TOLERANCE 1e-5 /* of impacts: only the order counts */

void plan_world_draw(const struct plan_knowledge *known, uint64_t seed, uint64_t number,
                     struct plan_world *world)
{
	struct random_stream stream = random_start(seed, number);

	memset(world, 0, sizeof *world);
	plan_knowledge_draw(known, &stream, world->point[0].constants);
	for (int player = 0; player < PLAN_PLAYERS; player++) {
		memcpy(world->point[player].constants, world->point[0].constants,
		       sizeof world->point[0].constants);
		for (int i = 0; i < SHARED_HABITS; i++)
			world->point[player].shared[i] = random_normal(&stream);
		for (int i = 0; i < OWN_UNKNOWNS; i++)
			world->own[player][i] = random_normal(&stream);
	}
}

void plan_information_make(const struct shot_design *design, const struct session *session,
                           const struct plan_world *world, int players, double share,
                           struct plan_information *information)
{
	const double factor = share / (DRAWN_WIDENED * DRAWN_WIDENED * players);
	struct shot_information all = {{{0.0}}};

	for (int player = 0; player < players; player++)
		shot_information_play(design, session, &world->point[player], world->own[player],
		                      &all);
	for (int i = 0; i < PLAN_UNKNOWNS; i++)
		for (int k = 0; k < PLAN_UNKNOWNS; k++)
			information->at[i][k] = factor * all.at[i][k];
}

static struct constants middle(const struct plan_knowledge *known)
{
	struct stroke_point point = {.shared = {0.0}};

	memcpy(point.constants, known->centre, sizeof point.constants);
	return stroke_point_constants(&point);
}

/* Plays the stroke as designed at the middle of what is known. */
static bool play_middle(const struct stroke_scene *scene, const struct plan_knowledge *known,
                        struct shot_record *record, struct observed observed[QUANTITY_COUNT])
{
	static const double nothing[SHARED_UNKNOWNS], even[OWN_UNKNOWNS];
	struct constants constants = middle(known);

	return stroke_scene_play(scene, &constants, nothing, even, CUSHION_TOLERANCE, record,
	                         observed);
}

bool plan_information_check(struct shot_design *design, const struct session *session,
                            const struct plan_knowledge *known)
{
	struct observed observed[QUANTITY_COUNT];
	struct shot_record record;
	struct stroke_scene scene;
	const char *why;

	if (!stroke_scene_make(&scene, design, session, NULL, design->measure, &why) ||
	    !play_middle(&scene, known, &record, observed))
		return false;
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		uint32_t bit = UINT32_C(1) << number;

		if (!(design->measure & bit))
			continue;
		if (!observed[number].happened && quantity_at(number).kind == QUANTITY_SOUND)
			design->measure &= ~bit;
		else if (!observed[number].happened || observed[number].pocketed)
			return false;
	}
	return true;
}

/* Marks the balls whose stop is read, as a place or as a time. */
static void mark_stops(const struct shot_design *design, bool stops[BALL_ROLES])
{
	memset(stops, 0, BALL_ROLES * sizeof *stops);
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);

		if ((design->measure & (UINT32_C(1) << number)) &&
		    (quantity.kind == QUANTITY_REST_LONG || quantity.kind == QUANTITY_REST_SHORT))
			stops[quantity.ball] = true;
	}
	for (int i = 0; i < design->watch_count; i++) {
		struct moment to = design->watch[i].to;

		if (to.kind == MOMENT_REST || to.kind == MOMENT_STILL)
			stops[to.ball] = true;
	}
}

/* No ball whose stop is read fell or met a ball more than once. */
static bool is_undisturbed(const struct shot_record *record, const bool stops[BALL_ROLES])
{
	int contacts[BALL_ROLES] = {0};

	for (size_t k = 0; k < record->event_count; k++) {
		const struct shot_event *event = &record->events[k];

		if (event->kind == EVENT_POCKET && stops[event->ball])
			return false;
		if (event->kind != EVENT_BALLS)
			continue;
		contacts[event->ball]++;
		contacts[event->other]++;
	}
	for (int ball = 0; ball < BALL_ROLES; ball++)
		if (stops[ball] && contacts[ball] > 1)
			return false;
	return true;
}

double plan_information_stable(const struct shot_design *design, const struct session *session,
                               const struct plan_knowledge *known, size_t draws, uint64_t seed)
{
	struct observed observed[QUANTITY_COUNT];
	struct shot_record record;
	struct stroke_scene scene;
	bool stops[BALL_ROLES];
	size_t kept = 0;
	uint64_t order;
	const char *why;

	if (!stroke_scene_make(&scene, design, session, NULL, design->measure, &why) ||
	    !play_middle(&scene, known, &record, observed))
		return 0.0;
	mark_stops(design, stops);
	order = observe_order(&record, &scene.need);
	for (size_t i = 0; i < draws; i++) {
		struct plan_world world;
		struct constants constants;

		plan_world_draw(known, seed, i, &world);
		constants = stroke_point_constants(&world.point[0]);
		kept += stroke_scene_play(&scene, &constants, world.point[0].shared, world.own[0],
		                          STABLE_TOLERANCE, &record, observed) &&
		        observe_order(&record, &scene.need) == order &&
		        is_undisturbed(&record, stops);
	}
	return (double)kept / (double)draws;
}
