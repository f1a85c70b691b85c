/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card_hit.h"

#include <math.h>

#include "base/text.h"
#include "report/drawing.h"
#include "report/format_value.h"

#define MILLIMETRES 1000.0
#define SCALE 0.4       /* of the views: 1 to 2.5 */
#define ABOVE 10.0      /* the balls: the measure of the offset */
#define ABOVE_PLAIN 4.0 /* without one */
#define BEHIND_X 13.5   /* middle of the view from behind, from the left */
#define SIDE_X 57.0     /* middle of the view from the side */
#define MEASURE_X 40.5  /* line of the height */
#define BEYOND 2.0      /* how far a line goes beyond what it measures */
#define CUE_LENGTH 13.0
#define CUE_HALF 2.4 /* half of its thickness at the tip */
#define DOT 0.8      /* radius of the point that is hit */
#define DEGREE (M_PI / 180.0)

struct view {
	const struct card_sheet *sheet;
	double radius;                    /* on the paper */
	struct canvas_point behind, side; /* centres of the ball */
	double height, offset;            /* of the tip, in radii */
};

static const struct canvas_pen hair = {DRAWING_HAIR, CANVAS_SOLID};
static const struct canvas_pen thin = {DRAWING_THIN, CANVAS_SOLID};
static const struct canvas_pen firm = {DRAWING_MIDDLE, CANVAS_SOLID};

static void draw_circle(const struct view *view, struct canvas_point centre, double radius,
                        struct canvas_pen pen)
{
	if (!view->sheet->measuring)
		canvas_circle(view->sheet->canvas, centre, radius, pen);
}

/* A full round point. */
static void draw_dot(const struct view *view, struct canvas_point at)
{
	draw_circle(view, at, 0.5 * DOT, (struct canvas_pen){DOT, CANVAS_SOLID});
}

static void draw_ball(const struct view *view, struct canvas_point centre, const char *words)
{
	double reach = view->radius + BEYOND;
	struct canvas_pen axis = {DRAWING_HAIR, CANVAS_DASHED};

	draw_circle(view, centre, view->radius, firm);
	card_line(view->sheet, centre.x - reach, centre.y, centre.x + reach, centre.y, axis);
	card_line(view->sheet, centre.x, centre.y - reach, centre.x, centre.y + view->radius, axis);
	card_put(view->sheet, centre.x, centre.y + view->radius + 1.35 * CARD_SMALL, CARD_SMALL,
	         CANVAS_CENTRE, false, words);
}

/* "11.4 mm" and below it "0.4 of R". */
static void write_measure(const struct view *view, double x, double y, enum canvas_anchor anchor,
                          double radius, double fraction, const char *where)
{
	char number[NUMBER_SIZE];
	struct text words = {0};

	format_plain(fabs(fraction), number);
	text_print(&words, "%.1f mm", MILLIMETRES * radius * fabs(fraction));
	card_put(view->sheet, x, y, CARD_SMALL, anchor, true, text_bytes(&words));
	text_free(&words);
	text_print(&words, "%s R%s", number, where);
	card_put(view->sheet, x, y + 1.2 * CARD_SMALL, CARD_SMALL, anchor, false,
	         text_bytes(&words));
	text_free(&words);
}

static void draw_from_behind(const struct view *view, double radius, bool along_cue)
{
	struct canvas_point spot = {view->behind.x + view->offset * view->radius,
	                            view->behind.y - view->height * view->radius};
	double top = view->behind.y - view->radius - 3.4;
	struct text words = {0};
	char number[NUMBER_SIZE];

	draw_ball(view, view->behind, along_cue ? "along the cue" : "from behind");
	draw_dot(view, spot);
	if (view->offset == 0.0)
		return;
	card_line(view->sheet, spot.x, spot.y, spot.x, top - BEYOND, hair);
	card_line(view->sheet, view->behind.x, view->behind.y, view->behind.x, top - BEYOND, hair);
	card_measure(view->sheet, (struct canvas_point){view->behind.x, top},
	             (struct canvas_point){spot.x, top});
	format_plain(fabs(view->offset), number);
	text_print(&words, "%.1f mm = %s R", MILLIMETRES * radius * fabs(view->offset), number);
	card_put(view->sheet, view->behind.x - BEHIND_X, top - 3.0, CARD_SMALL, CANVAS_LEFT, true,
	         text_bytes(&words));
	text_free(&words);
}

