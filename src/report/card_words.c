/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card_words.h"

#include <math.h>

#include "report/format_value.h"
#include "report/protocol_words.h"

#define MILLIMETRES 1000.0
#define AREA_MOST 0.5 /* of the bed: a larger outline tells a player nothing */
#define WAY_MOST 12.0
#define LENGTHS_MOST 1000.0
#define NEARLY 1e-9
#define SPAN_NARROW 0.3 /* diamonds: two decimals for less */

static const char *const eighths[] = {"", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"};

/* Whole eighths with a fraction's sign. */
static void add_eighths(long count, struct text *out)
{
	if (count >= 8 || count == 0)
		text_print(out, "%ld", count / 8);
	text_add(out, eighths[count % 8]);
}

void card_words_diamonds(double diamonds, struct text *out)
{
	long count = lround(8.0 * diamonds);

	if (diamonds >= 0.0 && fabs(8.0 * diamonds - (double)count) < NEARLY)
		add_eighths(count, out);
	else
		text_print(out, "%.2f", diamonds);
}

void card_words_lengths(double lengths, struct text *out)
{
	long count;

	if (!(lengths < LENGTHS_MOST)) {
		text_add(out, "a speed that no table length tells");
		return;
	}
	count = lengths < 0.5 ? lround(8.0 * lengths) : 2 * lround(4.0 * lengths);
	if (count == 0) {
		text_add(out, "less than ⅛ of a table length");
		return;
	}
	add_eighths(count, out);
	text_add(out, count < 8    ? " of a table length"
	              : count == 8 ? " table length"
	                           : " table lengths");
}

static const char *part_of_way(double part)
{
	if (part < 0.125)
		return NULL;
	if (part < 0.375)
		return "a quarter of the way";
	if (part < 0.625)
		return "half of the way";
	return part < 0.875 ? "three quarters of the way" : NULL;
}

/* Whole legs first, then the rest of the last one. */
void card_words_way(double lengths, struct text *out)
{
	const char *part;
	int whole;

	if (!(lengths <= WAY_MOST))
		return;
	whole = (int)floor(lengths + 0.125);
	part = part_of_way(lengths - whole);
	if (whole == 2 && part == NULL) {
		text_add(out, "up and back, a lag");
		return;
	}
	for (int leg = 0; leg < whole; leg++)
		text_print(out, "%s%s",
		           leg == 0                           ? ""
		           : leg + 1 == whole && part == NULL ? " and "
		                                              : ", ",
		           leg % 2 == 0 ? "up" : "back");
	if (part != NULL)
		text_print(out, "%s%s %s", whole > 0 ? " and " : "", part,
		           whole % 2 == 0 ? "up" : "back");
}

static void add_coordinate(const char *name, const struct place_coordinate *coordinate,
                           struct text *out)
{
	if (coordinate->frozen) {
		text_print(out, "frozen to the %s rail", rail_name(coordinate->rail));
		return;
	}
	text_print(out, "%s ", name);
	card_words_diamonds(coordinate->diamonds, out);
}

void card_words_place(const struct shot_card *card, enum ball_role ball, struct text *out)
{
	const struct placement *place = &card->design->place[ball];

	if (place->touching) {
		text_print(out, "touching the %s, on the line from its centre to long ",
		           protocol_words_ball(place->touched));
		card_words_diamonds(place->toward_long, out);
		text_add(out, ", short ");
		card_words_diamonds(place->toward_short, out);
		return;
	}
	add_coordinate("long", &place->along, out);
	text_add(out, ", ");
	add_coordinate("short", &place->across, out);
}

void card_words_place_millimetres(const struct shot_card *card, enum ball_role ball,
                                  struct text *out)
{
	const struct placement *place = &card->design->place[ball];
	struct vector3 at = card->traced.setup.balls[ball].position;

	if (place->touching)
		text_print(out, "centre at long %.2f, short %.2f: ",
		           table_long_to_diamonds(card->traced.table, at.y),
		           table_short_to_diamonds(card->traced.table, at.x));
	text_print(out, "%.0f\u00a0mm from the head, %.0f\u00a0mm from the left nose",
	           MILLIMETRES * at.y, MILLIMETRES * at.x);
	if (place->diameter > 0.0)
		text_print(out, "; a ball of %.2f\u00a0mm", MILLIMETRES * place->diameter);
	if (place->mass > 0.0)
		text_print(out, "%s %.0f g", place->diameter > 0.0 ? "," : "; a ball of",
		           MILLIMETRES * place->mass);
}

static void add_ball_aim(const struct aim *aim, struct text *out)
{
	char number[NUMBER_SIZE];

	if (aim->fullness >= 1.0) {
		text_print(out, "at the %s, full", protocol_words_ball(aim->ball));
		return;
	}
	format_plain(100.0 * aim->fullness, number);
	text_print(out, "at the %s, ", protocol_words_ball(aim->ball));
	if (aim->fullness == 0.5)
		text_add(out, "half ball");
	else
		text_print(out, "%s %% full", number);
	text_print(out, ", on its %s side as you look along the shot",
	           aim->contact == AIM_SIDE_LEFT ? "left" : "right");
}

void card_words_aim(const struct aim *aim, struct text *out)
{
	switch (aim->kind) {
	case AIM_NOSE:
	case AIM_SIGHT:
		text_add(out, "at ");
		card_words_diamonds(aim->at, out);
		text_print(out, " on the %s rail, %s", rail_name(aim->rail),
		           aim->kind == AIM_NOSE ? "on the nose of the cushion"
		                                 : "over the sight mark (not on the nose)");
		break;
	case AIM_POINT:
		text_add(out, "at the point long ");
		card_words_diamonds(aim->point_long, out);
		text_add(out, ", short ");
		card_words_diamonds(aim->point_short, out);
		break;
	case AIM_BALL:
		add_ball_aim(aim, out);
		break;
	}
}

static void add_offset(double offset, double radius, const char *where, struct text *out)
{
	char number[NUMBER_SIZE];

	format_plain(fabs(offset), number);
	text_print(out, "%.1f\u00a0mm %s (%s of the radius)", MILLIMETRES * radius * fabs(offset),
	           where, number);
}

void card_words_height(double offset, double radius, struct text *out)
{
	if (offset == 0.0)
		text_add(out, "at the height of the centre");
	else
		add_offset(offset, radius, offset > 0.0 ? "above the centre" : "below the centre",
		           out);
}

void card_words_side(double offset, double radius, struct text *out)
{
	if (offset == 0.0)
		text_add(out, "no side");
	else
		add_offset(offset, radius, offset > 0.0 ? "to the right" : "to the left", out);
}

int card_words_of_hundred(size_t count, size_t all)
{
	return all == 0 ? 0 : (int)lround(100.0 * (double)count / (double)all);
}

/* How many plays lose the ball, from 1 in 100 on. */
static void add_losses(size_t count, size_t all, const char *where, struct text *out)
{
	int of_hundred = card_words_of_hundred(count, all);

	if (of_hundred > 0)
		text_print(out, " In %d of 100 it %s.", of_hundred, where);
}

bool card_words_draws_area(const struct shot_card *card, enum ball_role ball)
{
	const struct ball_area *area = &card->area.balls[ball];

	return shot_card_shows_area(card->design, ball) && area->outline.count > 0 &&
	       area->bed_share <= AREA_MOST && 2 * area->rests >= card->area.played;
}

void card_words_area(const struct shot_card *card, enum ball_role ball, struct text *out)
{
	const struct ball_area *area = &card->area.balls[ball];
	const char *name = protocol_words_ball(ball);
	const struct table *table = card->traced.table;

	if (!shot_card_shows_area(card->design, ball) || !card->design->place[ball].present ||
	    card->area.played == 0)
		return;
	if (card_words_draws_area(card, ball))
		text_print(
		    out,
		    "The %s stops with its centre in the hatched outline, %.1f diamonds along the "
		    "table and %.1f across (%.0f\u00a0×\u00a0%.0f\u00a0mm), in %d of 100 plays.",
		    name, area->along, area->across,
		    MILLIMETRES * table_long_to_metres(table, area->along),
		    MILLIMETRES * table_short_to_metres(table, area->across),
		    card_words_of_hundred(area->inside, card->area.played));
	else if (2 * area->rests < card->area.played)
		text_print(out, "The %s mostly does not stay on the bed.", name);
	else
		text_print(out, "The %s may stop nearly anywhere: no outline is drawn.", name);
	add_losses(area->fallen, card->area.played, "falls into a pocket", out);
	add_losses(area->left, card->area.played, "leaves the table", out);
}

int card_words_span_decimals(const struct rail_span *span)
{
	return span->high - span->low < SPAN_NARROW ? 2 : 1;
}

void card_words_span(const struct rail_span *span, struct text *out)
{
	struct quantity quantity = quantity_at(span->quantity);
	int decimals = card_words_span_decimals(span);

	text_print(out, "The %s meets its %s rail, %s, between %.*f and %.*f.",
	           protocol_words_ball(quantity.ball), protocol_words_ordinal(quantity.number),
	           rail_name(span->rail), decimals, span->low, decimals, span->high);
}
