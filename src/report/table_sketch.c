/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/table_sketch.h"

#include <math.h>
#include <string.h>

#include "estimate/stroke_model.h"
#include "report/protocol_words.h"

#define PER_LONG 5  /* columns of a diamond along */
#define PER_SHORT 2 /* rows of a diamond across */
#define COLUMNS (8 * PER_LONG + 1)
#define ROWS (4 * PER_SHORT + 1)
#define MARGIN 7 /* before the table: the head rail's name and the numbers of the short diamonds */
#define PANEL_COLUMN 55
#define PANEL_COLUMNS (TABLE_SKETCH_COLUMNS - PANEL_COLUMN)
#define STEP 0.05 /* of the aim line [diamonds across] */

struct sketch {
	char cell[ROWS][COLUMNS + 1];
};

struct cell {
	int row, column;
};

char table_sketch_letter(enum ball_role role)
{
	static const char letters[BALL_ROLES] = {
	    [BALL_CUE] = 'C', [BALL_OBJECT] = 'O', [BALL_OBJECT2] = '2'};

	return letters[role];
}

/* The frame stands on the noses; a name stands over the middle of each long rail. */
static void draw_frame(struct sketch *sketch)
{
	for (int row = 0; row < ROWS; row++) {
		bool rail = row == 0 || row == ROWS - 1;

		memset(sketch->cell[row], rail ? '-' : ' ', COLUMNS);
		sketch->cell[row][COLUMNS] = '\0';
		for (int column = 0; rail && column < COLUMNS; column += PER_LONG)
			sketch->cell[row][column] = '+';
		sketch->cell[row][0] = row % PER_SHORT == 0 ? '+' : '|';
		sketch->cell[row][COLUMNS - 1] = sketch->cell[row][0];
	}
	memcpy(sketch->cell[0] + COLUMNS / 2 - 3, " left ", 6);
	memcpy(sketch->cell[ROWS - 1] + COLUMNS / 2 - 3, " right ", 7);
}

/* The cell inside the frame that is nearest to a point of the table [m]. */
static struct cell find_cell(const struct table *table, double x, double y)
{
	int column = (int)lround(table_long_to_diamonds(table, y) * PER_LONG);
	int row = (int)lround(table_short_to_diamonds(table, x) * PER_SHORT);

	return (struct cell){row < 1          ? 1
	                     : row > ROWS - 2 ? ROWS - 2
	                                      : row,
	                     column < 1             ? 1
	                     : column > COLUMNS - 2 ? COLUMNS - 2
	                                            : column};
}

static bool is_on_table(const struct table *table, double x, double y)
{
	return x >= 0.0 && x <= table->width && y >= 0.0 && y <= table->length;
}

/* Length of the aim line [m]: to the nose, or to beside the ball that is aimed at. */
static double aim_length(const struct stroke_scene *scene, double dx, double dy)
{
	const struct aim *aim = &scene->design->aim;
	const struct shot_setup *setup = &scene->setup;

	if (aim->kind != AIM_BALL)
		return hypot(scene->table->length, scene->table->width);
	return (setup->balls[aim->ball].position.x - setup->balls[BALL_CUE].position.x) * dx +
	       (setup->balls[aim->ball].position.y - setup->balls[BALL_CUE].position.y) * dy;
}

static void draw_aim(struct sketch *sketch, const struct stroke_scene *scene)
{
	const struct table *table = scene->table;
	double x = scene->setup.balls[BALL_CUE].position.x;
	double y = scene->setup.balls[BALL_CUE].position.y;
	double dx = cos(scene->setup.aim), dy = sin(scene->setup.aim);
	double step = STEP * table->width / TABLE_DIAMONDS_SHORT;
	double length = aim_length(scene, dx, dy);

	for (double way = 0.0; way < length; way += step) {
		struct cell cell = find_cell(table, x + way * dx, y + way * dy);

		if (!is_on_table(table, x + way * dx, y + way * dy))
			break;
		if (sketch->cell[cell.row][cell.column] == ' ')
			sketch->cell[cell.row][cell.column] = '.';
	}
}

