/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/card_table.h"

#include <math.h>

#include "report/card_area.h"
#include "report/card_words.h"
#include "report/drawing.h"
#include "report/trace_lines.h"

#define MILLIMETRES 1000.0
#define CROSS 1.8        /* half a cross at what is aimed at */
#define LABEL_INSIDE 1.0 /* the noses */
#define NUMBER_HALF 1.5
#define FOOT_MARK 1.3 /* half a mark where a ball's line meets the rail */

static const struct canvas_pen hair = {DRAWING_HAIR, CANVAS_SOLID};
static const struct canvas_pen thin = {DRAWING_THIN, CANVAS_SOLID};

struct card_table_size card_table_fit(const struct table *table, double width, double height)
{
	struct card_table_size size;

	size.denominator =
	    drawing_round_scale(table, height - 2.0 * DRAWING_BAND, width - 2.0 * DRAWING_BAND);
	size.width = table->width * MILLIMETRES / size.denominator + 2.0 * DRAWING_BAND;
	size.height = table->length * MILLIMETRES / size.denominator + 2.0 * DRAWING_BAND;
	return size;
}

static struct canvas_point place_flat(const struct drawing *drawing, double x, double y)
{
	return drawing_place(drawing, vector3_make(x, y, 0.0));
}

/* A thin line from a ball to a rail where its diamonds are counted, with a mark at the rail. */
static void draw_count_line(struct drawing *drawing, struct canvas_point ball, double radius,
                            struct canvas_point rail)
{
	double length = hypot(rail.x - ball.x, rail.y - ball.y);
	double x = (rail.x - ball.x) / length, y = (rail.y - ball.y) / length;
	struct canvas_point from = {ball.x + radius * x, ball.y + radius * y};
	struct canvas_point one = {rail.x - FOOT_MARK * y, rail.y + FOOT_MARK * x};
	struct canvas_point other = {rail.x + FOOT_MARK * y, rail.y - FOOT_MARK * x};

	if (length <= radius)
		return;
	canvas_line(drawing->canvas, from, rail, hair);
	canvas_line(drawing->canvas, one, other, thin);
	label_field_add_line(&drawing->labels, from, rail);
}

/* The diamonds of a ball, counted on the nearer rail of each kind. */
static void draw_counts(struct drawing *drawing, const struct shot_card *card, enum ball_role ball)
{
	const struct placement *place = &card->design->place[ball];
	struct vector3 at = card->traced.setup.balls[ball].position;
	double radius = drawing->scale * card->traced.setup.bodies[ball].radius;
	struct canvas_point centre = drawing_place(drawing, at);
	double x = at.x < 0.5 * drawing->table->width ? 0.0 : drawing->table->width;
	double y = at.y < 0.5 * drawing->table->length ? 0.0 : drawing->table->length;

	if (place->touching)
		return;
	if (!place->along.frozen)
		draw_count_line(drawing, centre, radius, place_flat(drawing, x, at.y));
	if (!place->across.frozen)
		draw_count_line(drawing, centre, radius, place_flat(drawing, at.x, y));
}

static void name_counts(struct drawing *drawing, const struct shot_card *card, enum ball_role ball)
{
	const struct placement *place = &card->design->place[ball];
	struct vector3 at = card->traced.setup.balls[ball].position;
	double x = at.x < 0.5 * drawing->table->width ? 0.0 : drawing->table->width;
	double y = at.y < 0.5 * drawing->table->length ? 0.0 : drawing->table->length;
	struct text words = {0};

	if (place->touching)
		return;
	if (!place->along.frozen) {
		text_add(&words, "long ");
		card_words_diamonds(place->along.diamonds, &words);
		card_label(drawing, place_flat(drawing, x, at.y), 0.6, text_bytes(&words));
		text_free(&words);
	}
	if (!place->across.frozen) {
		text_add(&words, "short ");
		card_words_diamonds(place->across.diamonds, &words);
		card_label(drawing, place_flat(drawing, at.x, y), 0.6, text_bytes(&words));
		text_free(&words);
	}
}

static void draw_ball(struct drawing *drawing, struct canvas_point at, double radius,
                      struct canvas_pen pen)
{
	canvas_circle(drawing->canvas, at, radius, pen);
	label_field_add_circle(&drawing->labels, at, radius);
	label_field_add_box(&drawing->labels,
	                    (struct label_box){at.x - 0.7 * radius, at.y - 0.7 * radius,
	                                       at.x + 0.7 * radius, at.y + 0.7 * radius});
}

