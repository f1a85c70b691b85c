/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/shot_card.h"

#include <math.h>

#include "advise/pace.h"
#include "estimate/stroke_model.h"

#define DEGREE (M_PI / 180.0)
#define TOLERANCE 0.0001 /* of the path, for eyes [m] */

static double time_of_rail(const struct traced_shot *shot, enum ball_role ball, int number)
{
	for (size_t i = 0; i < shot->event_count; i++) {
		const struct trace_event *event = &shot->events[i];

		if (event->kind == TRACE_RAIL && event->ball == ball && event->number == number)
			return event->time;
	}
	return HUGE_VAL;
}

static double time_of_contact(const struct traced_shot *shot, int number)
{
	for (size_t i = 0; i < shot->event_count; i++)
		if (shot->events[i].kind == TRACE_CONTACT && shot->events[i].number == number)
			return shot->events[i].time;
	return HUGE_VAL;
}

static double time_of_moment(const struct traced_shot *shot, struct moment moment)
{
	switch (moment.kind) {
	case MOMENT_STRIKE:
		return 0.0;
	case MOMENT_RAIL:
		return time_of_rail(shot, moment.ball, moment.number);
	case MOMENT_CONTACT:
		return time_of_contact(shot, moment.number);
	case MOMENT_REST:
		return shot->record.ends[moment.ball].rest_time;
	case MOMENT_STILL:
		return shot->record.ends[moment.ball].still_time;
	}
	return HUGE_VAL;
}

/* When a reading can be taken, in the shot as designed [s]. What does not happen there comes behind
 * what does, and sounds at the very end. A watch is pressed before a place is measured. */
static double time_of_reading(const struct traced_shot *shot, int number)
{
	struct quantity quantity = quantity_at(number);

	switch (quantity.kind) {
	case QUANTITY_RAIL:
		return fmin(1e6, time_of_rail(shot, quantity.ball, quantity.number));
	case QUANTITY_WATCH:
		return fmin(1e6,
		            time_of_moment(shot, shot->design->watch[quantity.number - 1].to)) -
		       1e-6;
	case QUANTITY_SOUND:
		return HUGE_VAL;
	default:
		return shot->record.ends[quantity.ball].rest_time;
	}
}

static bool is_asked(const struct shot_design *design, int number)
{
	struct quantity quantity = quantity_at(number);

	if (quantity.kind == QUANTITY_WATCH)
		return quantity.number <= design->watch_count;
	return (design->measure >> number & 1u) != 0;
}

static void order_boxes(struct shot_card *card)
{
	double times[QUANTITY_COUNT];

	for (int number = 0; number < QUANTITY_COUNT; number++) {
		double time;
		size_t i;

		if (!is_asked(card->design, number))
			continue;
		time = time_of_reading(&card->traced, number);
		for (i = card->box_count++; i > 0 && times[i - 1] > time; i--) {
			times[i] = times[i - 1];
			card->boxes[i] = card->boxes[i - 1];
		}
		times[i] = time;
		card->boxes[i] = number;
	}
}

bool shot_card_shows_area(const struct shot_design *design, enum ball_role ball)
{
	unsigned read = 0;

	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);

		if ((quantity.kind == QUANTITY_REST_LONG || quantity.kind == QUANTITY_REST_SHORT) &&
		    (design->measure >> number & 1u) != 0)
			read |= 1u << quantity.ball;
	}
	for (int i = 0; i < design->watch_count; i++) {
		enum moment_kind kind = design->watch[i].to.kind;

		if (kind == MOMENT_REST || kind == MOMENT_STILL)
			read |= 1u << design->watch[i].to.ball;
	}
	if (read == 0)
		read = 1u << BALL_CUE;
	return (read >> ball & 1u) != 0;
}

enum status shot_card_make(const struct shot_design *design, const struct session *session,
                           const struct constant_draws *constants, uint64_t seed, uint64_t stream,
                           unsigned threads, struct shot_card *card, const char **why)
{
	struct stroke_scene scene;
	enum status status;
	double radius;

	*card = (struct shot_card){.design = design};
	if (!stroke_scene_make(&scene, design, session, NULL, 0, why))
		return STATUS_INPUT;
	status = traced_shot_play(design, &scene.setup, &session->table, &constants->middle,
	                          scene.end_mass_ratio, TOLERANCE, &card->traced);
	*why = "the balls do not come to rest";
	if (status == STATUS_OK)
		status = stop_area_make(design, session, constants, seed, stream, threads,
		                        &card->area, why);
	if (status != STATUS_OK)
		return status;
	radius = scene.setup.bodies[BALL_CUE].radius;
	card->lengths = pace_lengths(&session->table, &constants->middle,
	                             &scene.setup.bodies[BALL_CUE], design->launch.speed);
	if (design->launch.by_ramp)
		ramp_layout_make(design->launch.speed, design->launch.groove_deg * DEGREE, radius,
		                 atan(SHOT_CARD_RAMP_RISE), &card->ramp);
	order_boxes(card);
	return STATUS_OK;
}

void shot_card_free(struct shot_card *card)
{
	traced_shot_free(&card->traced);
	stop_area_free(&card->area);
}
