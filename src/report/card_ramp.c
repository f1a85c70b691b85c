/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card_ramp.h"

#include <math.h>
#include <string.h>

#include "report/card_words.h"
#include "report/drawing.h"
#include "report/format_value.h"

#define MILLIMETRES 1000.0
#define DEGREE (M_PI / 180.0)
#define SECTION_GAP 3.0
#define VIEW_TOP 9.0   /* above the highest ball */
#define VIEW_LEFT 26.0 /* for the measure of the drop */
#define VIEW_RIGHT 46.0
#define BED_BEYOND 14.0
#define MEASURE_BELOW 8.0
#define HIGHEST_VIEW 70.0
#define END_SCALE 0.5   /* of the view from the end */
#define EDGE 8.0        /* of the board's edges, on the paper */
#define SHOTS_FOOT 30.0 /* kept free below the list of shots */
#define LEAST_LEG 6.0   /* of an angle beyond where the ball touches [mm] */

static const struct canvas_pen hair = {DRAWING_HAIR, CANVAS_SOLID};
static const struct canvas_pen firm = {DRAWING_MIDDLE, CANVAS_SOLID};
static const struct canvas_pen heavy = {DRAWING_HEAVY, CANVAS_SOLID};

/* Where the pen is. */
struct page {
	const struct card_sheet *sheet;
	const struct card_set *set;
	const struct shot_card *card;
	double y;
};

static void say(struct page *page, double size, bool bold, struct text *words)
{
	page->y =
	    card_paragraph(page->sheet, page->sheet->left, page->y,
	                   page->sheet->right - page->sheet->left, size, bold, text_bytes(words));
	text_free(words);
}

static void head(struct page *page, const char *words)
{
	page->y = card_paragraph(page->sheet, page->sheet->left, page->y + SECTION_GAP,
	                         page->sheet->right - page->sheet->left, CARD_KEY, true, words);
}

static bool is_groove(const struct launch *launch)
{
	return launch->groove_deg < RAMP_DEFAULT_GROOVE_DEG;
}

/* One to this, so that the view from the side has room. */
static double side_scale(const struct page *page)
{
	static const double round[] = {1, 2, 2.5, 4, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50, 80, 100};
	const struct ramp_layout *ramp = &page->card->ramp;
	double diameter = 2.0 * page->card->traced.setup.bodies[BALL_CUE].radius;
	double width = page->sheet->right - page->sheet->left - VIEW_LEFT - VIEW_RIGHT - BED_BEYOND;
	double wide = MILLIMETRES * (ramp->travel + ramp->ahead + diameter);
	double tall = MILLIMETRES * (ramp->drop + 2.0 * diameter);
	size_t i = 0;

	while (i + 1 < sizeof(round) / sizeof(round[0]) &&
	       (wide / round[i] > width || tall / round[i] > HIGHEST_VIEW))
		i++;
	return round[i];
}

/* The ramp from the side, to scale: its bottom line, the ball when it is let go and when it first
 * touches the bed. */
struct side_view {
	double scale, radius, lean;
	struct canvas_point low; /* end of the ramp on the bed */
	struct canvas_point top; /* of the bottom line, under the ball that is held */
	struct canvas_point held, leaving, touching; /* centres */
};

static struct side_view side_view_make(const struct page *page, double denominator)
{
	const struct ramp_layout *ramp = &page->card->ramp;
	double radius = page->card->traced.setup.bodies[BALL_CUE].radius;
	struct side_view view = {.scale = MILLIMETRES / denominator,
	                         .lean = atan(SHOT_CARD_RAMP_RISE)};
	double x = cos(view.lean), y = sin(view.lean), ride = view.scale * (radius + ramp->ride);
	double travel = view.scale * ramp->travel, ahead = view.scale * ramp->ahead;
	double bed = page->y + VIEW_TOP + view.scale * (ramp->drop + 2.0 * radius + ramp->ride);

	view.radius = view.scale * radius;
	view.low =
	    (struct canvas_point){page->sheet->left + VIEW_LEFT + view.radius + travel * x, bed};
	view.top = (struct canvas_point){view.low.x - travel * x, view.low.y - travel * y};
	/* Both stand square to the ramp above its bottom line. */
	view.held = (struct canvas_point){view.top.x + ride * y, view.top.y - ride * x};
	view.leaving = (struct canvas_point){view.low.x + ride * y, view.low.y - ride * x};
	view.touching = (struct canvas_point){view.low.x + ahead, bed - view.radius};
	return view;
}

