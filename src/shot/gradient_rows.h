/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_GRADIENT_ROWS_H
#define RESTPOINT_SHOT_GRADIENT_ROWS_H

#include "shot/gradient.h"

/* Arithmetic of rows of derivatives, over the first n pairs of directions. Internal to src/shot. */

/* Pairs that hold the directions of a gradient. */
static inline int gradient_pairs(const struct shot_gradient *gradient)
{
	return (gradient->count + 1) / 2;
}

static inline void row_zero(struct gradient_row *row, int n)
{
	for (int j = 0; j < n; j++)
		row->pair[j] = (direction_pair){0.0, 0.0};
}

static inline void row_copy(struct gradient_row *to, const struct gradient_row *from, int n)
{
	for (int j = 0; j < n; j++)
		to->pair[j] = from->pair[j];
}

/* row += factor * other */
static inline void row_add(struct gradient_row *row, double factor,
                           const struct gradient_row *other, int n)
{
	for (int j = 0; j < n; j++)
		row->pair[j] += factor * other->pair[j];
}

#endif
