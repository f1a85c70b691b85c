/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/drawing_labels.h"

#include <math.h>
#include <stdlib.h>

#define DIRECTIONS 24
#define DISTANCES 14
#define DISTANCE_STEP 0.9 /* [mm] */
#define FAR 3.5           /* beyond the least distance [mm] */
#define AIR 0.65          /* around a label [mm] */
#define AIR_LABELS 0.4    /* besides, between two labels [mm] */

/* What is worse than what: costs per millimetre. */
#define COST_OUTSIDE 1000.0
#define COST_BOX 30.0
#define COST_LINE 10.0
#define COST_DISTANCE 0.5
#define COST_RIVAL 8.0 /* for each nearer one */
#define RIVAL_FARTHER 1.5 /* is clearly farther [mm] */
#define SAME_POINT 0.1

void label_field_free(struct label_field *field)
{
	free(field->lines);
	free(field->boxes);
	*field = (struct label_field){.line_count = 0};
}

/* Makes room for one more; NULL when memory is out. */
static void *grow(struct label_field *field, void *items, size_t count, size_t *capacity,
                  size_t size)
{
	size_t wanted = *capacity == 0 ? 64 : 2 * *capacity;
	void *grown;

	if (count < *capacity)
		return items;
	grown = realloc(items, wanted * size);
	if (grown == NULL) {
		field->memory_out = true;
		return NULL;
	}
	*capacity = wanted;
	return grown;
}

void label_field_add_line(struct label_field *field, struct canvas_point from,
                          struct canvas_point to)
{
	struct label_line *lines = grow(field, field->lines, field->line_count,
	                                &field->line_capacity, sizeof *lines);

	if (lines == NULL)
		return;
	field->lines = lines;
	field->lines[field->line_count++] = (struct label_line){from, to};
}

void label_field_add_circle(struct label_field *field, struct canvas_point centre, double radius)
{
	enum { SIDES = 12 };
	struct canvas_point before = {centre.x + radius, centre.y};

	for (int i = 1; i <= SIDES; i++) {
		double angle = 2.0 * M_PI * i / SIDES;
		struct canvas_point next = {centre.x + radius * cos(angle),
		                            centre.y + radius * sin(angle)};

		label_field_add_line(field, before, next);
		before = next;
	}
}

void label_field_add_box(struct label_field *field, struct label_box box)
{
	struct label_box *boxes = grow(field, field->boxes, field->box_count,
	                               &field->box_capacity, sizeof *boxes);

	if (boxes == NULL)
		return;
	field->boxes = boxes;
	field->boxes[field->box_count++] = box;
}

void label_field_add_rival(struct label_field *field, struct canvas_point at)
{
	if (field->rival_count < LABEL_RIVALS)
		field->rivals[field->rival_count++] = at;
}

/* Cuts the shares [*from, *to] of a line down to where start + share * step lies in [low, high]. */
static void clip(double start, double step, double low, double high, double *from, double *to)
{
	double first, last;

	if (step == 0.0) {
		if (start < low || start > high)
			*to = *from;
		return;
	}
	first = (low - start) / step;
	last = (high - start) / step;
	*from = fmax(*from, fmin(first, last));
	*to = fmin(*to, fmax(first, last));
}

/* Length of a line inside a box, and something for one that is a mere point in it. */
static double covered_line(const struct label_line *line, const struct label_box *box)
{
	double x = line->to.x - line->from.x, y = line->to.y - line->from.y;
	double from = 0.0, to = 1.0;

	clip(line->from.x, x, box->left, box->right, &from, &to);
	clip(line->from.y, y, box->top, box->bottom, &from, &to);
	return to > from ? (to - from) * hypot(x, y) + 0.05 : 0.0;
}

static double covered_box(const struct label_box *a, const struct label_box *b)
{
	double x = fmin(a->right, b->right) - fmax(a->left, b->left);
	double y = fmin(a->bottom, b->bottom) - fmax(a->top, b->top);

	return x > 0.0 && y > 0.0 ? x + y : 0.0;
}

static double outside(const struct label_box *box, const struct label_box *limits)
{
	return fmax(0.0, limits->left - box->left) + fmax(0.0, box->right - limits->right) +
	       fmax(0.0, limits->top - box->top) + fmax(0.0, box->bottom - limits->bottom);
}

static double cost_of(const struct label_field *field, struct label_box box)
{
	double cost = COST_OUTSIDE * outside(&box, &field->limits);

	box = (struct label_box){box.left - AIR, box.top - AIR, box.right + AIR,
	                         box.bottom + AIR};
	for (size_t i = 0; i < field->line_count; i++)
		cost += COST_LINE * covered_line(&field->lines[i], &box);
	box = (struct label_box){box.left - AIR_LABELS, box.top - AIR_LABELS,
	                         box.right + AIR_LABELS, box.bottom + AIR_LABELS};
	for (size_t i = 0; i < field->box_count; i++)
		cost += COST_BOX * covered_box(&field->boxes[i], &box);
	return cost;
}

static double box_distance(const struct label_box *box, struct canvas_point at)
{
	double x = fmax(0.0, fmax(box->left - at.x, at.x - box->right));
	double y = fmax(0.0, fmax(box->top - at.y, at.y - box->bottom));

	return hypot(x, y);
}

/* What it costs that a label for a point could be taken to name something else. */
static double cost_of_doubt(const struct label_field *field, const struct label_box *box,
                            struct canvas_point at)
{
	double own = box_distance(box, at), cost = 0.0;

	for (size_t i = 0; i < field->rival_count; i++) {
		struct canvas_point rival = field->rivals[i];

		if (hypot(rival.x - at.x, rival.y - at.y) > SAME_POINT &&
		    box_distance(box, rival) < own + RIVAL_FARTHER)
			cost += COST_RIVAL;
	}
	return cost;
}

/* A box in that direction from the point, at least that far from it. */
static struct label_box box_beside(struct canvas_point at, double width, double height,
                                   double angle, double distance)
{
	double x = cos(angle), y = sin(angle), along = distance;
	struct label_box box;

	/* The nearest place of a box aslant is beside the direction: a few steps outward. */
	for (int i = 0; i < 4; i++) {
		double left = at.x + along * x - 0.5 * width * (1.0 - x);
		double top = at.y + along * y - 0.5 * height * (1.0 - y);

		box = (struct label_box){left, top, left + width, top + height};
		along += fmax(0.0, distance - box_distance(&box, at));
	}
	return box;
}

struct label_box label_field_place(struct label_field *field, struct canvas_point at, double width,
                                   double height, double clear, bool *far)
{
	struct label_box best = box_beside(at, width, height, 0.0, clear);
	double least = HUGE_VAL;

	*far = false;
	for (int step = 0; step < DISTANCES; step++)
		for (int i = 0; i < DIRECTIONS; i++) {
			double beyond = DISTANCE_STEP * step;
			struct label_box box = box_beside(at, width, height,
			                                  2.0 * M_PI * (i + 0.5) / DIRECTIONS,
			                                  clear + beyond);
			double cost = cost_of(field, box) + cost_of_doubt(field, &box, at) +
			              COST_DISTANCE * beyond;

			if (cost >= least)
				continue;
			least = cost;
			best = box;
			*far = beyond >= FAR;
		}
	label_field_add_box(field, best);
	return best;
}
