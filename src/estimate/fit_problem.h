/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_PROBLEM_H
#define RESTPOINT_ESTIMATE_FIT_PROBLEM_H

#include <stdbool.h>
#include <stdint.h>

#include "estimate/fit.h"
#include "estimate/stroke_case.h"

/* The fit as a least-squares problem over the outer unknowns: the constants (standardised on their
 * priors) and what players, ramps and sessions share (standardised as well). Internal to
 * src/estimate. */

/* What an outer unknown beyond the constants is shared by. */
struct shared_parameter {
	enum shared_unknown kind;
	size_t input;       /* file; 0 for what all files share */
	const char *player; /* of speed, height, side, aim */
	const char *shot;   /* of aim: its key; of ramp: its name; of grip: the ball's label */
};

struct fit_problem {
	struct arena *arena;
	const struct fit_input *inputs;
	size_t input_count;
	size_t stroke_count;
	struct stroke_case *strokes; /* valid rows with at least one reading, in order of file, line */
	size_t shared_count;
	struct shared_parameter *shared;
	size_t shared_capacity;
	uint64_t seed;
	struct fit_wants wants;
	unsigned threads; /* as in base/parallel.h; does not change the result */
	const struct progress *progress;
	double progress_from, progress_to; /* share of the whole work that the present run is */
	size_t evaluations;
	double *latest;              /* outer unknowns of the latest evaluation of residuals */
};

/* Builds the problem from files. STATUS_OK; STATUS_INPUT with faults (a shot that cannot stand on
 * the table, a rail contact without a rail, files of different tables, no usable stroke);
 * STATUS_SYSTEM. Release with fit_problem_free. */
enum status fit_problem_create(struct fit_problem *problem, const struct fit_input *inputs,
                               size_t input_count, uint64_t seed, struct fault_list *faults);

/* The same with more unknowns, of the table, where they are asked for. */
enum status fit_problem_create_with(struct fit_problem *problem, const struct fit_input *inputs,
                                    size_t input_count, const struct fit_options *options,
                                    struct fault_list *faults);

void fit_problem_free(struct fit_problem *problem);

/* A problem of the same unknowns whose strokes may be moved while others move those of the first,
 * which must outlive it; it is for one thread. False when memory is out; release with fit_problem_free. */
bool fit_problem_copy(const struct fit_problem *problem, struct fit_problem *copy);

/* Number of outer unknowns and of residuals (of the strokes in use, one prior residual for each
 * outer unknown, one for each constant that keeps it from running past its hard limits). */
size_t fit_problem_size(const struct fit_problem *problem);
size_t fit_problem_count(const struct fit_problem *problem);

/* More strokes than a search of starts and hops needs, or than are each worth the most careful
 * search: what one tells, the others tell as well. */
#define FIT_LARGE 150

/* A problem of the same unknowns with some `most` of the strokes in use, alike of each shot of each
 * player; chosen[] receives their numbers, in order. As fit_problem_copy. */
bool fit_problem_sample(const struct fit_problem *problem, size_t most, struct fit_problem *sample,
                        size_t *chosen);

/* Does work for the number of each stroke in use, by several threads where the problem is large
 * enough for that. A piece of work may change its own stroke only; it returns false where that cannot
 * be played. False when a piece was, or the work was stopped. The result does not depend on the number
 * of threads. */
bool fit_problem_each(const struct fit_problem *problem, bool (*work)(size_t number, void *context),
                      void *context);

/* Accuracy of cushion impacts that serves while ends are looked for and compared. */
#define FIT_SEARCH_TOLERANCE 1e-6

/* Has all strokes played with that accuracy of cushion impacts (physics/cushion.h); at first, and
 * wherever none of the functions of the search is at work, it is CUSHION_TOLERANCE. */
void fit_problem_set_tolerance(struct fit_problem *problem, double tolerance);

/* The outer unknowns that one stroke feels. */
struct stroke_point fit_problem_point(const struct stroke_case *stroke, const double *x);

/* Settles a stroke at a point, searching its own unknowns anew where its cost jumps: an order of
 * events that changed leaves it on the wrong side of a step. Fills its trial fields; false when it
 * cannot be played there. */
bool fit_problem_settle(struct fit_problem *problem, struct stroke_case *stroke,
                        const struct stroke_point *point);

/* Searches the own unknowns of every stroke anew at x, where a fit has ended: a stroke that has
 * several solutions may hold a wrong one without its cost being unlikely. Returns how many strokes
 * found a clearly better one, from which a further run should start. */
size_t fit_problem_search(struct fit_problem *problem, const double *x);

/* Loss of a whole stroke: its cost as it is while that is likely, growing only as its root beyond
 * (Huber 1964, on the length of the stroke's residual vector). value: the loss; slope: its
 * derivative by the cost. */
void fit_problem_loss(const struct stroke_case *stroke, double cost, double *value, double *slope);

#define FIT_LIMIT_SLACK 0.02 /* standardised distance past a hard limit that costs 1 */

/* How far a standardised constant is past its hard limits, in FIT_LIMIT_SLACK. */
double fit_problem_excess(enum constant_id id, double standardised);

/* For least_squares_problem; context is the fit_problem. */
bool fit_problem_residuals(void *context, const double *x, double *residuals);
bool fit_problem_jacobian(void *context, const double *x, double *jacobian);

/* Whether a file can be fitted with its protocol: adds the faults that fit_problem_create would,
 * for `check`. STATUS_OK, STATUS_INPUT or STATUS_SYSTEM. */
enum status fit_inputs_check(const struct fit_input *inputs, size_t input_count,
                             struct fault_list *faults);

#endif
