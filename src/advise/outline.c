/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/outline.h"

#include <math.h>
#include <stdlib.h>

#define ROUNDS 12
#define LEAST_VARIANCE 1e-18 /* a spread of nothing still has an inverse */

struct spread {
	double x, y;       /* mean */
	double xx, xy, yy; /* inverse of the covariance */
};

struct ranked {
	double distance;
	struct outline_point point;
};

static struct spread spread_of(const struct ranked *items, size_t count)
{
	struct spread spread = {0};
	double xx = 0.0, xy = 0.0, yy = 0.0, determinant, n = (double)count;

	for (size_t i = 0; i < count; i++) {
		spread.x += items[i].point.x / n;
		spread.y += items[i].point.y / n;
	}
	for (size_t i = 0; i < count; i++) {
		double x = items[i].point.x - spread.x, y = items[i].point.y - spread.y;

		xx += x * x / n;
		xy += x * y / n;
		yy += y * y / n;
	}
	/* Points on one line have no inverse: a millionth of their spread across it makes one. */
	xx += 1e-12 * (xx + yy) + LEAST_VARIANCE;
	yy += 1e-12 * (xx + yy) + LEAST_VARIANCE;
	determinant = xx * yy - xy * xy;
	spread.xx = yy / determinant;
	spread.xy = -xy / determinant;
	spread.yy = xx / determinant;
	return spread;
}

static int compare_distance(const void *first, const void *second)
{
	const struct ranked *a = first, *b = second;

	if (a->distance != b->distance)
		return a->distance < b->distance ? -1 : 1;
	if (a->point.x != b->point.x)
		return a->point.x < b->point.x ? -1 : 1;
	return a->point.y < b->point.y ? -1 : a->point.y > b->point.y;
}

static int compare_place(const void *first, const void *second)
{
	const struct ranked *a = first, *b = second;

	if (a->point.x != b->point.x)
		return a->point.x < b->point.x ? -1 : 1;
	return a->point.y < b->point.y ? -1 : a->point.y > b->point.y;
}

/* Puts the bulk in front. */
static void rank(struct ranked *items, size_t count, size_t kept)
{
	size_t bulk = count;

	for (int round = 0; round < ROUNDS; round++) {
		struct spread spread = spread_of(items, bulk);

		for (size_t i = 0; i < count; i++) {
			double x = items[i].point.x - spread.x, y = items[i].point.y - spread.y;

			items[i].distance =
			    spread.xx * x * x + 2.0 * spread.xy * x * y + spread.yy * y * y;
		}
		qsort(items, count, sizeof *items, compare_distance);
		bulk = kept;
	}
}

/* Twice the area of the triangle, positive counter-clockwise. */
static double turn(struct outline_point a, struct outline_point b, struct outline_point c)
{
	return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/* One side of the hull behind the `from` corners found so far (Andrew, Inf. Process. Lett. 9, 216
 * (1979)). */
static size_t add_corner(struct outline_point *corners, size_t from, size_t count,
                         struct outline_point point)
{
	while (count >= from + 2 && turn(corners[count - 2], corners[count - 1], point) <= 0.0)
		count--;
	corners[count] = point;
	return count + 1;
}

/* items: sorted by place. */
static void find_hull(const struct ranked *items, size_t count, struct outline *outline)
{
	size_t found = 0, lower;

	for (size_t i = 0; i < count; i++)
		found = add_corner(outline->corners, 0, found, items[i].point);
	lower = found - 1;
	for (size_t i = count - 1; i-- > 0;)
		found = add_corner(outline->corners, lower, found, items[i].point);
	/* The first comes again at the end; where all points are one, it stands there alone. */
	outline->count = found > 1 ? found - 1 : found;
	if (outline->count == 2 && outline->corners[0].x == outline->corners[1].x &&
	    outline->corners[0].y == outline->corners[1].y)
		outline->count = 1;
}

enum status outline_make(const struct outline_point *points, size_t count, double share,
                         struct outline *outline)
{
	struct ranked *items;

	*outline = (struct outline){.count = 0};
	if (count == 0)
		return STATUS_OK;
	items = calloc(count, sizeof *items);
	outline->corners = calloc(2 * count + 2, sizeof *outline->corners);
	if (items == NULL || outline->corners == NULL) {
		free(items);
		return STATUS_SYSTEM;
	}
	for (size_t i = 0; i < count; i++)
		items[i].point = points[i];
	outline->kept = (size_t)fmin((double)count, fmax(1.0, ceil(share * (double)count - 1e-9)));
	rank(items, count, outline->kept);
	qsort(items, outline->kept, sizeof *items, compare_place);
	find_hull(items, outline->kept, outline);
	free(items);
	outline->kept = 0;
	for (size_t i = 0; i < count; i++)
		outline->kept += outline_holds(outline, points[i]) ? 1 : 0;
	return STATUS_OK;
}

void outline_free(struct outline *outline)
{
	free(outline->corners);
	*outline = (struct outline){.count = 0};
}

static bool on_line(struct outline_point a, struct outline_point b, struct outline_point point)
{
	return turn(a, b, point) == 0.0 && fmin(a.x, b.x) <= point.x && point.x <= fmax(a.x, b.x) &&
	       fmin(a.y, b.y) <= point.y && point.y <= fmax(a.y, b.y);
}

bool outline_holds(const struct outline *outline, struct outline_point point)
{
	if (outline->count < 3)
		return outline->count > 0 &&
		       on_line(outline->corners[0], outline->corners[outline->count - 1], point);
	for (size_t i = 0; i < outline->count; i++) {
		struct outline_point next = outline->corners[(i + 1) % outline->count];

		if (turn(outline->corners[i], next, point) < 0.0)
			return false;
	}
	return true;
}

double outline_area(const struct outline *outline)
{
	double area = 0.0;

	for (size_t i = 2; i < outline->count; i++)
		area +=
		    0.5 * turn(outline->corners[0], outline->corners[i - 1], outline->corners[i]);
	return area;
}

struct outline_box outline_extent(const struct outline *outline)
{
	struct outline_box box = {0};

	if (outline->count == 0)
		return box;
	box = (struct outline_box){HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL};
	for (size_t i = 0; i < outline->count; i++) {
		struct outline_point corner = outline->corners[i];

		box.left = fmin(box.left, corner.x);
		box.right = fmax(box.right, corner.x);
		box.low = fmin(box.low, corner.y);
		box.high = fmax(box.high, corner.y);
	}
	return box;
}
