/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "misfit_foresee.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>

#include "base/random.h"
#include "design.h"
#include "estimate/fit_problem.h"
#include "estimate/own_space.h"
#include "estimate/simulate.h"

/* One stroke: what the omission adds to its reduced residuals, and their slopes. */
struct changed_stroke {
	size_t group, count;
	double reduced[RESIDUALS_MAX];
	double factor[RESIDUALS_MAX * RESIDUALS_MAX];
	double whitened[RESIDUALS_MAX][STROKE_OUTER];
	size_t slot[RESIDUALS_MAX];
	bool counts[RESIDUALS_MAX];
	int place[STROKE_OUTER]; /* among the outer unknowns; -1: none */
};

struct linear_session {
	size_t count, size;
	struct changed_stroke *strokes;
	double *matrix, *step; /* size * size by rows; size */
};

/* The two sessions, both as they would be fitted. */
struct session_pair {
	struct measurement measurement[2];
	struct fit_problem problem[2];
	struct simulated_truth *rows;
};

/* The session of that omission, and the truth of its strokes, which all omissions share. */
static bool open_session(const struct protocol *protocol, enum misfit_case number,
                         const struct constants *truth, uint64_t seed,
                         struct measurement *measurement, struct fit_problem *problem)
{
	struct fit_input input;
	struct fault_list faults;
	enum status status = misfit_simulate(protocol, number, truth, seed, measurement);

	if (status != STATUS_OK)
		return false;
	input = (struct fit_input){measurement, protocol};
	status = fault_list_create(&faults);
	if (status == STATUS_OK) {
		status = fit_problem_create(problem, &input, 1, RANDOM_DEFAULT_SEED, &faults);
		problem->inputs = NULL; /* does not outlive this function */
		fault_list_free(&faults);
	}
	if (status != STATUS_OK)
		measurement_free(measurement);
	return status == STATUS_OK;
}

static void pair_close(struct session_pair *pair, int opened)
{
	for (int i = 0; i < opened; i++) {
		fit_problem_free(&pair->problem[i]);
		measurement_free(&pair->measurement[i]);
	}
	free(pair->rows);
}

static bool pair_open(struct session_pair *pair, const struct protocol *protocol,
                      enum misfit_case number, const struct constants *truth, uint64_t seed)
{
	size_t strokes = design_strokes(protocol);
	struct session session = session_default();
	struct measurement unused;

	pair->rows = calloc(strokes, sizeof *pair->rows);
	if (pair->rows == NULL ||
	    simulate_session_truth(protocol, &session, truth, seed, true, &unused, pair->rows,
	                           strokes) != STATUS_OK) {
		free(pair->rows);
		return false;
	}
	measurement_free(&unused);
	if (!open_session(protocol, MISFIT_NONE, truth, seed, &pair->measurement[0],
	                  &pair->problem[0])) {
		free(pair->rows);
		return false;
	}
	if (!open_session(protocol, number, truth, seed, &pair->measurement[1],
	                  &pair->problem[1])) {
		pair_close(pair, 1);
		return false;
	}
	return true;
}

static const struct stroke_case *find_row(const struct fit_problem *problem, size_t line)
{
	for (size_t i = 0; i < problem->stroke_count; i++)
		if (problem->strokes[i].row->line == line)
			return &problem->strokes[i];
	return NULL;
}

static bool read_alike(const struct stroke_readings *a, const struct stroke_readings *b)
{
	if (a->count != b->count || a->residual_count != b->residual_count)
		return false;
	for (size_t i = 0; i < a->count; i++)
		if (a->items[i].number != b->items[i].number ||
		    a->items[i].rail != b->items[i].rail)
			return false;
	return true;
}

static size_t group_of(const struct protocol *protocol, const char *shot)
{
	size_t group = 0;

	while (group < protocol->shot_count && strcmp(protocol->shots[group].key, shot) != 0)
		group++;
	return group;
}

/* Linearises a stroke at the truth and takes the change of its residuals. False where the omission
 * changed which readings there are, or it cannot be played: such a stroke counts for nothing. */
static bool change_stroke(struct stroke_case *stroke, const struct stroke_case *other,
                          const struct stroke_point *point, const struct simulated_truth *row,
                          struct changed_stroke *out)
{
	size_t count = stroke->readings.residual_count;
	gsl_matrix_view factor = gsl_matrix_view_array(out->factor, count, count);
	double before[RESIDUALS_MAX], unused[RESIDUALS_MAX];
	gsl_vector_view change = gsl_vector_view_array(out->reduced, count);

	memcpy(stroke->trial_own, row->own, sizeof stroke->trial_own);
	if (other == NULL || !read_alike(&stroke->readings, &other->readings) ||
	    !stroke_case_residuals(stroke, point, row->own, before, NULL) ||
	    !stroke_case_residuals(other, point, row->own, out->reduced, NULL) ||
	    !stroke_case_linearise(stroke, point, true) ||
	    !stroke_case_reduce(stroke, unused, out->whitened))
		return false;
	own_space_factor(stroke, 1.0, &factor.matrix);
	for (size_t i = 0; i < count; i++) {
		size_t reading = stroke_readings_of_residual(&stroke->readings, i);

		out->reduced[i] -= before[i];
		out->counts[i] =
		    i == 0 || reading != stroke_readings_of_residual(&stroke->readings, i - 1);
		out->slot[i] = 2 * (size_t)stroke->readings.items[reading].number + !out->counts[i];
	}
	gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &factor.matrix, &change.vector);
	out->count = count;
	for (int o = 0; o < STROKE_OUTER; o++)
		out->place[o] = o < CONSTANT_COUNT ? o : stroke->parameter[o - CONSTANT_COUNT];
	return true;
}