static bool is_ball(char character)
{
	return character != ' ' && character != '.';
}

/* Two balls that touch may fall into one cell: the later one goes to the side on which it is. */
static void draw_ball(struct sketch *sketch, const struct stroke_scene *scene, enum ball_role role)
{
	const struct vector3 *at = &scene->setup.balls[role].position;
	const struct vector3 *cue = &scene->setup.balls[BALL_CUE].position;
	struct cell cell = find_cell(scene->table, at->x, at->y);

	if (is_ball(sketch->cell[cell.row][cell.column])) {
		bool along = fabs(at->y - cue->y) >= fabs(at->x - cue->x);
		double away = along ? at->y - cue->y : at->x - cue->x;
		int *place = along ? &cell.column : &cell.row;
		int last = along ? COLUMNS - 2 : ROWS - 2;

		*place += (away >= 0.0 && *place < last) || *place <= 1 ? 1 : -1;
	}
	sketch->cell[cell.row][cell.column] = table_sketch_letter(role);
}

/* Adds words to the panel, in lines of its width, the first begun by so many blanks. */
static void add_panel(struct text *panel, size_t indent, const char *words)
{
	size_t column = 0;

	text_add(panel, indent > 0 ? "  " : "");

	while (*words != '\0') {
		size_t length = strcspn(words, " ");

		if (column > 0 && indent + column + 1 + length > PANEL_COLUMNS) {
			text_add(panel, "\n  ");
			indent = 2;
			column = 0;
		} else if (column > 0) {
			text_add(panel, " ");
			column++;
		}
		text_add_bytes(panel, words, length);
		column += length;
		words += length + strspn(words + length, " ");
	}
	text_add(panel, "\n");
}

static void make_panel(const struct shot_design *design, struct text *panel)
{
	for (int role = 0; role < BALL_ROLES; role++) {
		struct text words = {0};

		if (!design->place[role].present)
			continue;
		text_print(&words, "%c %s:", table_sketch_letter((enum ball_role)role),
		           protocol_words_ball((enum ball_role)role));
		add_panel(panel, 0, text_bytes(&words));
		text_free(&words);
		protocol_words_place(&design->place[role], &words);
		add_panel(panel, 2, text_bytes(&words));
		text_free(&words);
	}
	text_add(panel, ". line of aim\n");
}

static void print_row(const struct sketch *sketch, int row, const char **panel, struct text *out)
{
	bool middle = row == ROWS / 2;
	size_t length = strcspn(*panel, "\n");

	text_add(out, middle ? "head " : "     ");
	if (row % PER_SHORT == 0)
		text_print(out, "%d ", row / PER_SHORT);
	else
		text_add(out, "  ");
	text_add(out, sketch->cell[row]);
	if (length > 0) {
		text_print(out, "%s  ", middle ? " foot" : "     ");
		text_add_bytes(out, *panel, length);
	} else if (middle) {
		text_add(out, " foot");
	}
	text_add(out, "\n");
	*panel += length + ((*panel)[length] == '\n');
}

static void print_numbers(struct text *out)
{
	text_print(out, "%*s", MARGIN, "");
	for (int diamond = 0; diamond < 8; diamond++)
		text_print(out, "%-*d", PER_LONG, diamond);
	text_add(out, "8\n");
}

enum status table_sketch_print(const struct shot_design *design, const struct session *session,
                               struct text *out, const char **why)
{
	struct sketch sketch;
	struct stroke_scene scene;
	struct text panel = {0};
	const char *lines;

	if (!stroke_scene_make(&scene, design, session, NULL, design->measure, why))
		return STATUS_INPUT;
	draw_frame(&sketch);
	for (int role = 0; role < BALL_ROLES; role++)
		if (scene.setup.present[role])
			draw_ball(&sketch, &scene, (enum ball_role)role);
	draw_aim(&sketch, &scene);
	make_panel(design, &panel);
	lines = text_bytes(&panel);
	print_numbers(out);
	for (int row = 0; row < ROWS; row++)
		print_row(&sketch, row, &lines, out);
	out->failed = out->failed || panel.failed;
	text_free(&panel);
	return STATUS_OK;
}
