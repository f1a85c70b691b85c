/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The cells of a measurement file that hold readings (formats.md 3). */
#include <string.h>

#include "files/measurement_read.h"

/* Longest interval and latest sound that are believed [s]. */
#define WATCH_HIGHEST 600.0
#define SOUND_HIGHEST 120.0

/* How far a sound may lie before the one in front of it, in reading errors: noise, no mistake. */
#define SOUND_ORDER_ERRORS 6.0

/* One cell being read. */
struct reading_cell {
	const struct csv_cell *cell;
	size_t column;
	const char *name;
	struct quantity quantity;
	const struct shot_design *shot;
	struct reading *reading;
};

static void refuse(struct measurement_reader *reader, const struct reading_cell *at,
                   const char *accepted, const char *next)
{
	measurement_refuse(reader, at->cell->line, at->column, at->name, at->cell, accepted, next);
}

/* Whether the shot can give this quantity; adds a fault when it cannot. */
static bool check_shot(struct measurement_reader *reader, const struct reading_cell *at)
{
	const struct shot_design *shot = at->shot;
	struct quantity quantity = at->quantity;
	if (shot == NULL)
		return true;
	if (quantity.kind == QUANTITY_WATCH && quantity.number > shot->watch_count)
		refuse(reader, at,
		       arena_format(reader->scratch, "blank: the shot's \"watch\" has %s",
		                    shot->watch_count == 0 ? "no interval" : "one interval only"),
		       "clear the cell or add the interval to the protocol");
	else if (quantity.kind == QUANTITY_SOUND && quantity.number == 1 && shot->launch.by_ramp)
		refuse(reader, at,
		       "blank: a ramp is silent, its first sound is the start of the count",
		       "clear the cell and count the times of the others from that sound");
	else if (quantity.kind != QUANTITY_WATCH && quantity.kind != QUANTITY_SOUND &&
	         !shot->place[quantity.ball].present)
		refuse(reader, at,
		       arena_format(reader->scratch, "blank: the shot places no %s ball",
		                    ball_role_name(quantity.ball)),
		       "clear the cell or check the shot's key");
	else
		return true;
	return false;
}

static void read_position(struct measurement_reader *reader, const struct reading_cell *at,
                          double radius)
{
	static const enum notation_use uses[] = {[QUANTITY_REST_LONG] = NOTATION_REST_LONG,
	                                         [QUANTITY_REST_SHORT] = NOTATION_REST_SHORT,
	                                         [QUANTITY_RAIL] = NOTATION_RAIL};
	const struct table *table = &reader->session->table;
	struct notation notation;
	struct notation_refusal refusal = {0};
	if (!notation_read(at->cell->text, at->cell->length, uses[at->quantity.kind],
	                   &reader->style, table, radius, RAIL_COUNT, &notation, &refusal)) {
		measurement_refuse_notation(reader, at->cell->line, at->column, at->name, at->cell,
		                            NULL, &refusal);
		return;
	}
	if (notation.kind == NOTATION_POCKET && reader->table_known && !table->pockets) {
		refuse(reader, at, "a position: this table has no pockets",
		       "write where the ball stopped, or set #pockets to yes");
		return;
	}
	at->reading->kind = notation.kind == NOTATION_POCKET ? READING_POCKET : READING_VALUE;
	at->reading->value = notation.value;
	at->reading->frozen = notation.kind == NOTATION_FROZEN;
	at->reading->rail_named = notation.rail_named && at->quantity.kind == QUANTITY_RAIL;
	if (notation.rail_named)
		at->reading->rail = notation.rail;
}

/* What a time may be, in the unit of the file. */
static const char *time_accepted(const struct measurement_reader *reader, bool watch)
{
	double frames = reader->session->errors.frames_per_second;
	double highest = watch ? WATCH_HIGHEST : SOUND_HIGHEST;
	if (frames > 0)
		return arena_format(reader->scratch, "a count of frames %s %.15g (%g s)",
		                    watch ? "above 0, at most" : "from 0 to", highest * frames,
		                    highest);
	return arena_format(reader->scratch, "seconds %s %g",
	                    watch ? "above 0, at most" : "from 0 to", highest);
}