static void add_stroke(const struct changed_stroke *stroke, struct linear_session *linear)
{
	for (size_t i = 0; i < stroke->count; i++)
		for (int o = 0; o < STROKE_OUTER; o++) {
			if (stroke->place[o] < 0)
				continue;
			linear->step[stroke->place[o]] -=
			    stroke->whitened[i][o] * stroke->reduced[i];
			for (int p = 0; p < STROKE_OUTER; p++)
				if (stroke->place[p] >= 0)
					linear->matrix[(size_t)stroke->place[o] * linear->size +
					               (size_t)stroke->place[p]] +=
					    stroke->whitened[i][o] * stroke->whitened[i][p];
		}
}

static void move_stroke(struct changed_stroke *stroke, const double *step)
{
	for (size_t i = 0; i < stroke->count; i++)
		for (int o = 0; o < STROKE_OUTER; o++)
			if (stroke->place[o] >= 0)
				stroke->reduced[i] +=
				    stroke->whitened[i][o] * step[stroke->place[o]];
}

/* Solves for the step of the outer unknowns; matrix then holds their covariance. */
static bool solve(struct linear_session *linear)
{
	gsl_matrix_view matrix = gsl_matrix_view_array(linear->matrix, linear->size, linear->size);
	gsl_vector_view step = gsl_vector_view_array(linear->step, linear->size);

	for (size_t j = 0; j < linear->size; j++)
		linear->matrix[j * linear->size + j] += 1.0;
	if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != 0)
		return false;
	gsl_linalg_cholesky_svx(&matrix.matrix, &step.vector);
	return gsl_linalg_cholesky_invert(&matrix.matrix) == 0;
}

static bool split(struct linear_session *linear, struct misfit_foreseen *out)
{
	struct lack_of_fit_try *tries = calloc(linear->count + 1, sizeof *tries);
	double shared = 0.0, taken = 0.0;
	bool well = tries != NULL;

	for (size_t i = 0; i < linear->count && well; i++) {
		struct changed_stroke *stroke = &linear->strokes[i];

		move_stroke(stroke, linear->step);
		tries[i] = (struct lack_of_fit_try){stroke->group,  stroke->count, stroke->reduced,
		                                    stroke->factor, stroke->slot,  stroke->counts};
	}
	for (size_t j = 0; j < linear->size; j++) {
		double variance = linear->matrix[j * linear->size + j];

		if (j >= CONSTANT_COUNT) {
			shared += linear->step[j] * linear->step[j];
			continue;
		}
		out->bias[j] = linear->step[j] / sqrt(variance);
		taken += 1.0 - fmin(1.0, variance);
	}
	well = well &&
	       lack_of_fit_split(tries, linear->count, shared, taken, &out->split) == STATUS_OK;
	free(tries);
	return well;
}

static bool foresee(const struct protocol *protocol, const struct constants *truth,
                    struct session_pair *pair, struct linear_session *linear,
                    struct misfit_foreseen *out)
{
	for (size_t i = 0; i < pair->problem[0].stroke_count; i++) {
		struct stroke_case *stroke = &pair->problem[0].strokes[i];
		const struct simulated_truth *row = &pair->rows[stroke->row->line - 2];
		struct changed_stroke *changed = &linear->strokes[linear->count];
		struct stroke_point point;

		for (int id = 0; id < CONSTANT_COUNT; id++)
			point.constants[id] =
			    prior_coordinate((enum constant_id)id, truth->value[id]);
		memcpy(point.shared, row->shared, sizeof point.shared);
		if (!change_stroke(stroke, find_row(&pair->problem[1], stroke->row->line), &point,
		                   row, changed))
			continue;
		changed->group = group_of(protocol, stroke->row->shot);
		add_stroke(changed, linear);
		linear->count++;
	}
	return solve(linear) && split(linear, out);
}

bool misfit_foresee(const struct protocol *protocol, enum misfit_case number,
                    const struct constants *truth, uint64_t seed, struct misfit_foreseen *out)
{
	struct linear_session linear = {.count = 0};
	struct session_pair pair;
	bool well;

	if (!pair_open(&pair, protocol, number, truth, seed))
		return false;
	linear.size = fit_problem_size(&pair.problem[0]);
	linear.strokes = calloc(pair.problem[0].stroke_count, sizeof *linear.strokes);
	linear.matrix = calloc(linear.size * linear.size, sizeof(double));
	linear.step = calloc(linear.size, sizeof(double));
	well = linear.strokes != NULL && linear.matrix != NULL && linear.step != NULL &&
	       foresee(protocol, truth, &pair, &linear, out);
	free(linear.strokes);
	free(linear.matrix);
	free(linear.step);
	pair_close(&pair, 2);
	return well;
}