static void draw_side_lines(const struct page *page, const struct side_view *view)
{
	const struct card_sheet *sheet = page->sheet;
	struct canvas_pen dashed = {DRAWING_HAIR, CANVAS_DASHED};
	double beyond = 10.0;

	card_line(sheet, view->top.x - beyond * cos(view->lean),
	          view->top.y - beyond * sin(view->lean), view->low.x, view->low.y, heavy);
	card_line(sheet, sheet->left, view->low.y, sheet->right, view->low.y, firm);
	card_line(sheet, view->held.x, view->held.y, view->leaving.x, view->leaving.y, dashed);
	canvas_circle(sheet->canvas, view->held, view->radius, firm);
	canvas_circle(sheet->canvas, view->touching, view->radius,
	              (struct canvas_pen){DRAWING_MIDDLE, CANVAS_SOLID});
	canvas_circle(sheet->canvas, view->leaving, view->radius,
	              (struct canvas_pen){DRAWING_THIN, CANVAS_DOTTED});
	card_put(sheet, sheet->right, view->low.y + 1.35 * CARD_SMALL, CARD_SMALL, CANVAS_RIGHT,
	         false, "bed of the table");
}

static void write_millimetres(const struct card_sheet *sheet, double x, double y,
                              enum canvas_anchor anchor, const char *before, double metres,
                              const char *after)
{
	struct text words = {0};

	text_print(&words, "%s%.0f\u00a0mm%s", before, MILLIMETRES * metres, after);
	card_put(sheet, x, y, CARD_BODY, anchor, true, text_bytes(&words));
	text_free(&words);
}

/* The drop to the left. */
static void measure_drop(const struct page *page, const struct side_view *view)
{
	const struct card_sheet *sheet = page->sheet;
	double left = sheet->left + 19.0, middle = 0.5 * (view->held.y + view->leaving.y);

	card_line(sheet, left - 1.5, view->held.y, view->held.x, view->held.y, hair);
	card_line(sheet, left - 1.5, view->leaving.y, view->leaving.x, view->leaving.y, hair);
	card_measure(sheet, (struct canvas_point){left, view->held.y},
	             (struct canvas_point){left, view->leaving.y});
	write_millimetres(sheet, left - 2.0, middle + 0.5 * CANVAS_CAPITAL * CARD_BODY,
	                  CANVAS_RIGHT, "", page->card->ramp.drop, "");
}

/* The way from the mark, above the ramp. */
static void measure_way(const struct page *page, const struct side_view *view)
{
	const struct card_sheet *sheet = page->sheet;
	double off = view->radius + 3.0;
	double x = sin(view->lean), y = -cos(view->lean); /* upward, square to the ramp */
	struct canvas_point up = {view->held.x + off * x, view->held.y + off * y};
	struct canvas_point down = {view->leaving.x + off * x, view->leaving.y + off * y};

	card_line(sheet, view->held.x, view->held.y, up.x + 1.5 * x, up.y + 1.5 * y, hair);
	card_line(sheet, view->leaving.x, view->leaving.y, down.x + 1.5 * x, down.y + 1.5 * y,
	          hair);
	card_measure(sheet, up, down);
	write_millimetres(sheet, 0.5 * (up.x + down.x) + 1.0, 0.5 * (up.y + down.y) - 1.6,
	                  CANVAS_LEFT, "mark: ", page->card->ramp.travel, " up the ramp");
}

/* What is ahead of the low end, below. */
static void measure_ahead(const struct page *page, const struct side_view *view)
{
	const struct card_sheet *sheet = page->sheet;
	double below = view->low.y + MEASURE_BELOW;

	card_line(sheet, view->low.x, view->low.y, view->low.x, below + 1.5, hair);
	card_line(sheet, view->touching.x, view->low.y, view->touching.x, below + 1.5, hair);
	card_measure(sheet, (struct canvas_point){view->low.x, below},
	             (struct canvas_point){view->touching.x, below});
	write_millimetres(sheet, view->touching.x + 4.5, below + 0.5 * CANVAS_CAPITAL * CARD_BODY,
	                  CANVAS_LEFT, "", page->card->ramp.ahead, "");
}

static void draw_from_side(struct page *page)
{
	double denominator = side_scale(page);
	struct side_view view = side_view_make(page, denominator);
	struct text words = {0};
	char number[NUMBER_SIZE];

	draw_side_lines(page, &view);
	measure_drop(page, &view);
	measure_way(page, &view);
	measure_ahead(page, &view);
	card_put(page->sheet, page->sheet->left, view.held.y - view.radius - 1.0, CARD_SMALL,
	         CANVAS_LEFT, false, "let go here");
	card_put(page->sheet, view.touching.x + view.radius + 3.0, view.touching.y, CARD_SMALL,
	         CANVAS_LEFT, false, "first touch: the ball's place");
	format_plain(denominator, number);
	text_print(&words, "from the side, 1:%s, rise 1 in 5", number);
	card_put(page->sheet, page->sheet->right, view.low.y + MEASURE_BELOW + 4.5, CARD_SMALL,
	         CANVAS_RIGHT, false, text_bytes(&words));
	text_free(&words);
	page->y = view.low.y + MEASURE_BELOW + 7.0;
}

