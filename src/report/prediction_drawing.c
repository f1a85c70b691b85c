/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/prediction_drawing.h"

#include <math.h>
#include <stdlib.h>

#include "report/card_area.h"
#include "report/drawing.h"
#include "report/prediction_list.h"
#include "report/protocol_words.h"
#include "report/trace_lines.h"

#define TITLE_BASE 13.5
#define LINE_STEP 4.3
#define DOTS_MOST 400
#define DOT 0.2
#define RING 0.45
#define REST_INSIDE 0.7 /* between the two circles of a ball at rest */
#define STRIP 2.0       /* depth of the strip at a rail */
#define STRIP_LEAST 0.6 /* half the length of the shortest */
#define STRIP_HATCH 0.7
#define SHOWN_SHARE 0.05 /* of the plays, for a strip or an outline */
#define LEGEND_SAMPLE 7.0

static const struct canvas_pen thin = {DRAWING_THIN, CANVAS_SOLID};
static const struct canvas_pen middle = {DRAWING_MIDDLE, CANVAS_SOLID};

static struct canvas_point place_flat(const struct drawing *drawing, double x, double y)
{
	return drawing_place(drawing, vector3_make(x, y, 0.0));
}

/* The mark of a rest: filled for the cue ball, a ring for the object ball, a short line for the
 * second. */
static void draw_dot(const struct drawing *drawing, int ball, struct canvas_point at)
{
	if (ball == BALL_CUE)
		canvas_circle(drawing->canvas, at, DOT,
		              (struct canvas_pen){2.0 * DOT, CANVAS_SOLID});
	else if (ball == BALL_OBJECT)
		canvas_circle(drawing->canvas, at, RING,
		              (struct canvas_pen){DRAWING_HAIR, CANVAS_SOLID});
	else
		canvas_line(drawing->canvas, (struct canvas_point){at.x - RING, at.y},
		            (struct canvas_point){at.x + RING, at.y}, thin);
}

static void draw_dots(const struct drawing *drawing, int role, const struct predicted_ball *ball)
{
	for (size_t i = 0; i < ball->rests && i < DOTS_MOST; i++)
		draw_dot(drawing, role, place_flat(drawing, ball->places[i].x, ball->places[i].y));
}

static bool shows(size_t count, const struct prediction *prediction)
{
	return (double)count >= SHOWN_SHARE * (double)prediction->played;
}

/* Whether the places where a ball rests differ so that it can be seen. */
static bool spreads(const struct drawing *drawing, const struct predicted_ball *ball)
{
	struct outline_box box = outline_extent(&ball->outline);

	return drawing->scale * fmax(box.right - box.left, box.high - box.low) > 2.0 * DOT;
}

static enum status draw_outline(struct drawing *drawing, const struct predicted_ball *ball)
{
	const struct outline *outline = &ball->outline;
	struct canvas_point *corners = calloc(outline->count + 1, sizeof *corners);

	if (corners == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i <= outline->count; i++) {
		struct outline_point corner = outline->corners[i % outline->count];

		corners[i] = place_flat(drawing, corner.x, corner.y);
	}
	canvas_lines(drawing->canvas, corners, outline->count + 1, middle);
	for (size_t i = 0; i < outline->count; i++)
		label_field_add_line(&drawing->labels, corners[i], corners[i + 1]);
	free(corners);
	return STATUS_OK;
}

static enum status draw_spread(struct drawing *drawing, const struct prediction *prediction)
{
	enum status status = STATUS_OK;

	for (int i = 0; i < BALL_ROLES && status == STATUS_OK; i++) {
		const struct predicted_ball *ball = &prediction->balls[i];

		if (!prediction->traced.setup.present[i] || ball->outline.count == 0 ||
		    !spreads(drawing, ball))
			continue;
		draw_dots(drawing, i, ball);
		if (shows(ball->rests, prediction))
			status = draw_outline(drawing, ball);
	}
	return status;
}

static bool shows_strip(const struct prediction *prediction,
                        const struct predicted_reading *reading)
{
	return reading->rail != RAIL_COUNT && shows(reading->rails[reading->rail], prediction);
}

/* A place at a nose [m]: `along` the rail in diamonds, `deep` inside. */
static struct canvas_point nose_place(const struct drawing *drawing, enum rail rail, double along,
                                      double deep)
{
	const struct table *table = drawing->table;
	double far = rail == RAIL_RIGHT ? table->width : rail == RAIL_FOOT ? table->length : 0.0;
	double in = far > 0.0 ? far - deep : deep;

	return rail_is_long(rail) ? place_flat(drawing, in, table_long_to_metres(table, along))
	                          : place_flat(drawing, table_short_to_metres(table, along), in);
}

