/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/adjustment.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#define SCAN 40          /* steps over the whole range */
#define ROUNDS 60        /* of Brent's method, at most */
#define FINENESS 2e-6    /* of the root, as a part of the range */
#define EXACT 0.02       /* a root leaves at most this much of the result, in its unit */

struct problem {
	const struct adjustment *adjustment;
	const struct adjustment_table *table;
};

/* Two values with results on either side of what is wanted. */
struct bracket {
	double low, high;
	bool found;
};

static double result_at(double value, void *context)
{
	const struct problem *problem = context;

	return adjustment_result(problem->adjustment, problem->table, value);
}

static bool parts(double first, double second)
{
	return isfinite(first) && isfinite(second) && first * second <= 0.0;
}

/* Goes from `start` by steps that grow, on one side, as long as results come out. */
static struct bracket look_aside(struct problem *problem, double start, double at_start,
                                 double step)
{
	const struct adjustment *adjustment = problem->adjustment;
	double from = start, at_from = at_start;

	for (int i = 0; i < SCAN; i++, step *= 1.7) {
		double to = fmin(adjustment->highest, fmax(adjustment->lowest, from + step));
		double at_to;

		if (to == from)
			break;
		at_to = result_at(to, problem);
		if (!isfinite(at_to))
			break;
		if (parts(at_from, at_to))
			return (struct bracket){fmin(from, to), fmax(from, to), true};
		if (fabs(at_to) > fabs(at_from)) /* it becomes worse */
			break;
		from = to;
		at_from = at_to;
	}
	return (struct bracket){.found = false};
}

static struct bracket look_around(struct problem *problem, double start)
{
	const struct adjustment *adjustment = problem->adjustment;
	double step = 0.01 * (adjustment->highest - adjustment->lowest);
	double at_start = result_at(start, problem);
	struct bracket bracket = {.found = false};

	if (!isfinite(at_start))
		return bracket;
	bracket = look_aside(problem, start, at_start, step);
	return bracket.found ? bracket : look_aside(problem, start, at_start, -step);
}

/* The whole range: of the steps that hold a root the nearest to `start`. */
static struct bracket look_everywhere(struct problem *problem, double start)
{
	const struct adjustment *adjustment = problem->adjustment;
	double step = (adjustment->highest - adjustment->lowest) / SCAN, nearest = HUGE_VAL;
	double before = result_at(adjustment->lowest, problem);
	struct bracket bracket = {.found = false};

	for (int i = 1; i <= SCAN; i++) {
		double low = adjustment->lowest + (i - 1) * step, high = low + step;
		double result = result_at(high, problem);
		double away = fabs(0.5 * (low + high) - start);

		if (parts(before, result) && away < nearest) {
			nearest = away;
			bracket = (struct bracket){low, high, true};
		}
		before = result;
	}
	return bracket;
}

static double close_in(struct problem *problem, const struct bracket *bracket)
{
	double width = problem->adjustment->highest - problem->adjustment->lowest;
	gsl_function function = {.function = result_at, .params = problem};
	gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
	double root = (double)NAN;
	int status;

	if (solver == NULL)
		return root;
	status = gsl_root_fsolver_set(solver, &function, bracket->low, bracket->high);
	for (int i = 0; i < ROUNDS && status == GSL_SUCCESS; i++) {
		status = gsl_root_fsolver_iterate(solver);
		root = gsl_root_fsolver_root(solver);
		if (status != GSL_SUCCESS)
			root = (double)NAN;
		else if (gsl_root_test_interval(gsl_root_fsolver_x_lower(solver),
		                                gsl_root_fsolver_x_upper(solver),
		                                FINENESS * width, 0.0) == GSL_SUCCESS)
			break;
	}
	gsl_root_fsolver_free(solver);
	return root;
}

/* A change of sign may be a jump: then nothing there gives what is wanted. */
static double root_in(struct problem *problem, const struct bracket *bracket)
{
	double root;

	if (!bracket->found)
		return (double)NAN;
	root = close_in(problem, bracket);
	return isfinite(root) && fabs(result_at(root, problem)) <= EXACT ? root : (double)NAN;
}

double adjustment_solve(const struct adjustment *adjustment, const struct adjustment_table *table,
                        double start)
{
	struct problem problem = {adjustment, table};
	struct bracket bracket;
	double root;

	gsl_set_error_handler_off(); /* the default one aborts the program */
	bracket = look_around(&problem, start);
	root = root_in(&problem, &bracket);
	if (isfinite(root))
		return root;
	bracket = look_everywhere(&problem, start);
	return root_in(&problem, &bracket);
}