/* The ball in the groove as who looks along it sees it. */
static void draw_groove(const struct page *page, struct canvas_point centre, double radius)
{
	const struct card_sheet *sheet = page->sheet;
	double half = 0.5 * DEGREE * page->card->design->launch.groove_deg;
	double bottom = centre.y + radius / sin(half), touch = radius / tan(half);
	double leg = touch + LEAST_LEG * 2.0 * END_SCALE;
	struct text words = {0};
	char number[NUMBER_SIZE];

	for (int side = -1; side <= 1; side += 2)
		card_line(sheet, centre.x, bottom, centre.x + side * leg * sin(half),
		          bottom - leg * cos(half), heavy);
	format_plain(page->card->design->launch.groove_deg, number);
	text_print(&words, "%s°", number);
	card_put(sheet, centre.x, bottom - 0.5 * (bottom - centre.y - radius) - 0.2, CARD_SMALL,
	         CANVAS_CENTRE, true, text_bytes(&words));
	text_free(&words);
}

static void draw_board(const struct page *page, struct canvas_point centre, double radius)
{
	double wide = radius * 1.12, bottom = centre.y + radius;

	card_line(page->sheet, centre.x - wide, bottom, centre.x + wide, bottom, heavy);
	for (int side = -1; side <= 1; side += 2)
		card_line(page->sheet, centre.x + side * wide, bottom, centre.x + side * wide,
		          bottom - EDGE, heavy);
}

/* Returns how wide it is. */
static double draw_from_end(const struct page *page, double left, double top, double *bottom)
{
	double radius = MILLIMETRES * page->card->traced.setup.bodies[BALL_CUE].radius * END_SCALE;
	double reach = radius * 1.6;
	struct canvas_point centre = {left + reach, top + radius + 2.0};
	double low =
	    centre.y + radius * (1.0 + page->card->ramp.ride * MILLIMETRES * END_SCALE / radius);

	canvas_circle(page->sheet->canvas, centre, radius, firm);
	card_line(page->sheet, centre.x, centre.y - radius, centre.x, centre.y + radius,
	          (struct canvas_pen){DRAWING_HAIR, CANVAS_DASHED});
	if (is_groove(&page->card->design->launch))
		draw_groove(page, centre, radius);
	else
		draw_board(page, centre, radius);
	card_put(page->sheet, centre.x, low + 1.6 * CARD_SMALL, CARD_SMALL, CANVAS_CENTRE, false,
	         "from the end, 1:2");
	*bottom = low + 2.2 * CARD_SMALL;
	return 2.0 * reach;
}

static void add_making(const struct page *page, struct text *words)
{
	const struct launch *launch = &page->card->design->launch;
	double radius = MILLIMETRES * page->card->traced.setup.bodies[BALL_CUE].radius;
	double longest = MILLIMETRES * page->card->ramp.travel + 60.0;
	double half = 0.5 * DEGREE * launch->groove_deg;
	char number[NUMBER_SIZE];

	if (!is_groove(launch)) {
		text_print(
		    words,
		    "A straight stiff board of at least %.0f\u00a0mm, with two straight edges "
		    "%.0f\u00a0mm apart, so that the ball (%.2f\u00a0mm) is led but not "
		    "pressed. It rolls on the board alone. Thin the low end down to a card's "
		    "thickness, "
		    "or bridge it with a strip of stiff paper: no step.",
		    longest, 2.0 * radius * 1.03, 2.0 * radius);
		return;
	}
	format_plain(launch->groove_deg, number);
	text_print(words,
	           "A straight angle or two boards that make a groove of %s degrees, at least "
	           "%.0f\u00a0mm long, its sides at least %.0f\u00a0mm wide: the ball "
	           "(%.2f\u00a0mm) touches them %.0f\u00a0mm from the bottom line. It turns about "
	           "a nearer axis than on a "
	           "flat board, so it leaves over-spun: R w = v / sin(%s°/2) = %.3f v, and slides "
	           "a little until it rolls. At the low end it rides %.1f\u00a0mm above the "
	           "bed and drops on it: tape a slip of spare cloth or paper there.",
	           number, longest, radius / tan(half) + LEAST_LEG, 2.0 * radius,
	           radius / tan(half), number, page->card->ramp.spin_ratio,
	           MILLIMETRES * page->card->ramp.ride);
}