static void draw_strip(struct drawing *drawing, const struct predicted_reading *reading)
{
	const struct table *table = drawing->table;
	double metre = rail_is_long(reading->rail) ? table_long_to_diamonds(table, 1.0)
	                                           : table_short_to_diamonds(table, 1.0);
	double least = STRIP_LEAST / drawing->scale * metre, deep = STRIP / drawing->scale;
	double centre = 0.5 * (reading->span.low95 + reading->span.high95);
	double half = fmax(least, 0.5 * (reading->span.high95 - reading->span.low95));
	struct canvas_point corners[5];

	for (int i = 0; i < 5; i++)
		corners[i] = nose_place(drawing, reading->rail, centre + (i % 4 < 2 ? -half : half),
		                        i % 4 == 0 || i % 4 == 3 ? 0.0 : deep);
	canvas_hatch_polygon(drawing->canvas, corners, 4, STRIP_HATCH, M_PI_4, thin);
	canvas_lines(drawing->canvas, corners, 5, thin);
	for (int i = 0; i < 4; i++)
		label_field_add_line(&drawing->labels, corners[i], corners[i + 1]);
}

static void draw_strips(struct drawing *drawing, const struct prediction *prediction)
{
	for (size_t i = 0; i < prediction->reading_count; i++)
		if (shows_strip(prediction, &prediction->readings[i]))
			draw_strip(drawing, &prediction->readings[i]);
}

static void name_strips(struct drawing *drawing, const struct prediction *prediction)
{
	for (size_t i = 0; i < prediction->reading_count; i++) {
		const struct predicted_reading *reading = &prediction->readings[i];
		struct quantity quantity = quantity_at(reading->quantity);
		struct text words = {0};

		if (!shows_strip(prediction, reading))
			continue;
		text_print(&words, "%s %s", ball_role_name(quantity.ball),
		           protocol_words_ordinal(quantity.number));
		card_label(drawing,
		           nose_place(drawing, reading->rail,
		                      0.5 * (reading->span.low95 + reading->span.high95),
		                      0.5 * STRIP / drawing->scale),
		           0.5 * STRIP, text_bytes(&words));
		text_free(&words);
	}
}

static void draw_ball(struct drawing *drawing, struct canvas_point at, double radius, bool at_rest)
{
	canvas_circle(drawing->canvas, at, radius, thin);
	if (at_rest)
		canvas_circle(drawing->canvas, at, radius - REST_INSIDE, thin);
	label_field_add_circle(&drawing->labels, at, radius);
}

static void draw_balls(struct drawing *drawing, const struct prediction *prediction)
{
	const struct traced_shot *shot = &prediction->traced;

	for (int i = 0; i < BALL_ROLES; i++) {
		double radius = drawing->scale * shot->setup.bodies[i].radius;
		bool moved = traced_shot_moved(shot, (enum ball_role)i);

		if (!shot->setup.present[i])
			continue;
		draw_ball(drawing, drawing_place(drawing, shot->setup.balls[i].position), radius,
		          !moved);
		if (moved && !shot->record.ends[i].pocketed)
			draw_ball(drawing, drawing_place(drawing, shot->record.ends[i].position),
			          radius, true);
	}
}

static void name_balls(struct drawing *drawing, const struct prediction *prediction)
{
	const struct traced_shot *shot = &prediction->traced;

	for (int i = 0; i < BALL_ROLES; i++) {
		const char *name = ball_role_name((enum ball_role)i);
		double radius = drawing->scale * shot->setup.bodies[i].radius;

		if (!shot->setup.present[i])
			continue;
		card_label(drawing, drawing_place(drawing, shot->setup.balls[i].position), radius,
		           name);
		if (traced_shot_moved(shot, (enum ball_role)i) && !shot->record.ends[i].pocketed) {
			struct text words = {0};

			text_print(&words, "%s stops", name);
			card_label(drawing, drawing_place(drawing, shot->record.ends[i].position),
			           radius, text_bytes(&words));
			text_free(&words);
		}
	}
}

static void write_line(struct drawing *drawing, int line, double size, struct text *words)
{
	struct canvas_point at = {DRAWING_LEFT, TITLE_BASE + LINE_STEP * line};

	drawing_words_within(drawing, at, size, DRAWING_RIGHT - DRAWING_LEFT, text_bytes(words));
	drawing->labels.memory_out = drawing->labels.memory_out || words->failed;
	text_free(words);
}