/* The cue comes from the right, its butt raised. In the plane of this view the tip meets the ball's
 * outline only where there is no side; the cue is drawn up to where it does. */
static struct canvas_point draw_cue(const struct view *view, double elevation)
{
	double x = cos(elevation), y = -sin(elevation); /* from the tip to the butt, on the paper */
	double depth =
	    sqrt(fmax(0.0, 1.0 - view->height * view->height - view->offset * view->offset));
	struct canvas_point tip = {view->side.x + view->radius * (depth * x + view->height * y),
	                           view->side.y + view->radius * (depth * y - view->height * x)};

	for (int side = -1; side <= 1; side += 2) {
		double dx = -CUE_HALF * y * side, dy = CUE_HALF * x * side;

		card_line(view->sheet, tip.x + dx, tip.y + dy, tip.x + dx + CUE_LENGTH * x,
		          tip.y + dy + CUE_LENGTH * y, firm);
	}
	card_line(view->sheet, tip.x + CUE_HALF * y, tip.y - CUE_HALF * x, tip.x - CUE_HALF * y,
	          tip.y + CUE_HALF * x, firm);
	draw_dot(view, tip);
	return tip;
}

static void draw_from_side(const struct view *view, double left, double radius, double elevation)
{
	struct canvas_point tip;
	double x = left + MEASURE_X, centre = view->side.y;

	draw_ball(view, view->side, elevation > 0.0 ? "from the side" : "from the side, cue level");
	tip = draw_cue(view, elevation);
	if (view->height == 0.0)
		return;
	card_line(view->sheet, view->behind.x + view->offset * view->radius,
	          view->behind.y - view->height * view->radius, x + BEYOND,
	          view->behind.y - view->height * view->radius, hair);
	card_line(view->sheet, view->behind.x, centre, view->side.x, centre, hair);
	if (elevation == 0.0)
		card_line(view->sheet, x, tip.y, tip.x, tip.y, hair);
	card_measure(view->sheet, (struct canvas_point){x, centre},
	             (struct canvas_point){x, centre - view->height * view->radius});
	write_measure(view, x - 2.2,
	              view->height > 0.0 ? centre - view->radius + 0.5 : centre + 6.0, CANVAS_RIGHT,
	              radius, view->height, "");
}

double card_hit_draw(const struct card_sheet *sheet, double left, double top,
                     const struct shot_card *card)
{
	const struct launch *launch = &card->design->launch;
	double radius = card->traced.setup.bodies[BALL_CUE].radius;
	struct view view = {.sheet = sheet,
	                    .radius = SCALE * MILLIMETRES * radius,
	                    .height = launch->height,
	                    .offset = launch->side};
	double above = fmax(launch->side != 0.0 ? ABOVE : ABOVE_PLAIN,
	                    BEYOND + CUE_LENGTH * sin(launch->elevation_deg * DEGREE));
	double middle = top + above + view.radius, bed = middle + view.radius;

	view.behind = (struct canvas_point){left + BEHIND_X, middle};
	view.side = (struct canvas_point){left + SIDE_X, middle};
	card_line(sheet, left, bed, left + CARD_HIT_WIDTH, bed, thin);
	draw_from_behind(&view, radius, launch->elevation_deg > 0.0);
	draw_from_side(&view, left, radius, launch->elevation_deg * DEGREE);
	return bed + 2.0 * CARD_SMALL;
}
