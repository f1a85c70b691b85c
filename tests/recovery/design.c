/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "design.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "physics/cushion.h"

static double clip(double value, double low, double high)
{
	return fmin(high, fmax(low, value));
}

void design_draw_constants(struct random_stream *stream, struct constants *constants)
{
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		double normal = random_normal(stream);

		if (i == CUSHION_RESTITUTION)
			constants->value[i] = clip(0.93 + 0.025 * normal, 0.85, 0.99);
		else if (i == BALL_RESTITUTION)
			constants->value[i] = clip(0.95 + 0.012 * normal, 0.92, 0.985);
		else
			constants->value[i] =
			    constant_prior((enum constant_id)i)->centre * exp(0.25 * normal);
	}
}

void design_draw_stroke(struct random_stream *stream, double shared[SHARED_UNKNOWNS],
                        double own[OWN_UNKNOWNS])
{
	memset(shared, 0, SHARED_UNKNOWNS * sizeof *shared);
	for (int i = 0; i < SHARED_HABITS; i++)
		shared[i] = random_normal(stream);
	for (int i = 0; i < OWN_UNKNOWNS; i++)
		own[i] = random_normal(stream);
}

/* Marks the balls whose stop is read, as a place or as a time. */
static bool balls_at_rest(const struct shot_design *design, bool concerned[BALL_ROLES])
{
	bool any = false;

	memset(concerned, 0, BALL_ROLES * sizeof *concerned);
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);

		if (!(design->measure & (UINT32_C(1) << number)))
			continue;
		if (quantity.kind == QUANTITY_REST_LONG || quantity.kind == QUANTITY_REST_SHORT)
			concerned[quantity.ball] = any = true;
		if (quantity.kind != QUANTITY_WATCH || quantity.number > design->watch_count)
			continue;
		for (int end = 0; end < 2; end++) {
			const struct watch_interval *watch = &design->watch[quantity.number - 1];
			struct moment moment = end == 0 ? watch->from : watch->to;

			if (moment.kind == MOMENT_REST || moment.kind == MOMENT_STILL)
				concerned[moment.ball] = any = true;
		}
	}
	return any;
}

/* No ball whose stop is read fell or met a ball more than once. */
static bool undisturbed(const struct shot_record *record, const bool concerned[BALL_ROLES])
{
	int contacts[BALL_ROLES] = {0};

	for (size_t k = 0; k < record->event_count; k++) {
		const struct shot_event *event = &record->events[k];

		if (event->kind == EVENT_POCKET && concerned[event->ball])
			return false;
		if (event->kind != EVENT_BALLS)
			continue;
		contacts[event->ball]++;
		contacts[event->other]++;
	}
	for (int ball = 0; ball < BALL_ROLES; ball++)
		if (concerned[ball] && contacts[ball] > 1)
			return false;
	return true;
}

/* Plays the stroke as designed; false with the reason when it does not give its readings. */
static bool play_as_designed(const struct stroke_scene *scene, struct shot_record *record,
                             struct design_shot *out)
{
	static const double nothing[SHARED_UNKNOWNS], even[OWN_UNKNOWNS];
	struct constants centre = constants_centre();
	struct observed observed[QUANTITY_COUNT];

	out->why = "cannot be played to its end";
	if (!stroke_scene_play(scene, &centre, nothing, even, CUSHION_TOLERANCE, record, observed))
		return false;
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		if (!(scene->mask & (UINT32_C(1) << number)))
			continue;
		out->quantity = quantity_name(number);
		out->why = "does not happen in the stroke as designed";
		if (!observed[number].happened)
			return false;
		out->why = "ends in a pocket in the stroke as designed";
		if (observed[number].pocketed)
			return false;
	}
	out->quantity = NULL;
	out->why = NULL;
	return true;
}

static void draw_once(const struct stroke_scene *scene, uint64_t order,
                      const bool concerned[BALL_ROLES], struct random_stream *stream,
                      struct design_shot *out)
{
	double shared[SHARED_UNKNOWNS], own[OWN_UNKNOWNS];
	struct observed observed[QUANTITY_COUNT];
	struct shot_record record;
	struct constants constants = {.terms = {0.0}};

	design_draw_constants(stream, &constants);
	design_draw_stroke(stream, shared, own);
	out->draws++;
	if (!stroke_scene_play(scene, &constants, shared, own, CUSHION_TOLERANCE, &record,
	                       observed))
		return;
	out->ordered += observe_order(&record, &scene->need) == order;
	out->undisturbed += undisturbed(&record, concerned);
}

void design_shot_check(const struct shot_design *design, const struct session *session,
                       size_t draws, uint64_t seed, struct design_shot *out)
{
	struct random_stream stream = random_start(seed, 1);
	bool concerned[BALL_ROLES];
	struct shot_record record;
	struct stroke_scene scene;
	uint64_t order;

	*out = (struct design_shot){.rests = balls_at_rest(design, concerned)};
	if (!stroke_scene_make(&scene, design, session, NULL, design->measure, &out->why) ||
	    !play_as_designed(&scene, &record, out))
		return;
	out->playable = true;
	order = observe_order(&record, &scene.need);
	for (size_t i = 0; i < draws; i++)
		draw_once(&scene, order, concerned, &stream, out);
	out->kept = (double)out->ordered / (double)draws;
	out->clear = (double)out->undisturbed / (double)draws;
}

size_t design_strokes(const struct protocol *protocol)
{
	size_t count = 0;

	for (size_t i = 0; i < protocol->shot_count; i++)
		count += (size_t)protocol->shots[i].tries;
	return count;
}
