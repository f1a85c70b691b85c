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

struct mixture_draw {
	double log_weight;
	int solution;
	double *residuals; /* count */
	double *slopes;    /* count * felt: of the residuals by the outer unknowns, own ones moving */
	double *own;       /* active */
};

struct stroke_mixture {
	size_t count;                /* residuals */
	size_t felt;                 /* outer unknowns that the stroke feels */
	int outer[STROKE_OUTER];     /* their places among the outer unknowns of the fit */
	double point[STROKE_OUTER];  /* where they stood */
	size_t active;               /* own unknowns, at most, of a solution */
	int solution_count;
	double *shifts;              /* per solution active * felt: how its own unknowns move */
	size_t draw_count;
	struct mixture_draw *draws;
	double floor;                /* log of what a stroke is worth that is not what it should be */
	double *space;               /* holds them all */
};

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