static void say_making(struct page *page)
{
	struct text words = {0};
	double bottom, left, y;

	head(page, "1  Make it");
	left = page->sheet->left + draw_from_end(page, page->sheet->left, page->y, &bottom) + 6.0;
	add_making(page, &words);
	y = card_paragraph(page->sheet, left, page->y, page->sheet->right - left, CARD_BODY, false,
	                   text_bytes(&words));
	text_free(&words);
	page->y = fmax(bottom, y);
}

static void say_release(struct page *page)
{
	const struct launch *launch = &page->card->design->launch;
	struct text words = {0};

	head(page, "2  Lean it and mark it");
	text_print(&words, "Drop of the ball's centre: %.0f\u00a0mm, for %.2f m/s.",
	           MILLIMETRES * page->card->ramp.drop, launch->speed);
	say(page, CARD_KEY, true, &words);
	text_print(&words,
	           "At a rise of 1 in 5 (200 mm up for each metre along the bed) that is a mark "
	           "%.0f\u00a0mm up the ramp, measured along it from where the ball leaves. At "
	           "another rise: mark = drop / sin(lean).",
	           MILLIMETRES * page->card->ramp.travel);
	say(page, CARD_BODY, false, &words);
	draw_from_side(page);
	text_add(&words,
	         "Why: a ball that rolls from rest without slipping turns height into speed "
	         "and spin, m g h = m v²/2 + (2/5) m R² w²/2 with R w = v / sin(groove/2), so "
	         "h = v²/(2g) · (1 + 2/(5 sin²(groove/2))); flat (180°): h = 0.7 v²/g. "
	         "Energy of a rolling solid sphere, g = 9.80665 m/s², losses left out.");
	say(page, CARD_SMALL, false, &words);
}

static void say_placing(struct page *page)
{
	struct text words = {0};

	head(page, "3  Place it and let go");
	text_print(&words,
	           "The middle line of the ramp lies on the line of the aim; its low end stands "
	           "%.0f\u00a0mm behind the place of the ball, which is where the ball first "
	           "touches the bed. Hold the ball at the mark with a ruler across the ramp and "
	           "draw the ruler away along the ramp, upward or forward and fast; never push. "
	           "The watch starts at the first touch; in a recording sound 1 stays blank.",
	           MILLIMETRES * page->card->ramp.ahead);
	say(page, CARD_BODY, false, &words);
	text_print(&words,
	           "All shots of this ramp share one release speed that nobody knows exactly: "
	           "keep mark, rise and ball the same for all of them, and do not correct "
	           "anything between two shots. That a real ball comes slower than computed does "
	           "no harm, the fit finds the speed (it allows %.0f %% either way). Roll both "
	           "ways: the same roll from the head and from the foot, or a slope is taken for "
	           "the cloth.",
	           100.0 * page->card->design->launch.group_spread);
	say(page, CARD_BODY, false, &words);
}

/* As many as the sheet has room for. */
static void say_shots(struct page *page)
{
	struct text words = {0};

	head(page, "4  Its shots");
	for (size_t i = 0; i < page->set->count; i++) {
		const struct shot_card *card = &page->set->shots[i];

		if (!card->design->launch.by_ramp ||
		    strcmp(card->design->launch.ramp, page->card->design->launch.ramp) != 0)
			continue;
		if (page->y > page->sheet->bottom - SHOTS_FOOT) {
			text_add(&words, "and more, each on its sheet.");
			say(page, CARD_BODY, false, &words);
			return;
		}
		text_print(&words, "%s: ball at ", card->design->key);
		card_words_place(card, BALL_CUE, &words);
		text_add(&words, "; aim ");
		card_words_aim(&card->design->aim, &words);
		text_print(&words, "; %d %s.", card->design->tries,
		           card->design->tries == 1 ? "try" : "tries");
		say(page, CARD_BODY, false, &words);
	}
}

void card_ramp_draw(const struct card_sheet *sheet, const struct card_set *set,
                    const struct shot_card *first)
{
	struct page page = {.sheet = sheet, .set = set, .card = first, .y = sheet->top};
	struct text words = {0};

	text_print(&words, "Ramp \"%s\"", first->design->launch.ramp);
	page.y = sheet->top - 2.0;
	say(&page, CARD_TITLE, true, &words);
	text_print(&words, "Protocol %s. %s", set->protocol->name,
	           is_groove(&first->design->launch) ? "The ball rolls in a groove."
	                                             : "The ball rolls on a flat board.");
	say(&page, CARD_BODY, false, &words);
	say_making(&page);
	say_release(&page);
	say_placing(&page);
	say_shots(&page);
}