static void draw_balls(struct drawing *drawing, const struct shot_card *card)
{
	for (int i = 0; i < BALL_ROLES; i++) {
		const struct shot_setup *setup = &card->traced.setup;
		struct canvas_point at;

		if (!setup->present[i])
			continue;
		at = drawing_place(drawing, setup->balls[i].position);
		draw_counts(drawing, card, (enum ball_role)i);
		draw_ball(drawing, at, drawing->scale * setup->bodies[i].radius,
		          (struct canvas_pen){DRAWING_MIDDLE, CANVAS_SOLID});
		label_field_add_rival(&drawing->labels, at);
	}
}

static void name_balls(struct drawing *drawing, const struct shot_card *card)
{
	const struct shot_setup *setup = &card->traced.setup;

	canvas_bold(drawing->canvas, true);
	for (int i = 0; i < BALL_ROLES; i++)
		if (setup->present[i])
			card_label(drawing, drawing_place(drawing, setup->balls[i].position),
			           drawing->scale * setup->bodies[i].radius,
			           ball_role_name((enum ball_role)i));
	canvas_bold(drawing->canvas, false);
	for (int i = 0; i < BALL_ROLES; i++)
		if (setup->present[i])
			name_counts(drawing, card, (enum ball_role)i);
}

/* The point of a rail that is aimed at, so far behind the nose [m]. */
static struct canvas_point aim_point(const struct drawing *drawing, const struct aim *aim,
                                     double behind)
{
	const struct table *table = drawing->table;

	switch (aim->rail) {
	case RAIL_HEAD:
		return place_flat(drawing, table_short_to_metres(table, aim->at), -behind);
	case RAIL_FOOT:
		return place_flat(drawing, table_short_to_metres(table, aim->at),
		                  table->length + behind);
	case RAIL_LEFT:
		return place_flat(drawing, -behind, table_long_to_metres(table, aim->at));
	default:
		return place_flat(drawing, table->width + behind,
		                  table_long_to_metres(table, aim->at));
	}
}

/* Where the aim line ends: the point aimed at, or the centre of the cue ball as it meets the ball. */
static struct canvas_point aim_end(const struct drawing *drawing, const struct shot_card *card)
{
	const struct aim *aim = &card->design->aim;
	const struct table *table = drawing->table;
	const struct shot_setup *setup = &card->traced.setup;
	struct vector3 cue = setup->balls[BALL_CUE].position;

	if (aim->kind == AIM_POINT)
		return place_flat(drawing, table_short_to_metres(table, aim->point_short),
		                  table_long_to_metres(table, aim->point_long));
	if (aim->kind == AIM_BALL) {
		struct vector3 line = vector3_subtract(setup->balls[aim->ball].position, cue);
		double sum = setup->bodies[BALL_CUE].radius + setup->bodies[aim->ball].radius;
		double beside = (1.0 - aim->fullness) * sum;
		double ahead = line.x * cos(setup->aim) + line.y * sin(setup->aim) -
		               sqrt(fmax(0.0, sum * sum - beside * beside));

		return place_flat(drawing, cue.x + ahead * cos(setup->aim),
		                  cue.y + ahead * sin(setup->aim));
	}
	return aim_point(drawing, aim, aim->kind == AIM_SIGHT ? table->sight_setback : 0.0);
}

/* The cross over a sight mark stands where that diamond's number does, which goes. */
static void blank_number(struct drawing *drawing, const struct aim *aim)
{
	double back = (aim->rail == RAIL_HEAD || aim->rail == RAIL_RIGHT) ? 1.0 : -1.0;
	struct canvas_point at = aim_point(drawing, aim, 0.0);
	double apart = drawing->scale * drawing->table->sight_setback - DRAWING_NUMBERS;

	if (aim->kind != AIM_SIGHT || aim->at != floor(aim->at) ||
	    fabs(apart) > CROSS + NUMBER_HALF)
		return;
	if (rail_is_long(aim->rail))
		at.x += back * DRAWING_NUMBERS;
	else
		at.y += back * DRAWING_NUMBERS;
	canvas_blank(drawing->canvas, (struct canvas_point){at.x - NUMBER_HALF, at.y - NUMBER_HALF},
	             (struct canvas_point){at.x + NUMBER_HALF, at.y + NUMBER_HALF});
}

