/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/remarks.h"

#include <string.h>

#include "model/quantity.h"

static size_t count_readings(const struct stroke_row *row)
{
	size_t count = 0;

	for (int q = 0; q < QUANTITY_COUNT; q++)
		count += row->readings[q].kind != READING_MISSING;
	return count;
}

/* Readings of one kind over all strokes that count. */
static size_t count_kind(const struct measurement *measurement, enum quantity_kind kind)
{
	size_t count = 0;

	for (size_t i = 0; i < measurement->row_count; i++) {
		const struct stroke_row *row = &measurement->rows[i];

		for (int q = 0; q < QUANTITY_COUNT && row->valid; q++)
			count += quantity_at(q).kind == kind && row->readings[q].kind != READING_MISSING;
	}
	return count;
}

static int count_strokes(const struct measurement *measurement, const char *key)
{
	int count = 0;

	for (size_t i = 0; i < measurement->row_count; i++)
		count += measurement->rows[i].valid && strcmp(measurement->rows[i].shot, key) == 0;
	return count;
}

static void shots_played(struct remarks *remarks, const struct measurement *measurement,
                         const struct protocol *protocol)
{
	for (size_t i = 0; i < protocol->shot_count; i++) {
		const struct shot_design *shot = &protocol->shots[i];
		int strokes = count_strokes(measurement, shot->key);

		if (strokes == 0)
			remarks_add(remarks, "Shot %s of the protocol has no stroke that counts.", shot->key);
		else if (strokes < shot->tries)
			remarks_add(remarks, "Shot %s has %d of its %d tries.", shot->key, strokes,
			            shot->tries);
	}
}

static bool any_played(const struct measurement *measurement, const struct protocol *protocol,
                       bool (*test)(const struct shot_design *shot))
{
	for (size_t i = 0; i < protocol->shot_count; i++) {
		if (test(&protocol->shots[i]) && count_strokes(measurement, protocol->shots[i].key) > 0)
			return true;
	}
	return false;
}

static bool by_ramp(const struct shot_design *shot)
{
	return shot->launch.by_ramp;
}

static bool with_side(const struct shot_design *shot)
{
	return !shot->launch.by_ramp && shot->launch.side != 0;
}

static void instruments(struct remarks *remarks, const struct measurement *measurement,
                        const struct protocol *protocol)
{
	const struct session *session = &measurement->session;
	size_t sounds = count_kind(measurement, QUANTITY_SOUND);

	if (sounds + count_kind(measurement, QUANTITY_WATCH) == 0 &&
	    !any_played(measurement, protocol, by_ramp))
		remarks_add(remarks, "Nothing was timed: without a single time the three frictions of the "
		                     "cloth cannot be known, only their ratios. Time one shot.");
	if (sounds > 0 && !session->microphone_known)
		remarks_add(remarks, "Sounds were timed but not where the phone lay: a delay of up to "
		                     "0.008 s is added as an error. Give #microphone_long and "
		                     "#microphone_short.");
	if (session->cue_end_mass_ratio == 0 && any_played(measurement, protocol, with_side))
		remarks_add(remarks, "Shots with side were played and #cue_end_mass_ratio is not given: "
		                     "the cue is taken to send the ball along its own line. Make sure "
		                     "that spread_deg of these shots is wide enough.");
}

/* Tries of one shot that name different rails for the same contact. */
static void rails_differ(struct remarks *remarks, const struct measurement *measurement, size_t i)
{
	const struct stroke_row *row = &measurement->rows[i];

	for (int q = 0; q < QUANTITY_COUNT; q++) {
		size_t j = 0;

		if (quantity_at(q).kind != QUANTITY_RAIL || !row->readings[q].rail_named)
			continue;
		while (j < i && (!measurement->rows[j].valid ||
		                 strcmp(measurement->rows[j].shot, row->shot) != 0 ||
		                 !measurement->rows[j].readings[q].rail_named))
			j++;
		if (j < i && measurement->rows[j].readings[q].rail != row->readings[q].rail)
			remarks_add(remarks,
			            "Lines %zu and %zu, shot %s: %s is on the %s rail in one and on the %s "
			            "rail in the other. Look whether one is a slip.",
			            measurement->rows[j].line, row->line, row->shot, quantity_name(q),
			            rail_name(measurement->rows[j].readings[q].rail),
			            rail_name(row->readings[q].rail));
	}
}

static bool same_readings(const struct stroke_row *a, const struct stroke_row *b)
{
	for (int q = 0; q < QUANTITY_COUNT; q++) {
		if (a->readings[q].kind != b->readings[q].kind)
			return false;
		if (a->readings[q].kind == READING_VALUE && a->readings[q].value != b->readings[q].value)
			return false;
	}
	return strcmp(a->shot, b->shot) == 0;
}

/* Two strokes hardly ever agree in three readings to the last digit: a row was copied. */
static void row_repeated(struct remarks *remarks, const struct measurement *measurement, size_t i)
{
	const struct stroke_row *row = &measurement->rows[i];

	if (count_readings(row) < 3)
		return;
	for (size_t j = 0; j < i; j++) {
		if (measurement->rows[j].valid && same_readings(&measurement->rows[j], row)) {
			remarks_add(remarks,
			            "Lines %zu and %zu, shot %s, hold the same readings. Look whether a row "
			            "was copied.",
			            measurement->rows[j].line, row->line, row->shot);
			return;
		}
	}
}

static void rows(struct remarks *remarks, const struct measurement *measurement)
{
	for (size_t i = 0; i < measurement->row_count; i++) {
		const struct stroke_row *row = &measurement->rows[i];

		if (!row->valid)
			continue;
		if (count_readings(row) == 0)
			remarks_add(remarks, "Line %zu, shot %s, holds no reading.", row->line, row->shot);
		rails_differ(remarks, measurement, i);
		row_repeated(remarks, measurement, i);
	}
}

/* Counts the different labels of the cue balls and of the object balls. */
static size_t labels_of(const struct measurement *measurement, enum ball_role role)
{
	size_t count = 0;

	for (size_t i = 0; i < measurement->row_count; i++) {
		const char *label = measurement->rows[i].ball[role];
		size_t j = 0;

		while (j < i && strcmp(measurement->rows[j].ball[role], label) != 0)
			j++;
		count += j == i;
	}
	return count;
}

void remarks_measurement(struct remarks *remarks, const struct measurement *measurement,
                         const struct protocol *protocol)
{
	remarks_table(remarks, &measurement->session.table);
	remarks_nap(remarks, &measurement->session.table);
	shots_played(remarks, measurement, protocol);
	instruments(remarks, measurement, protocol);
	rows(remarks, measurement);
	if (labels_of(measurement, BALL_CUE) > 1)
		remarks_add(remarks, "Several cue balls were used: their grips are held at 1, so the balls "
		                     "are taken as alike.");
}
