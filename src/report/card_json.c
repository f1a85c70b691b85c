/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card_json.h"

#include "files/json_text.h"
#include "report/card_words.h"

#define MILLIMETRES 1000.0

static void write_words(struct json_writer *writer, const char *key, struct text *words)
{
	json_string(writer, key, text_bytes(words));
	writer->out->failed = writer->out->failed || words->failed;
	text_free(words);
}

static void write_balls(struct json_writer *writer, const struct shot_card *card)
{
	json_open_array(writer, "balls", false);
	for (int i = 0; i < BALL_ROLES; i++) {
		struct vector3 at = card->traced.setup.balls[i].position;

		if (!card->traced.setup.present[i])
			continue;
		json_open_object(writer, NULL, true);
		json_string(writer, "ball", ball_role_name((enum ball_role)i));
		json_number(writer, "long", table_long_to_diamonds(card->traced.table, at.y));
		json_number(writer, "short", table_short_to_diamonds(card->traced.table, at.x));
		json_close_object(writer);
	}
	json_close_array(writer);
}

static void write_launch(struct json_writer *writer, const struct shot_card *card)
{
	const struct launch *launch = &card->design->launch;
	double radius = MILLIMETRES * card->traced.setup.bodies[BALL_CUE].radius;

	if (!launch->by_ramp) {
		json_open_object(writer, "hit", true);
		json_number(writer, "height", launch->height);
		json_number(writer, "height_mm", launch->height * radius);
		json_number(writer, "side", launch->side);
		json_number(writer, "side_mm", launch->side * radius);
		json_number(writer, "elevation_deg", launch->elevation_deg);
		json_boolean(writer, "can_hurt", launch->elevation_deg > 0.0);
		json_close_object(writer);
		return;
	}
	json_open_object(writer, "ramp", true);
	json_string(writer, "ramp", launch->ramp);
	json_number(writer, "groove_deg", launch->groove_deg);
	json_number(writer, "drop_mm", MILLIMETRES * card->ramp.drop);
	json_number(writer, "rise", SHOT_CARD_RAMP_RISE);
	json_number(writer, "mark_mm", MILLIMETRES * card->ramp.travel);
	json_number(writer, "low_end_behind_mm", MILLIMETRES * card->ramp.ahead);
	json_number(writer, "rides_above_bed_mm", MILLIMETRES * card->ramp.ride);
	json_number(writer, "spin_ratio", card->ramp.spin_ratio);
	json_close_object(writer);
}

static void write_outline(struct json_writer *writer, const struct shot_card *card,
                          const struct outline *outline)
{
	json_open_array(writer, "outline", true);
	for (size_t i = 0; i < outline->count; i++) {
		json_open_object(writer, NULL, true);
		json_number(writer, "long",
		            table_long_to_diamonds(card->traced.table, outline->corners[i].y));
		json_number(writer, "short",
		            table_short_to_diamonds(card->traced.table, outline->corners[i].x));
		json_close_object(writer);
	}
	json_close_array(writer);
}

static void write_areas(struct json_writer *writer, const struct shot_card *card)
{
	json_open_array(writer, "areas", false);
	for (int i = 0; i < BALL_ROLES; i++) {
		const struct ball_area *area = &card->area.balls[i];

		if (!card->traced.setup.present[i] ||
		    !shot_card_shows_area(card->design, (enum ball_role)i))
			continue;
		json_open_object(writer, NULL, false);
		json_string(writer, "ball", ball_role_name((enum ball_role)i));
		json_count(writer, "rests", area->rests);
		json_count(writer, "in_outline", area->inside);
		json_count(writer, "fallen", area->fallen);
		json_count(writer, "left_table", area->left);
		json_number(writer, "size_long", area->along);
		json_number(writer, "size_short", area->across);
		json_number(writer, "share_of_bed", area->bed_share);
		json_boolean(writer, "drawn", card_words_draws_area(card, (enum ball_role)i));
		write_outline(writer, card, &area->outline);
		json_close_object(writer);
	}
	json_close_array(writer);
	json_open_array(writer, "rail_spans", false);
	for (size_t i = 0; i < card->area.span_count; i++) {
		const struct rail_span *span = &card->area.spans[i];

		json_open_object(writer, NULL, true);
		json_string(writer, "reading", quantity_name(span->quantity));
		json_string(writer, "rail", rail_name(span->rail));
		json_count(writer, "seen", span->seen);
		json_number(writer, "low", span->low);
		json_number(writer, "high", span->high);
		json_close_object(writer);
	}
	json_close_array(writer);
}

static void write_boxes(struct json_writer *writer, const struct shot_card *card)
{
	json_string(writer, "shot", card->design->key);
	json_open_array(writer, "boxes", true);
	for (size_t i = 0; i < card->box_count; i++)
		json_string(writer, NULL, quantity_name(card->boxes[i]));
	json_close_array(writer);
}

static void write_shot(struct json_writer *writer, const struct shot_card *card)
{
	const struct shot_design *design = card->design;
	struct text words = {0};

	json_string(writer, "title", design->title);
	json_string(writer, "how", design->how);
	json_count(writer, "tries", (unsigned long long)design->tries);
	write_balls(writer, card);
	card_words_aim(&design->aim, &words);
	write_words(writer, "aim", &words);
	write_launch(writer, card);
	json_number(writer, "speed_m_s", design->launch.speed);
	json_number(writer, "table_lengths", card->lengths);
	card_words_lengths(card->lengths, &words);
	write_words(writer, "speed_in_words", &words);
	json_count(writer, "plays", card->area.played);
	write_areas(writer, card);
	write_boxes(writer, card);
}

void card_json_print(const struct card_set *set, const char *const *files, size_t file_count,
                     struct text *out)
{
	static const char *const kinds[CARD_LEAF_KINDS] = {[CARD_LEAF_RAMP] = "ramp",
	                                                   [CARD_LEAF_SHOT] = "shot and boxes",
	                                                   [CARD_LEAF_PLAY] = "shot",
	                                                   [CARD_LEAF_BOXES] = "boxes"};
	struct json_writer writer;

	json_start(&writer, out);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "format", "restpoint-card");
	json_count(&writer, "version", 1);
	json_string(&writer, "protocol", set->protocol->name);
	json_string(&writer, "table", set->session->table.preset);
	json_string(&writer, "paper", set->paper == CARD_LETTER ? "letter" : "a4");
	json_string(&writer, "constants", set->constants_words);
	json_count(&writer, "seed", set->seed);
	json_open_array(&writer, "sheets", false);
	for (size_t i = 0; i < set->leaf_count; i++) {
		const struct card_leaf *leaf = &set->leaves[i];

		json_open_object(&writer, NULL, false);
		json_string(&writer, "file", files[file_count == 1 ? 0 : i]);
		json_string(&writer, "about", kinds[leaf->kind]);
		if (leaf->kind == CARD_LEAF_BOXES)
			write_boxes(&writer, leaf->shot);
		else if (leaf->kind == CARD_LEAF_RAMP)
			write_launch(&writer, leaf->shot);
		else
			write_shot(&writer, leaf->shot);
		json_close_object(&writer);
	}
	json_close_array(&writer);
	json_close_object(&writer);
}
