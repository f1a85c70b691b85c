/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/compare_card.h"

#include <math.h>

#include "base/number.h"

/* A5, millimetres. */
#define SHEET_WIDTH 148.0
#define SHEET_HEIGHT 210.0
#define LEFT 9.0
#define RIGHT 139.0
#define HOME_END 68.0 /* the numbers of a column end here */
#define HERE_END 82.0
#define CHANGE 87.0
#define TYPE 2.5
#define SMALL 2.0
#define TITLE 3.6
#define STEP 3.45

struct card {
	struct canvas *canvas;
	const struct compare_set *set;
	double y; /* base line of the next line */
	bool failed;
};

/* In the room there is: longer words are written smaller. */
static void write_at(struct card *card, double x, double room, double size, const char *words)
{
	double width = canvas_words_width(card->canvas, size, words);

	if (width > room)
		size *= room / width;
	canvas_words(card->canvas, (struct canvas_point){x, card->y}, size, CANVAS_LEFT, words);
}

static void write_text(struct card *card, double x, double size, struct text *words)
{
	write_at(card, x, RIGHT - x, size, text_bytes(words));
	card->failed = card->failed || words->failed;
	text_free(words);
}

static void rule(struct card *card)
{
	canvas_line(card->canvas, (struct canvas_point){LEFT, card->y + 0.9},
	            (struct canvas_point){RIGHT, card->y + 0.9}, (struct canvas_pen){0.15, CANVAS_SOLID});
}

static void draw_profile(struct card *card, const char *word, const char *file,
                         const struct profile *profile)
{
	const char *table = profile->notes[NOTE_TABLE_NAME], *session = profile->notes[NOTE_SESSION];
	struct text words = {0};

	text_print(&words, "%s: %s%s%s%s%s", word, file, table != NULL ? ", " : "",
	           table != NULL ? table : "", session != NULL ? ", " : "",
	           session != NULL ? session : "");
	write_text(card, LEFT, TYPE, &words);
	card->y += STEP;
}

static void draw_head(struct card *card)
{
	card->y = 11.0;
	canvas_bold(card->canvas, true);
	write_at(card, LEFT, RIGHT - LEFT, TITLE, "What to change on this table");
	canvas_bold(card->canvas, false);
	card->y += 1.4 * STEP;
	draw_profile(card, "Home", card->set->home_file, card->set->home);
	draw_profile(card, "Here", card->set->here_file, card->set->here);
	write_at(card, LEFT, RIGHT - LEFT, SMALL,
	         "Medians (95 % interval). Bold: worth making, its direction beyond doubt (0.99); "
	         "perhaps: not beyond doubt.");
	card->y += 0.8 * STEP;
	write_at(card, LEFT, RIGHT - LEFT, SMALL,
	         "no change known: one worth making is possible. ? rests on a constant that is not "
	         "determined. Cuts: the same at every pace.");
	card->y += 0.4 * STEP;
}

static void draw_group(struct card *card, const struct adjustment_change *change)
{
	struct compare_group group = compare_words_group(change->adjustment->group);
	struct compare_scale scale = compare_words_scale(card->set, change->adjustment);
	struct text words = {0};

	card->y += 1.35 * STEP;
	rule(card);
	canvas_bold(card->canvas, true);
	write_at(card, LEFT, HOME_END - LEFT - 10.0, TYPE, group.title);
	canvas_words(card->canvas, (struct canvas_point){HOME_END, card->y}, TYPE, CANVAS_RIGHT,
	             "home");
	canvas_words(card->canvas, (struct canvas_point){HERE_END, card->y}, TYPE, CANVAS_RIGHT,
	             "here");
	text_print(&words, "change, %s", scale.name);
	write_text(card, CHANGE, TYPE, &words);
	canvas_bold(card->canvas, false);
	card->y += STEP;
	write_at(card, LEFT, RIGHT - LEFT, SMALL, group.setup);
}

static void draw_value(struct card *card, const struct adjustment_change *change, double value,
                       double end)
{
	struct compare_scale scale = compare_words_value_scale(card->set, change->adjustment);
	char number[NUMBER_SIZE] = "-";

	if (change->possible)
		number_print_fixed(scale.factor * value, scale.decimals, number);
	canvas_words(card->canvas, (struct canvas_point){end, card->y}, TYPE, CANVAS_RIGHT, number);
}

static void draw_change(struct card *card, const struct adjustment_change *change)
{
	struct text words = {0};

	card->y += STEP;
	canvas_bold(card->canvas, change->worth_making && change->beyond_doubt);
	write_at(card, LEFT, HOME_END - LEFT - 10.0, TYPE, change->adjustment->title);
	draw_value(card, change, change->home.median, HOME_END);
	draw_value(card, change, change->here.median, HERE_END);
	compare_words_change(card->set, change, &words);
	if (change->rests_on != 0 && !change->settled)
		text_add(&words, " ?");
	write_text(card, CHANGE, TYPE, &words);
	canvas_bold(card->canvas, false);
	if (change->adjustment->setup[0] == '\0')
		return;
	card->y += 0.8 * STEP;
	write_at(card, LEFT + 3.0, RIGHT - LEFT - 3.0, SMALL, change->adjustment->setup);
}

static void draw_foot(struct card *card)
{
	const struct compare_set *set = card->set;
	struct text words = {0};

	card->y = SHEET_HEIGHT - 5.0;
	text_print(&words, "%zu pairs of tables, seed %llu; tip %.1f mm, elevation %g degrees, ",
	           set->draws, (unsigned long long)set->seed, 1000.0 * set->tip_width,
	           set->elevation_deg);
	if (set->end_mass_ratio > 0.0)
		text_print(&words, "ball mass over end mass %g.", set->end_mass_ratio);
	else
		text_add(&words, "no squirt.");
	text_add(&words, " Heights and sides of the tip are offsets from the centre.");
	write_text(card, LEFT, SMALL, &words);
}

enum status compare_card_print(const struct compare_set *set, enum canvas_format format,
                               struct text *out)
{
	struct card card = {.canvas = canvas_create(format, SHEET_WIDTH, SHEET_HEIGHT), .set = set};
	enum status status;

	if (card.canvas == NULL)
		return STATUS_SYSTEM;
	draw_head(&card);
	for (size_t i = 0; i < set->count; i++) {
		if (i == 0 || set->changes[i].adjustment->group != set->changes[i - 1].adjustment->group)
			draw_group(&card, &set->changes[i]);
		if (set->changes[i].adjustment->headline)
			draw_change(&card, &set->changes[i]);
	}
	draw_foot(&card);
	status = canvas_finish(card.canvas, out);
	return card.failed ? STATUS_SYSTEM : status;
}
