/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card_column.h"

#include "base/text.h"
#include "report/card_hit.h"
#include "report/card_words.h"
#include "report/drawing.h"
#include "report/format_value.h"
#include "report/protocol_words.h"

#define MILLIMETRES 1000.0
#define SECTION_GAP 2.2
#define DANGER_PAD 1.5

/* Where the pen is. */
struct column {
	const struct card_sheet *sheet;
	const struct shot_card *card;
	double left, width, y, body;
	int section;
};

/* Sets a paragraph and empties its words. */
static void say(struct column *column, double size, bool bold, struct text *words)
{
	column->y = card_paragraph(column->sheet, column->left, column->y, column->width, size,
	                           bold, text_bytes(words));
	text_free(words);
}

static void begin(struct column *column, const char *title)
{
	struct text words = {0};

	if (column->section > 0)
		column->y += SECTION_GAP;
	text_print(&words, "%d  %s", ++column->section, title);
	say(column, CARD_KEY, true, &words);
}

static void say_places(struct column *column)
{
	struct text words = {0};

	begin(column, "Place");
	for (int i = 0; i < BALL_ROLES; i++) {
		if (!column->card->design->place[i].present)
			continue;
		text_print(&words, "%s: ", protocol_words_ball((enum ball_role)i));
		card_words_place(column->card, (enum ball_role)i, &words);
		say(column, column->body, true, &words);
		card_words_place_millimetres(column->card, (enum ball_role)i, &words);
		say(column, CARD_SMALL, false, &words);
	}
}

static void say_aim(struct column *column)
{
	struct text words = {0};

	begin(column, "Aim");
	card_words_aim(&column->card->design->aim, &words);
	say(column, column->body, false, &words);
}

/* In a box, so that nobody overlooks it. */
static void warn(struct column *column)
{
	double top = column->y + 1.0;
	struct column inner = *column;
	struct text words = {0};

	text_add(&words,
	         "This shot can hurt. The raised cue can tear or mark the cloth, and the ball may "
	         "jump off the table: only with the owner's leave, a piece of spare cloth under "
	         "the ball, nobody in front, and eyes away from the line of the shot.");
	inner.left += DANGER_PAD;
	inner.width -= 2.0 * DANGER_PAD;
	inner.y = top + 0.3;
	say(&inner, CARD_SMALL, true, &words);
	card_box(column->sheet, column->left, top, column->left + column->width,
	         inner.y + DANGER_PAD, (struct canvas_pen){DRAWING_HEAVY, CANVAS_SOLID});
	column->y = inner.y + DANGER_PAD;
}

static void say_hit(struct column *column)
{
	const struct launch *launch = &column->card->design->launch;
	double radius = column->card->traced.setup.bodies[BALL_CUE].radius;
	struct text words = {0};
	char number[NUMBER_SIZE];

	begin(column, "Hit");
	text_add(&words, "Tip ");
	card_words_height(launch->height, radius, &words);
	text_add(&words, ", ");
	card_words_side(launch->side, radius, &words);
	if (launch->elevation_deg != 0.0) {
		format_plain(launch->elevation_deg, number);
		text_print(&words, "; butt raised %s degrees, the offsets square to the cue",
		           number);
	}
	text_add(&words, ".");
	say(column, column->body, true, &words);
	column->y = card_hit_draw(column->sheet, column->left, column->y, column->card);
	if (launch->elevation_deg > 0.0)
		warn(column);
}

static void say_release(struct column *column)
{
	const struct launch *launch = &column->card->design->launch;
	const struct ramp_layout *ramp = &column->card->ramp;
	struct text words = {0};
	char number[NUMBER_SIZE];

	begin(column, "Release");
	text_print(&words, "Ramp \"%s\": the ball's centre comes down %.0f\u00a0mm.", launch->ramp,
	           MILLIMETRES * ramp->drop);
	say(column, column->body, true, &words);
	text_print(&words,
	           "Let it go from the mark, %.0f\u00a0mm up the ramp at a rise of 1 in 5; "
	           "the low end stands %.0f\u00a0mm behind the place of the ball, on the line of "
	           "the aim. ",
	           MILLIMETRES * ramp->travel, MILLIMETRES * ramp->ahead);
	if (launch->groove_deg < RAMP_DEFAULT_GROOVE_DEG) {
		format_plain(launch->groove_deg, number);
		text_print(&words,
		           "In the groove of %s degrees the ball turns %.2f times as fast as it "
		           "rolls. ",
		           number, ramp->spin_ratio);
	}
	text_add(&words,
	         "Same mark, same rise, same ball for every shot of this ramp; see its sheet.");
	say(column, column->body, false, &words);
}

static void say_speed(struct column *column)
{
	struct text words = {0}, way = {0};
	const struct shot_card *card = column->card;

	begin(column, "Speed");
	card_words_lengths(card->lengths, &words);
	say(column, CARD_KEY, true, &words);
	card_words_way(card->lengths, &way);
	text_add(&words,
	         "So hard that a ball rolling up the middle from the head rail would go this "
	         "far");
	if (way.length > 0)
		text_print(&words, ": %s", text_bytes(&way));
	text_print(&words, ". %.2f m/s where it starts.", card->design->launch.speed);
	text_free(&way);
	say(column, column->body, false, &words);
}

static void say_goal(struct column *column)
{
	const struct shot_card *card = column->card;
	struct text words = {0};

	begin(column, "Where it should go");
	for (size_t i = 0; i < card->area.span_count; i++) {
		card_words_span(&card->area.spans[i], &words);
		say(column, column->body, false, &words);
	}
	for (int i = 0; i < BALL_ROLES; i++) {
		card_words_area(card, (enum ball_role)i, &words);
		say(column, column->body, false, &words);
	}
	text_add(&words,
	         "Dots: the aim. Heavy line: the ball slides; thin: it rolls; dashed: it flies.");
	say(column, CARD_SMALL, false, &words);
}

double card_column_draw(const struct card_sheet *sheet, double left, double top, double width,
                        double body, const struct shot_card *card)
{
	struct column column = {
	    .sheet = sheet, .card = card, .left = left, .width = width, .y = top, .body = body};

	say_places(&column);
	say_aim(&column);
	if (card->design->launch.by_ramp)
		say_release(&column);
	else
		say_hit(&column);
	say_speed(&column);
	say_goal(&column);
	return column.y;
}
