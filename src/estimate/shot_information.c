/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/shot_information.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_linalg.h>

#include "physics/cushion.h"

#define TOLERANCE 1e-7 /* of cushion impacts, in derivatives */

void shot_information_add(double (*slopes)[STROKE_OUTER], size_t count,
                          struct shot_information *information)
{
	for (size_t r = 0; r < count; r++)
		for (int i = 0; i < STROKE_OUTER; i++)
			for (int k = 0; k < STROKE_OUTER; k++)
				information->at[i][k] += slopes[r][i] * slopes[r][k];
}

void shot_information_end_shot(struct shot_information *information)
{
	const int aim = CONSTANT_COUNT + SHARED_AIM;
	double by_aim[STROKE_OUTER];

	memcpy(by_aim, information->at[aim], sizeof by_aim);
	for (int i = 0; i < STROKE_OUTER; i++)
		for (int k = 0; k < STROKE_OUTER; k++)
			information->at[i][k] =
			    i == aim || k == aim ? 0.0
						 : information->at[i][k] -
						       by_aim[i] * by_aim[k] / (1.0 + by_aim[aim]);
}

bool shot_information_reduce(const struct shot_information *information,
                             double reduced[CONSTANT_COUNT][CONSTANT_COUNT])
{
	double shared[SHARED_UNKNOWNS][SHARED_UNKNOWNS], solved[SHARED_UNKNOWNS];
	gsl_matrix_view matrix = gsl_matrix_view_array(shared[0], SHARED_UNKNOWNS, SHARED_UNKNOWNS);
	gsl_vector_view solution = gsl_vector_view_array(solved, SHARED_UNKNOWNS);

	for (int i = 0; i < SHARED_UNKNOWNS; i++)
		for (int k = 0; k < SHARED_UNKNOWNS; k++)
			shared[i][k] = information->at[CONSTANT_COUNT + i][CONSTANT_COUNT + k] +
			               (i == k ? 1.0 : 0.0);
	if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != 0)
		return false;
	for (int k = 0; k < CONSTANT_COUNT; k++) {
		memcpy(solved, information->at[k] + CONSTANT_COUNT, sizeof solved);
		if (gsl_linalg_cholesky_svx(&matrix.matrix, &solution.vector) != 0)
			return false;
		for (int i = 0; i < CONSTANT_COUNT; i++) {
			reduced[i][k] = information->at[i][k];
			for (int j = 0; j < SHARED_UNKNOWNS; j++)
				reduced[i][k] -= information->at[i][CONSTANT_COUNT + j] * solved[j];
			if (!isfinite(reduced[i][k]))
				return false;
		}
	}
	return true;
}

/* The row that a stroke would give without errors of reading. */
static void write_row(const struct shot_design *design,
                      const struct observed observed[QUANTITY_COUNT], struct stroke_row *row)
{
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct reading *cell = &row->readings[number];

		if (!(design->measure & (UINT32_C(1) << number)) || !observed[number].happened)
			continue;
		*cell = (struct reading){.kind = observed[number].pocketed ? READING_POCKET
		                                                           : READING_VALUE,
		                         .value = observed[number].value,
		                         .rail_named = quantity_at(number).kind == QUANTITY_RAIL,
		                         .rail = observed[number].rail};
	}
}

/* What the strokes of one shot share with each other. */
static void share(struct stroke_case *stroke)
{
	bool by_ramp = stroke->scene.design->launch.by_ramp;

	for (int kind = 0; kind < SHARED_UNKNOWNS; kind++)
		stroke->parameter[kind] =
		    by_ramp || kind >= SHARED_HABITS ? -1 : CONSTANT_COUNT + kind;
	stroke->parameter[SHARED_AIM] = CONSTANT_COUNT + SHARED_AIM;
	stroke->parameter[SHARED_RAMP] = by_ramp ? CONSTANT_COUNT + SHARED_RAMP : -1;
	stroke->parameter[SHARED_DELAY] =
	    !stroke->scene.microphone.known && stroke_readings_hear(&stroke->readings)
		? CONSTANT_COUNT + SHARED_DELAY
		: -1;
}

/* Plays a stroke and sets it up with the readings that it gives; its own unknowns stand where it
 * was played. row: empty, but for its labels. */
static bool make_case(const struct shot_design *design, const struct session *session,
                      const struct stroke_point *point, const double own[OWN_UNKNOWNS],
                      struct stroke_row *row, struct stroke_case *stroke)
{
	const struct constants constants = stroke_point_constants(point);
	enum rail rails[BALL_ROLES][RAIL_READINGS] = {
	    {RAIL_COUNT}}; /* each contact names its own */
	struct observed observed[QUANTITY_COUNT];
	struct shot_record record;
	const char *why;

	memset(stroke, 0, sizeof *stroke);
	if (!stroke_scene_make(&stroke->scene, design, session, row->ball, design->measure, &why) ||
	    !stroke_scene_play(&stroke->scene, &constants, point->shared, own, CUSHION_TOLERANCE,
	                       &record, observed))
		return false;
	write_row(design, observed, row);
	if (stroke_readings_take(row, design, session, &stroke->scene.setup, rails,
	                         &stroke->readings) != 0 ||
	    stroke->readings.count == 0)
		return false;
	stroke->row = row;
	stroke->tolerance = TOLERANCE;
	stroke->scene.mask = stroke_readings_mask(&stroke->readings);
	observe_need(design, stroke->scene.mask, &stroke->scene.need);
	memcpy(stroke->trial_own, own, sizeof stroke->trial_own);
	share(stroke);
	return true;
}

bool shot_information_play(const struct shot_design *design, const struct session *session,
                           const struct stroke_point *point, const double own[OWN_UNKNOWNS],
                           struct shot_information *information)
{
	struct stroke_row row = {
	    .shot = design->key, .ball = {"A", "O", "O"}, .player = "", .valid = true};
	double residuals[RESIDUALS_MAX], slopes[RESIDUALS_MAX][STROKE_OUTER];
	struct stroke_case stroke;

	if (!make_case(design, session, point, own, &row, &stroke) ||
	    !stroke_case_linearise(&stroke, point, true) ||
	    !stroke_case_reduce(&stroke, residuals, slopes))
		return false;
	shot_information_add(slopes, stroke.readings.residual_count, information);
	return true;
}

bool shot_information_narrow(double covariance[CONSTANT_COUNT][CONSTANT_COUNT],
                             double information[CONSTANT_COUNT][CONSTANT_COUNT],
                             double after[CONSTANT_COUNT][CONSTANT_COUNT])
{
	double sum[CONSTANT_COUNT][CONSTANT_COUNT];
	gsl_matrix_view matrix = gsl_matrix_view_array(sum[0], CONSTANT_COUNT, CONSTANT_COUNT);

	memcpy(sum, covariance, sizeof sum);
	if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != 0 ||
	    gsl_linalg_cholesky_invert(&matrix.matrix) != 0)
		return false;
	for (int i = 0; i < CONSTANT_COUNT; i++)
		for (int k = 0; k < CONSTANT_COUNT; k++)
			sum[i][k] += information[i][k];
	if (gsl_linalg_cholesky_decomp1(&matrix.matrix) != 0 ||
	    gsl_linalg_cholesky_invert(&matrix.matrix) != 0)
		return false;
	memcpy(after, sum, sizeof sum);
	return true;
}