static void draw_title(struct drawing *drawing, const struct prediction_set *set,
                       const struct prediction *prediction)
{
	const struct shot_design *design = prediction->design;
	struct text title = {0}, stroke = {0}, source = {0};

	text_print(&title, "Where the balls go: shot %s%s%s", design->key,
	           design->title[0] != '\0' ? ", " : "", design->title);
	write_line(drawing, 0, DRAWING_TITLE, &title);
	text_print(&stroke, "%s: ", set->player ? "As a person plays it" : "Exactly as designed");
	protocol_words_launch(&design->launch, &stroke);
	write_line(drawing, 1, DRAWING_TEXT, &stroke);
	text_print(&source,
	           "Protocol %s, profile %s. Table %s, %.3f m × %.3f m nose to nose%s. %zu "
	           "plays, seed %llu.",
	           set->protocol->name, set->profile_file, set->profile->table.preset,
	           set->profile->table.length, set->profile->table.width,
	           set->profile->table.pockets ? "" : ", no pockets", prediction->played,
	           (unsigned long long)set->seed);
	prediction_words_priors(set, " Not determined: ", &source);
	write_line(drawing, 2, DRAWING_TEXT, &source);
}

/* One sample's words; returns where the next may begin. */
static double explain(struct drawing *drawing, double x, double y, const char *words)
{
	canvas_words(drawing->canvas,
	             (struct canvas_point){x + 1.2, y + 0.5 * CANVAS_CAPITAL * DRAWING_TEXT},
	             DRAWING_TEXT, CANVAS_LEFT, words);
	return x + 1.2 + canvas_words_width(drawing->canvas, DRAWING_TEXT, words) + 3.5;
}

static void draw_legend(struct drawing *drawing, const struct prediction *prediction, double y)
{
	double x = DRAWING_LEFT, radius = 1.7;
	struct canvas_point box[] = {
	    {0.0, y - 1.0}, {0.0, y + 1.0}, {0.0, y + 1.0}, {0.0, y - 1.0}};

	canvas_line(drawing->canvas, (struct canvas_point){x, y},
	            (struct canvas_point){x + LEGEND_SAMPLE, y}, trace_lines_pen(TRACE_ROLLING));
	x = explain(drawing, x + LEGEND_SAMPLE, y, "path as designed");
	draw_ball(drawing, (struct canvas_point){x + radius, y}, radius, true);
	x = explain(drawing, x + 2.0 * radius, y, "rest as designed");
	x = explain(drawing, x - 1.2, y, "rests, one play each:");
	for (int i = 0; i < BALL_ROLES; i++) {
		if (!prediction->traced.setup.present[i])
			continue;
		draw_dot(drawing, i, (struct canvas_point){x + RING, y});
		x = explain(drawing, x + 2.0 * RING, y, ball_role_name((enum ball_role)i));
	}
	canvas_line(drawing->canvas, (struct canvas_point){x, y},
	            (struct canvas_point){x + LEGEND_SAMPLE, y}, middle);
	x = explain(drawing, x + LEGEND_SAMPLE, y, "95 of 100 rests");
	box[0].x = box[1].x = x;
	box[2].x = box[3].x = x + 5.0;
	canvas_hatch_polygon(drawing->canvas, box, 4, STRIP_HATCH, M_PI_4, thin);
	x = explain(drawing, x + 5.0, y, "95 of 100 at a rail");
	drawing_scale_bar(drawing, (struct canvas_point){x, y});
}

static enum status draw_sheet(struct canvas *canvas, const struct prediction_set *set,
                              const struct prediction *prediction)
{
	struct drawing drawing;
	enum status status;

	drawing_begin(&drawing, canvas, &set->profile->table);
	draw_title(&drawing, set, prediction);
	draw_strips(&drawing, prediction);
	status = draw_spread(&drawing, prediction);
	draw_balls(&drawing, prediction);
	for (int i = 0; i < BALL_ROLES && status == STATUS_OK; i++)
		status = trace_lines_draw(&drawing, &prediction->traced.paths[i]);
	if (status == STATUS_OK) {
		name_balls(&drawing, prediction);
		name_strips(&drawing, prediction);
		draw_legend(&drawing, prediction, drawing.below + 4.4);
		prediction_list_draw(&drawing, prediction, drawing.below + 10.0);
	}
	if (drawing.labels.memory_out)
		status = STATUS_SYSTEM;
	label_field_free(&drawing.labels);
	return status;
}

enum status prediction_drawing_print(const struct prediction_set *set, size_t first, size_t count,
                                     enum canvas_format format, struct text *out)
{
	struct canvas *canvas = canvas_create(format, DRAWING_WIDTH, DRAWING_HEIGHT);
	enum status status = STATUS_OK, finished;

	if (canvas == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < count && status == STATUS_OK; i++) {
		if (i > 0)
			canvas_next_sheet(canvas);
		status = draw_sheet(canvas, set, &set->shots[first + i]);
	}
	finished = canvas_finish(canvas, out);
	return status == STATUS_OK ? finished : status;
}
