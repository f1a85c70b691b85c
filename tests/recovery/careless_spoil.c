/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "careless_spoil.h"

#include <string.h>

#include "estimate/stroke_model.h"
#include "physics/cushion.h"

#define WILDER 4.0 /* times the scatter of a careful stroke */
#define TRIES 40   /* to find a way that the row allows */

const char *careless_kind_name(enum careless_kind kind)
{
	static const char *const names[CARELESS_KINDS] = {
	    "good", "four times the scatter", "a diamond off", "wrong rail", "long and short swapped",
	    "ten times or a tenth", "a contact not heard"};

	return names[kind];
}

/* What is spoiled, and with what it was made. */
struct spoiling {
	const struct shot_design *design;
	const struct session *session;
	const struct constants *constants;
	const struct simulated_truth *truth;
	struct random_stream *stream;
	struct stroke_row *row;
};

static size_t choose(struct random_stream *stream, size_t count)
{
	return (size_t)(random_uniform(stream) * (double)count) % count;
}

static bool is_time(struct quantity quantity)
{
	return quantity.kind == QUANTITY_WATCH || quantity.kind == QUANTITY_SOUND;
}

/* The largest value that a file may hold there. */
static double highest(const struct stroke_row *row, int number)
{
	struct quantity quantity = quantity_at(number);

	if (is_time(quantity))
		return 60.0;
	if (quantity.kind == QUANTITY_REST_SHORT)
		return TABLE_DIAMONDS_SHORT;
	return quantity.kind == QUANTITY_RAIL && !rail_is_long(row->readings[number].rail)
	           ? TABLE_DIAMONDS_SHORT
	           : TABLE_DIAMONDS_LONG;
}

/* One of the readings of the row; -1 when the one that chance took holds none. */
static int choose_reading(const struct spoiling *spoiling)
{
	int number = (int)choose(spoiling->stream, QUANTITY_COUNT);

	return spoiling->row->readings[number].kind == READING_VALUE ? number : -1;
}

static bool set_value(struct stroke_row *row, int number, double value)
{
	if (!(value >= 0.0 && value <= highest(row, number)))
		return false;
	row->readings[number].value = value;
	return true;
}

static bool play(const struct spoiling *spoiling, double wilder, uint32_t mask,
                 struct observed observed[QUANTITY_COUNT])
{
	double own[OWN_UNKNOWNS];
	struct shot_record record;
	struct stroke_scene scene;
	const char *why;

	memcpy(own, spoiling->truth->own, sizeof own);
	for (int i = 0; i < OWN_STROKE; i++)
		own[i] *= wilder;
	return stroke_scene_make(&scene, spoiling->design, spoiling->session, spoiling->row->ball,
	                         mask, &why) &&
	       stroke_scene_play(&scene, spoiling->constants, spoiling->truth->shared, own,
	                         CUSHION_TOLERANCE, &record, observed);
}

/* Plays the stroke again with more scatter; the errors of reading stay. */
static bool spoil_wild(const struct spoiling *spoiling)
{
	struct observed careful[QUANTITY_COUNT], wild[QUANTITY_COUNT];
	struct stroke_row row = *spoiling->row;
	uint32_t mask = 0;

	for (int number = 0; number < QUANTITY_COUNT; number++)
		if (row.readings[number].kind == READING_VALUE)
			mask |= UINT32_C(1) << number;
	if (!play(spoiling, 1.0, mask, careful) || !play(spoiling, WILDER, mask, wild))
		return false;
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct reading *reading = &row.readings[number];

		if (reading->kind != READING_VALUE)
			continue;
		if (!wild[number].happened || wild[number].pocketed) {
			reading->kind = wild[number].pocketed ? READING_POCKET : READING_MISSING;
			continue;
		}
		reading->rail = wild[number].rail;
		if (!set_value(&row, number,
		               reading->value + wild[number].value - careful[number].value))
			return false;
	}
	*spoiling->row = row;
	return true;
}

static bool spoil_diamond(const struct spoiling *spoiling)
{
	int number = choose_reading(spoiling);

	return number >= 0 && !is_time(quantity_at(number)) &&
	       set_value(spoiling->row, number,
	                 spoiling->row->readings[number].value +
	                     (random_uniform(spoiling->stream) < 0.5 ? -1.0 : 1.0));
}

static bool spoil_rail(const struct spoiling *spoiling)
{
	int number = choose_reading(spoiling);
	struct stroke_row row = *spoiling->row;

	if (number < 0 || quantity_at(number).kind != QUANTITY_RAIL)
		return false;
	row.readings[number].rail =
	    (enum rail)(((size_t)row.readings[number].rail + 1 + choose(spoiling->stream, 3)) %
	                RAIL_COUNT);
	if (!set_value(&row, number, row.readings[number].value))
		return false;
	*spoiling->row = row;
	return true;
}

static bool spoil_swapped(const struct spoiling *spoiling)
{
	int number = choose_reading(spoiling);
	struct reading *cells = spoiling->row->readings;
	double value;

	if (number < 0 || quantity_at(number).kind != QUANTITY_REST_LONG ||
	    cells[number + 1].kind != READING_VALUE)
		return false;
	value = cells[number].value;
	if (value > TABLE_DIAMONDS_SHORT)
		return false;
	cells[number].value = cells[number + 1].value;
	cells[number + 1].value = value;
	return true;
}

static bool spoil_ten(const struct spoiling *spoiling)
{
	int number = choose_reading(spoiling);

	return number >= 0 &&
	       (set_value(spoiling->row, number, 10.0 * spoiling->row->readings[number].value) ||
	        set_value(spoiling->row, number, 0.1 * spoiling->row->readings[number].value));
}

/* The chosen sound and the later ones hold those of the next contact. */
static bool spoil_unheard(const struct spoiling *spoiling)
{
	const int last = QUANTITY_COUNT - 1;
	int number = choose_reading(spoiling);
	struct observed heard[QUANTITY_COUNT];

	if (number < 0 || number == last || quantity_at(number).kind != QUANTITY_SOUND ||
	    !play(spoiling, 1.0, UINT32_C(255) << (QUANTITY_COUNT - SOUND_READINGS), heard))
		return false;
	for (int k = number; k < last; k++) {
		struct reading *cell = &spoiling->row->readings[k];

		if (cell->kind != READING_VALUE)
			continue;
		cell->kind = heard[k + 1].happened ? READING_VALUE : READING_MISSING;
		cell->value = heard[k + 1].value +
		              spoiling->session->errors.sound * random_normal(spoiling->stream);
	}
	return true;
}

enum careless_kind careless_spoil(const struct shot_design *design, const struct session *session,
                                  const struct constants *constants,
                                  const struct simulated_truth *truth,
                                  struct random_stream *stream, struct stroke_row *row)
{
	static bool (*const ways[CARELESS_KINDS])(const struct spoiling *) = {
	    NULL,          spoil_wild, spoil_diamond, spoil_rail,
	    spoil_swapped, spoil_ten,  spoil_unheard};
	struct spoiling spoiling = {design, session, constants, truth, stream, row};
	size_t allowed = CARELESS_KINDS - 1;

	/* First the way, then the reading: the ways are alike where the row allows them. */
	for (int round = 0; round < TRIES; round++) {
		enum careless_kind kind = (enum careless_kind)(1 + choose(stream, allowed));

		for (int i = 0; i < TRIES; i++)
			if (ways[kind](&spoiling))
				return kind;
	}
	return CARELESS_NOT;
}
