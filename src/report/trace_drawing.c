/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/trace_drawing.h"

#include <math.h>

#include "report/drawing.h"
#include "report/protocol_words.h"
#include "report/trace_lines.h"
#include "report/trace_marks.h"

#define TITLE_BASE 13.5
#define LINE_STEP 4.3
#define LEGEND_SAMPLE 11.0
#define REST_INSIDE 0.7 /* between the two circles of a ball at rest */

/* A ball where it starts, or with a second circle where it stops. No label goes inside. */
static void draw_ball(struct drawing *drawing, struct canvas_point at, double radius, bool at_rest)
{
	struct canvas_pen pen = {DRAWING_THIN, CANVAS_SOLID};
	double inner = radius * M_SQRT1_2;

	canvas_circle(drawing->canvas, at, radius, pen);
	if (at_rest)
		canvas_circle(drawing->canvas, at, radius - REST_INSIDE, pen);
	label_field_add_circle(&drawing->labels, at, radius);
	label_field_add_box(&drawing->labels, (struct label_box){at.x - inner, at.y - inner,
	                                                         at.x + inner, at.y + inner});
}

static void name_ball(struct drawing *drawing, struct canvas_point at, double radius,
                      const char *name, const char *what)
{
	double height = CANVAS_CAPITAL * DRAWING_TEXT;
	struct text words = {0};
	struct label_box box;
	bool far;

	text_print(&words, "%s%s", name, what);
	box = label_field_place(&drawing->labels, at,
	                        canvas_words_width(drawing->canvas, DRAWING_TEXT, text_bytes(&words)),
	                        height, radius + 0.9, &far);
	canvas_words(drawing->canvas, (struct canvas_point){box.left, box.bottom}, DRAWING_TEXT,
	             CANVAS_LEFT, text_bytes(&words));
	text_free(&words);
}

static bool rests_on_table(const struct traced_shot *shot, enum ball_role ball)
{
	return traced_shot_moved(shot, ball) && !shot->record.ends[ball].pocketed;
}

static void draw_balls(struct drawing *drawing, const struct traced_shot *shot)
{
	for (int i = 0; i < BALL_ROLES; i++) {
		double radius = drawing->scale * shot->setup.bodies[i].radius;

		struct canvas_point start = drawing_place(drawing, shot->setup.balls[i].position);
		struct canvas_point end = drawing_place(drawing, shot->record.ends[i].position);

		if (!shot->setup.present[i])
			continue;
		draw_ball(drawing, start, radius, !traced_shot_moved(shot, (enum ball_role)i));
		if (rests_on_table(shot, (enum ball_role)i))
			draw_ball(drawing, end, radius, true);
	}
}

static void name_balls(struct drawing *drawing, const struct traced_shot *shot)
{
	for (int i = 0; i < BALL_ROLES; i++) {
		if (shot->setup.present[i])
			label_field_add_rival(&drawing->labels,
			                      drawing_place(drawing, shot->setup.balls[i].position));
		if (rests_on_table(shot, (enum ball_role)i))
			label_field_add_rival(&drawing->labels,
			                      drawing_place(drawing, shot->record.ends[i].position));
	}
	for (int i = 0; i < BALL_ROLES; i++) {
		double radius = drawing->scale * shot->setup.bodies[i].radius;
		const char *name = ball_role_name((enum ball_role)i);

		if (!shot->setup.present[i])
			continue;
		name_ball(drawing, drawing_place(drawing, shot->setup.balls[i].position), radius,
		          name, "");
		if (rests_on_table(shot, (enum ball_role)i))
			name_ball(drawing, drawing_place(drawing, shot->record.ends[i].position),
			          radius, name, " at rest");
	}
}

static void write_line(struct drawing *drawing, int line, double size, struct text *words)
{
	struct canvas_point at = {DRAWING_LEFT, TITLE_BASE + LINE_STEP * line};

	drawing_words_within(drawing, at, size, DRAWING_RIGHT - DRAWING_LEFT, text_bytes(words));
	drawing->labels.memory_out = drawing->labels.memory_out || words->failed;
	text_free(words);
}

static void draw_title(struct drawing *drawing, const struct trace_set *set,
                       const struct traced_shot *shot)
{
	const struct shot_design *design = shot->design;
	struct text title = {0}, stroke = {0}, source = {0};

	text_print(&title, "Protocol %s, shot %s%s%s", set->protocol->name, design->key,
	           design->title[0] != '\0' ? ": " : "", design->title);
	write_line(drawing, 0, DRAWING_TITLE, &title);
	text_add(&stroke, "As designed: ");
	protocol_words_launch(&design->launch, &stroke);
	write_line(drawing, 1, DRAWING_TEXT, &stroke);
	text_print(&source, "Constants from %s. Table %s, %.3f m x %.3f m nose to nose%s.",
	           set->constants_source, set->table->preset, set->table->length,
	           set->table->width, set->table->pockets ? "" : ", no pockets");
	write_line(drawing, 2, DRAWING_TEXT, &source);
}

/* One sample and what it means; returns where the next may begin. */
static double explain(struct drawing *drawing, double x, double y, const char *words)
{
	canvas_words(drawing->canvas,
	             (struct canvas_point){x + 1.5, y + 0.5 * CANVAS_CAPITAL * DRAWING_TEXT},
	             DRAWING_TEXT, CANVAS_LEFT, words);
	return x + 1.5 + canvas_words_width(drawing->canvas, DRAWING_TEXT, words) + 6.0;
}

static void draw_legend(struct drawing *drawing, double y)
{
	static const struct {
		enum trace_phase phase;
		const char *words;
	} lines[] = {{TRACE_SLIDING, "sliding"}, {TRACE_ROLLING, "rolling"},
	             {TRACE_FLYING, "flying"}};
	double x = DRAWING_LEFT, radius = 1.7;

	for (size_t i = 0; i < sizeof(lines) / sizeof(lines[0]); i++) {
		canvas_line(drawing->canvas, (struct canvas_point){x, y},
		            (struct canvas_point){x + LEGEND_SAMPLE, y}, trace_lines_pen(lines[i].phase));
		x = explain(drawing, x + LEGEND_SAMPLE, y, lines[i].words);
	}
	draw_ball(drawing, (struct canvas_point){x + radius, y}, radius, false);
	x = explain(drawing, x + 2.0 * radius, y, "ball at the start");
	draw_ball(drawing, (struct canvas_point){x + radius, y}, radius, true);
	x = explain(drawing, x + 2.0 * radius, y, "ball at rest");
	drawing_scale_bar(drawing, (struct canvas_point){x + 4.0, y});
}

enum status trace_drawing_print(const struct trace_set *set, const struct traced_shot *shot,
                                enum canvas_format format, struct text *out)
{
	struct drawing drawing;
	struct trace_marks marks;
	enum status status = drawing_start(&drawing, format, set->table), finished;

	if (status == STATUS_OK) {
		draw_title(&drawing, set, shot);
		draw_balls(&drawing, shot);
	}
	for (int i = 0; i < BALL_ROLES && status == STATUS_OK; i++)
		status = trace_lines_draw(&drawing, &shot->paths[i]);
	if (status == STATUS_OK) {
		trace_marks_choose(shot, &marks);
		trace_marks_draw(&drawing, shot, &marks);
		name_balls(&drawing, shot);
		draw_legend(&drawing, drawing.below + 4.4);
		trace_marks_list(&drawing, &marks, drawing.below + 7.6);
	}
	finished = drawing_finish(&drawing, out);
	return status == STATUS_OK ? finished : status;
}