static void draw_aim(struct drawing *drawing, const struct shot_card *card)
{
	const struct aim *aim = &card->design->aim;
	struct canvas_point from =
	    drawing_place(drawing, card->traced.setup.balls[BALL_CUE].position);
	struct canvas_point end = aim_end(drawing, card);
	double radius = drawing->scale * card->traced.setup.bodies[BALL_CUE].radius;

	canvas_line(drawing->canvas, from, end, (struct canvas_pen){0.5, CANVAS_DOTTED});
	label_field_add_line(&drawing->labels, from, end);
	if (aim->kind == AIM_BALL) {
		draw_ball(drawing, end, radius, (struct canvas_pen){0.35, CANVAS_DOTTED});
		return;
	}
	blank_number(drawing, aim);
	canvas_line(drawing->canvas, (struct canvas_point){end.x - CROSS, end.y - CROSS},
	            (struct canvas_point){end.x + CROSS, end.y + CROSS},
	            (struct canvas_pen){DRAWING_MIDDLE, CANVAS_SOLID});
	canvas_line(drawing->canvas, (struct canvas_point){end.x - CROSS, end.y + CROSS},
	            (struct canvas_point){end.x + CROSS, end.y - CROSS},
	            (struct canvas_pen){DRAWING_MIDDLE, CANVAS_SOLID});
	label_field_add_box(&drawing->labels, (struct label_box){end.x - CROSS, end.y - CROSS,
	                                                         end.x + CROSS, end.y + CROSS});
}

static void name_aim(struct drawing *drawing, const struct shot_card *card)
{
	const struct aim *aim = &card->design->aim;
	struct text words = {0};

	if (aim->kind == AIM_BALL)
		return;
	text_add(&words, "aim");
	if (aim->kind != AIM_POINT) {
		text_add(&words, " ");
		card_words_diamonds(aim->at, &words);
	}
	card_label(drawing, aim_end(drawing, card), CROSS, text_bytes(&words));
	text_free(&words);
}

/* The line on which a touching ball lies: through both centres, a bit beyond. */
static void draw_touching(struct drawing *drawing, const struct shot_card *card)
{
	for (int i = 0; i < BALL_ROLES; i++) {
		const struct placement *place = &card->design->place[i];
		const struct table *table = drawing->table;
		struct canvas_point from, to;

		if (!place->present || !place->touching)
			continue;
		from = drawing_place(drawing, card->traced.setup.balls[place->touched].position);
		to = place_flat(drawing, table_short_to_metres(table, place->toward_short),
		                table_long_to_metres(table, place->toward_long));
		canvas_line(drawing->canvas, from, to,
		            (struct canvas_pen){DRAWING_HAIR, CANVAS_DASHED});
		label_field_add_line(&drawing->labels, from, to);
	}
}

/* Where the path as designed ends: a ball of a thin line. */
static void draw_ends(struct drawing *drawing, const struct shot_card *card)
{
	for (int i = 0; i < BALL_ROLES; i++) {
		const struct ball_end *end = &card->traced.record.ends[i];
		double radius = drawing->scale * card->traced.setup.bodies[i].radius;
		struct canvas_point at = drawing_place(drawing, end->position);

		if (!traced_shot_moved(&card->traced, (enum ball_role)i) || end->pocketed)
			continue;
		draw_ball(drawing, at, radius, thin);
	}
}

static enum status draw_everything(struct drawing *drawing, const struct shot_card *card)
{
	enum status status = card_area_draw(drawing, card);

	draw_touching(drawing, card);
	draw_balls(drawing, card);
	draw_aim(drawing, card);
	for (int i = 0; i < BALL_ROLES && status == STATUS_OK; i++)
		status = trace_lines_draw(drawing, &card->traced.paths[i]);
	draw_ends(drawing, card);
	name_balls(drawing, card);
	name_aim(drawing, card);
	card_area_name(drawing, card);
	return status;
}

static void keep_labels_on_bed(struct drawing *drawing)
{
	const struct table *table = drawing->table;
	struct canvas_point low = place_flat(drawing, 0.0, 0.0);
	struct canvas_point high = place_flat(drawing, table->width, table->length);

	drawing->labels.limits = (struct label_box){low.x + LABEL_INSIDE, high.y + LABEL_INSIDE,
	                                            high.x - LABEL_INSIDE, low.y - LABEL_INSIDE};
}

enum status card_table_draw(const struct card_sheet *sheet, double left, double top,
                            const struct card_table_size *size, const struct shot_card *card)
{
	struct drawing drawing = {.canvas = sheet->canvas,
	                          .table = card->traced.table,
	                          .denominator = size->denominator,
	                          .scale = MILLIMETRES / size->denominator,
	                          .standing = true,
	                          .type = CARD_SMALL};
	enum status status;

	drawing.corner =
	    (struct canvas_point){left + DRAWING_BAND, top + size->height - DRAWING_BAND};
	drawing_table(&drawing);
	keep_labels_on_bed(&drawing);
	status = draw_everything(&drawing, card);
	if (drawing.labels.memory_out)
		status = STATUS_SYSTEM;
	label_field_free(&drawing.labels);
	return status;
}
