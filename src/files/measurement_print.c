/* SPDX-License-Identifier: GPL-3.0-or-later */

/* A measurement as text: formats.md 3. */
#include <string.h>

#include "files/measurement_file.h"
#include "files/plain_number.h"
#include "files/setting_print.h"

/* Default labels, which a blank cell stands for. */
static const char *const default_labels[BALL_ROLES] = {"A", "O", "O"};

/* Which columns a measurement needs. */
struct columns {
	bool tries, at, player, labels[BALL_ROLES], valid, note;
	bool quantities[QUANTITY_COUNT];
};

/* The player's cell: blank where it is who the settings name. */
static const char *player_cell(const struct measurement *measurement, const struct stroke_row *row)
{
	const char *usual = measurement->session.notes[NOTE_PLAYER];
	if (row->player == NULL || (usual != NULL && strcmp(row->player, usual) == 0))
		return "";
	return row->player;
}

static const char *label_cell(const struct stroke_row *row, size_t ball)
{
	const char *label = row->ball[ball];
	return label == NULL || strcmp(label, default_labels[ball]) == 0 ? "" : label;
}

static struct columns columns_in_use(const struct measurement *measurement)
{
	struct columns use = {0};
	for (size_t i = 0; i < measurement->row_count; i++) {
		const struct stroke_row *row = &measurement->rows[i];
		use.tries = use.tries || row->try_number > 0;
		use.at = use.at || row->at != NULL;
		use.player = use.player || player_cell(measurement, row)[0] != '\0';
		use.valid = use.valid || !row->valid;
		use.note = use.note || row->note != NULL;
		for (size_t ball = 0; ball < BALL_ROLES; ball++)
			use.labels[ball] = use.labels[ball] || label_cell(row, ball)[0] != '\0';
		for (size_t k = 0; k < QUANTITY_COUNT; k++)
			use.quantities[k] =
			    use.quantities[k] || row->readings[k].kind != READING_MISSING;
	}
	return use;
}

static void print_header(const struct columns *use, struct text *out)
{
	text_add(out, "shot");
	if (use->tries)
		text_add(out, ",try");
	if (use->at)
		text_add(out, ",at");
	if (use->player)
		text_add(out, ",player");
	for (size_t ball = 0; ball < BALL_ROLES; ball++)
		if (use->labels[ball])
			text_print(out, ",%s_ball", ball_role_name((enum ball_role)ball));
	for (int i = 0; i < QUANTITY_COUNT; i++)
		if (use->quantities[i])
			text_print(out, ",%s", quantity_name(i));
	if (use->valid)
		text_add(out, ",valid");
	if (use->note)
		text_add(out, ",note");
	text_add(out, "\n");
}

static bool is_time(struct quantity quantity)
{
	return quantity.kind == QUANTITY_WATCH || quantity.kind == QUANTITY_SOUND;
}

static void print_reading(const struct session *session, struct quantity quantity,
                          const struct reading *reading, int decimals_position, int decimals_time,
                          struct text *out)
{
	double frames = session->errors.frames_per_second;
	if (reading->kind == READING_MISSING)
		return;
	if (reading->kind == READING_POCKET) {
		text_add(out, "pocket");
	} else if (is_time(quantity)) {
		plain_number_print(out, reading->value, frames > 0 ? frames : 1, decimals_time);
	} else if (reading->frozen) {
		text_print(out, "f %s", rail_name(reading->rail));
	} else {
		if (reading->rail_named)
			text_print(out, "%s ", rail_name(reading->rail));
		plain_number_print(out, reading->value, session->diamond_value, decimals_position);
	}
}

static void print_row(const struct measurement *measurement, const struct columns *use,
                      const struct stroke_row *row, int decimals_position, int decimals_time,
                      struct text *out)
{
	setting_print_cell(out, row->shot);
	if (use->tries) {
		text_add(out, ",");
		if (row->try_number > 0)
			text_print(out, "%d", row->try_number);
	}
	if (use->at)
		setting_print_next_cell(out, row->at);
	if (use->player)
		setting_print_next_cell(out, player_cell(measurement, row));
	for (size_t ball = 0; ball < BALL_ROLES; ball++)
		if (use->labels[ball])
			setting_print_next_cell(out, label_cell(row, ball));
	for (int i = 0; i < QUANTITY_COUNT; i++) {
		if (!use->quantities[i])
			continue;
		text_add(out, ",");
		print_reading(&measurement->session, quantity_at(i), &row->readings[i],
		              decimals_position, decimals_time, out);
	}
	if (use->valid)
		setting_print_next_cell(out, row->valid ? NULL : "no");
	if (use->note)
		setting_print_next_cell(out, row->note);
	text_add(out, "\n");
}

void measurement_file_print(const struct measurement *measurement, int decimals_position,
                            int decimals_time, struct text *out)
{
	struct columns use = columns_in_use(measurement);
	setting_print_all(out, &measurement->session);
	print_header(&use, out);
	for (size_t i = 0; i < measurement->row_count; i++)
		print_row(measurement, &use, &measurement->rows[i], decimals_position,
		          decimals_time, out);
}
