/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_STROKE_MIXTURE_H
#define RESTPOINT_ESTIMATE_STROKE_MIXTURE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "estimate/stroke_case.h"

/* The marginal likelihood of one stroke as a smooth function of the outer unknowns (physics.md 6):
 * its own unknowns, integrated out, are stood for by weighted draws made at one point, each of which
 * moves with the outer unknowns as the best own unknowns do, and whose residuals are linear about
 * that point. With one solution and no bend within its spread that is Laplace's method; with several
 * solutions, or a bend, it is importance sampling. Valid near the point; made anew where the
 * answer turns out to be elsewhere. */

/* Two numbers at a time. */
typedef double mixture_pair __attribute__((vector_size(16)));

#define MIXTURE_BLOCK 4 /* pairs of rows that are worked on at once */

/* A row is a residual of a draw, or, last of each draw, what its own unknowns add to half the change
 * of the cost. Rows stand draw after draw, filled up with empty ones to whole blocks. */
struct stroke_mixture {
	size_t count;               /* residuals; a draw has one row more */
	size_t felt;                /* outer unknowns that the stroke feels */
	int outer[STROKE_OUTER];    /* their places among the outer unknowns of the fit */
	double point[STROKE_OUTER]; /* where they stood */
	int solution_count;
	size_t draw_count;
	size_t blocks;
	double *log_weights;  /* of the draws */
	int *solutions;       /* likewise */
	mixture_pair *starts; /* of the rows, where the mixture was made: the residuals, then 0 */
	mixture_pair *slopes; /* of the rows by the outer unknowns, own ones moving: by block, by
	                         unknown, MIXTURE_BLOCK pairs */
	double *moves;        /* per solution felt * felt: what the moves of its own unknowns add
	                         to the cost by themselves, as a quadratic form */
	double floor;         /* log of what a stroke is worth that is not what it should be */
	void *space;          /* holds them all */
};

/* The slope of a row by the outer unknown felt at place m. */
static inline double *stroke_mixture_slope(const struct stroke_mixture *mixture, size_t row,
                                           size_t m)
{
	size_t block = row / (2 * MIXTURE_BLOCK), lane = row % (2 * MIXTURE_BLOCK);

	return (double *)(mixture->slopes + (block * mixture->felt + m) * MIXTURE_BLOCK) + lane;
}

/* Makes the mixture of a stroke at a point from draws of its own unknowns, thinned to a few dozen of
 * about equal weight. stroke->own is the start; own receives the best solution found. False when
 * the stroke cannot be played there or memory is out; release with stroke_mixture_free. */
bool stroke_mixture_make(struct stroke_mixture *mixture, const struct stroke_case *stroke,
                         const struct stroke_point *point, uint64_t seed,
                         double own[OWN_UNKNOWNS]);

void stroke_mixture_free(struct stroke_mixture *mixture);

/* Logarithm of the marginal likelihood at the outer unknowns x of the fit; adds its derivatives to
 * gradient (of the length of x) unless NULL. work: room for
 * stroke_mixture_work numbers.
 * A stroke that is all but impossible counts as one that went wrong: the likelihood does not fall
 * below a floor, so that it then pulls at nothing. *share, unless NULL, receives how likely it is
 * that it did not go wrong. */
double stroke_mixture_log(const struct stroke_mixture *mixture, const double *x, double *gradient,
                          double *work, double *share);

size_t stroke_mixture_work(const struct stroke_mixture *mixture);

/* Adds its part of the normal matrix at its own point to size * size numbers by rows. Positive
 * semidefinite. */
void stroke_mixture_normal(const struct stroke_mixture *mixture, size_t size, double *normal);

#endif