static void read_time(struct measurement_reader *reader, const struct reading_cell *at)
{
	double frames = reader->session->errors.frames_per_second, value;
	bool missing, watch = at->quantity.kind == QUANTITY_WATCH;
	struct notation_refusal refusal = {0};
	if (!notation_read_number(at->cell->text, at->cell->length, &reader->style, &value,
	                          &missing, &refusal)) {
		measurement_refuse_notation(reader, at->cell->line, at->column, at->name, at->cell,
		                            time_accepted(reader, watch), &refusal);
		return;
	}
	if (frames > 0)
		value /= frames;
	if (value > (watch ? WATCH_HIGHEST : SOUND_HIGHEST) || (watch && value <= 0)) {
		refuse(reader, at, time_accepted(reader, watch),
		       "correct the time or clear the cell");
		return;
	}
	at->reading->kind = READING_VALUE;
	at->reading->value = value;
}

void measurement_read_quantity(struct measurement_reader *reader, const struct csv_cell *cell,
                               size_t column, int quantity, const struct shot_design *shot,
                               struct stroke_row *row)
{
	struct reading_cell at = {.cell = cell,
	                          .column = column,
	                          .name = quantity_name(quantity),
	                          .quantity = quantity_at(quantity),
	                          .shot = shot,
	                          .reading = &row->readings[quantity]};
	row->columns[quantity] = column;
	if (measurement_cell_is_blank(cell) || !check_shot(reader, &at))
		return;
	if (at.quantity.kind == QUANTITY_WATCH || at.quantity.kind == QUANTITY_SOUND) {
		read_time(reader, &at);
		return;
	}
	double diameter, mass;
	enum ball_role ball = at.quantity.ball;
	session_placed_ball(reader->session, shot != NULL ? &shot->place[ball] : NULL, ball,
	                    row->ball[ball], &diameter, &mass);
	read_position(reader, &at, diameter / 2);
}

/* A ball that fell has no place where it stopped. */
static void check_pocket(struct measurement_reader *reader, const struct stroke_row *row,
                         enum ball_role ball)
{
	int along = quantity_number((struct quantity){QUANTITY_REST_LONG, ball, 0});
	int across = quantity_number((struct quantity){QUANTITY_REST_SHORT, ball, 0});
	bool first = row->readings[along].kind == READING_POCKET;
	bool second = row->readings[across].kind == READING_POCKET;
	int other = first ? across : along;
	if (first == second || row->readings[other].kind == READING_MISSING)
		return;
	measurement_refuse_found(reader, row->line, row->columns[other], quantity_name(other),
	                         "a position of a ball that fell",
	                         "pocket in both rest cells, or a position in both",
	                         "write pocket in both cells, or where the ball stopped");
}

static void check_sounds(struct measurement_reader *reader, const struct stroke_row *row)
{
	const struct reading_errors *errors = &reader->session->errors;
	double error =
	    errors->frames_per_second > 0 ? FRAME_ERROR / errors->frames_per_second : errors->sound;
	int earlier = -1;
	for (int i = 1; i <= SOUND_READINGS; i++) {
		int sound = quantity_number((struct quantity){QUANTITY_SOUND, BALL_CUE, i});
		if (row->readings[sound].kind != READING_VALUE)
			continue;
		if (earlier >= 0 && row->readings[sound].value <
		                        row->readings[earlier].value - SOUND_ORDER_ERRORS * error)
			measurement_refuse_found(
			    reader, row->line, row->columns[sound], quantity_name(sound),
			    arena_format(reader->scratch, "a time before %s",
			                 quantity_name(earlier)),
			    "sounds in the order heard, each counted from the strike",
			    "correct the times or put them in order");
		earlier = sound;
	}
}

void measurement_check_row(struct measurement_reader *reader, const struct stroke_row *row)
{
	for (int ball = 0; ball < BALL_ROLES; ball++)
		check_pocket(reader, row, (enum ball_role)ball);
	check_sounds(reader, row);
}
