/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_tries.h"

#include <stdlib.h>
#include <string.h>

#include "estimate/own_space.h"

_Static_assert(RESIDUALS_MAX <= LACK_OF_FIT_RESIDUALS, "a stroke's residuals fit into a try");

static bool together(const struct stroke_case *a, const struct stroke_case *b)
{
	if (strcmp(a->file, b->file) != 0 || strcmp(a->row->shot, b->row->shot) != 0 ||
	    strcmp(a->row->player, b->row->player) != 0)
		return false;
	for (int ball = 0; ball < BALL_ROLES; ball++)
		if (strcmp(a->row->ball[ball], b->row->ball[ball]) != 0)
			return false;
	return true;
}

/* The first try that belongs with this one tells the group's number. */
static void find_group(struct fit_tries *tries, size_t number)
{
	size_t first = 0;

	while (first < number && !together(tries->items[first].stroke, tries->items[number].stroke))
		first++;
	tries->items[number].group = first;
}

/* A residual's mean is that of the same quantity, at the same rail. A rail contact's second
 * residual, across the rail, is nothing while the contact is at the rail that was read. */
static void name_slots(struct fit_try *try)
{
	const struct stroke_readings *readings = &try->stroke->readings;
	size_t before = (size_t)-1;

	for (size_t i = 0; i < try->count; i++) {
		size_t reading = stroke_readings_of_residual(readings, i);
		const struct stroke_reading *item = &readings->items[reading];
		bool rail = quantity_at(item->number).kind == QUANTITY_RAIL;
		size_t place = rail ? (size_t)item->rail : RAIL_COUNT;

		try->counts[i] = reading != before;
		try->slot[i] =
		    ((size_t)item->number * (RAIL_COUNT + 1) + place) * 2 + (reading == before);
		before = reading;
	}
}

/* Works on a copy of the stroke, so that what comes after finds it as it was. */
static bool fill_try(const struct stroke_case *stroke, const double *x, struct stroke_case *copy,
                     struct fit_try *try)
{
	size_t count = stroke->readings.residual_count;
	gsl_matrix_view factor = gsl_matrix_view_array(try->factor, count, count);

	try->stroke = stroke;
	try->count = count;
	try->point = fit_problem_point(stroke, x);
	*copy = *stroke;
	memcpy(copy->trial_own, copy->own, sizeof copy->own);
	if (!stroke_case_settle(copy, &try->point) ||
	    !stroke_case_linearise(copy, &try->point, true) ||
	    !stroke_case_reduce(copy, try->reduced, try->slopes))
		return false;
	memcpy(try->own, copy->trial_own, sizeof try->own);
	own_space_factor(copy, 1.0, &factor.matrix);
	name_slots(try);
	return true;
}

enum status fit_tries_make(const struct fit_problem *problem, const double *x,
                           struct fit_tries *tries)
{
	struct stroke_case *copy = malloc(sizeof *copy);
	enum status status = STATUS_OK;

	tries->count = 0;
	tries->items = malloc((problem->stroke_count + 1) * sizeof *tries->items);
	if (copy == NULL || tries->items == NULL)
		status = STATUS_SYSTEM;
	for (size_t i = 0; i < problem->stroke_count && status == STATUS_OK; i++) {
		if (!problem->strokes[i].used)
			continue;
		if (!fill_try(&problem->strokes[i], x, copy, &tries->items[tries->count])) {
			status = STATUS_NOT_CONVERGED;
			break;
		}
		find_group(tries, tries->count);
		tries->count++;
	}
	free(copy);
	if (status != STATUS_OK)
		fit_tries_free(tries);
	return status;
}

void fit_tries_free(struct fit_tries *tries)
{
	free(tries->items);
	*tries = (struct fit_tries){.items = NULL};
}

int fit_try_place(const struct fit_try *try, int outer)
{
	return outer < CONSTANT_COUNT ? outer : try->stroke->parameter[outer - CONSTANT_COUNT];
}

enum status fit_tries_split(const struct fit_tries *tries, double further, double taken,
                            struct lack_of_fit *out)
{
	struct lack_of_fit_try *each = malloc((tries->count + 1) * sizeof *each);
	enum status status = STATUS_SYSTEM;

	for (size_t i = 0; i < tries->count && each != NULL; i++) {
		const struct fit_try *try = &tries->items[i];

		each[i] = (struct lack_of_fit_try){try->group,  try->count, try->reduced,
		                                   try->factor, try->slot,  try->counts};
	}
	if (each != NULL)
		status = lack_of_fit_split(each, tries->count, further, taken, out);
	free(each);
	return status;
}
