/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_players.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

/* One try whose own unknown was learned. */
struct repeat {
	const char *shot;
	double value;    /* in its unit, not drawn toward the design */
	double variance; /* of that value's error */
};

/* The player of a shared unknown; made on first use. NULL when memory is out. */
static struct fit_player *find_player(const struct fit_problem *problem,
                                      const struct shared_parameter *shared,
                                      struct fit_result *result)
{
	struct fit_player *player;

	for (size_t i = 0; i < result->player_count; i++)
		if (result->players[i].input == shared->input &&
		    strcmp(result->players[i].name, shared->player) == 0)
			return &result->players[i];
	if (result->players == NULL)
		result->players = arena_allocate(result->arena, problem->shared_count *
		                                                    sizeof *result->players);
	if (result->players == NULL)
		return NULL;
	player = &result->players[result->player_count];
	*player = (struct fit_player){.input = shared->input};
	player->name = arena_copy(result->arena, shared->player, strlen(shared->player));
	if (player->name == NULL)
		return NULL;
	result->player_count++;
	return player;
}

/* Percentiles of one column of draws, times a unit. space: as many numbers as draws. */
static struct interval column_interval(const struct posterior *posterior, size_t column,
                                       double unit, double *space)
{
	struct interval interval;
	size_t count = posterior->count;

	for (size_t d = 0; d < count; d++)
		space[d] = unit * posterior->draws[d * posterior->size + column];
	gsl_sort(space, 1, count);
	interval.value = gsl_stats_median_from_sorted_data(space, 1, count);
	interval.standard_error = gsl_stats_sd(space, 1, count);
	interval.low95 = gsl_stats_quantile_from_sorted_data(space, 1, count, 0.025);
	interval.high95 = gsl_stats_quantile_from_sorted_data(space, 1, count, 0.975);
	return interval;
}

bool fit_players_take(const struct fit_problem *problem, const struct posterior *posterior,
                      struct fit_result *result)
{
	double *space;
	bool good = true;

	if (!problem->wants.player)
		return true;
	space = calloc(posterior->count, sizeof *space);
	good = space != NULL;
	for (size_t i = 0; good && i < problem->shared_count; i++) {
		const struct shared_parameter *shared = &problem->shared[i];
		struct fit_player *player;

		if (shared->kind > SHARED_SIDE) /* speed, height, side stand first */
			continue;
		player = find_player(problem, shared, result);
		good = player != NULL;
		if (good)
			player->offset[shared->kind] = column_interval(
			    posterior, CONSTANT_COUNT + i,
			    shared->kind == SHARED_SPEED ? SHARED_SPEED_SPREAD
			                                 : SHARED_OFFSET_SPREAD,
			    space);
	}
	free(space);
	return good;
}

/* 1 sd of an own unknown as the protocol has it: log of speed, degrees, radii. */
static double own_unit(const struct stroke_case *stroke, int own)
{
	const struct launch *launch = &stroke->scene.design->launch;

	switch (own) {
	case OWN_SPEED:
		return launch->speed_spread;
	case OWN_AIM:
		return stroke->scene.design->aim.spread_deg;
	case OWN_HEIGHT:
		return launch->height_spread;
	default:
		return launch->side_spread;
	}
}

/* Variances that the active own unknowns keep: the diagonal of 1 - J'(1 + JJ')^-1 J. False when a
 * number is not finite. */
static bool kept_variances(const struct stroke_case *stroke, double kept[OWN_STROKE])
{
	size_t count = stroke->readings.residual_count;
	double space[RESIDUALS_MAX * RESIDUALS_MAX], column[RESIDUALS_MAX];
	gsl_matrix_view factor = gsl_matrix_view_array(space, count, count);
	gsl_vector_view solved = gsl_vector_view_array(column, count);

	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; k < count; k++) {
			space[i * count + k] = i == k ? 1.0 : 0.0;
			for (int j = 0; j < stroke->active_count; j++)
				space[i * count + k] +=
				    stroke->by_own[i][j] * stroke->by_own[k][j];
		}
	if (gsl_linalg_cholesky_decomp1(&factor.matrix) != 0)
		return false;
	for (int j = 0; j < OWN_STROKE; j++)
		kept[j] = 1.0;
	for (int j = 0; j < stroke->active_count; j++) {
		if (stroke->active[j] >= OWN_STROKE)
			continue;
		for (size_t i = 0; i < count; i++)
			column[i] = stroke->by_own[i][j];
		gsl_linalg_cholesky_svx(&factor.matrix, &solved.vector);
		for (size_t i = 0; i < count; i++)
			kept[stroke->active[j]] -= stroke->by_own[i][j] * column[i];
		if (!isfinite(kept[stroke->active[j]]))
			return false;
	}
	return true;
}

/* Whether a stroke is that player's, by the cue. */
static bool is_of_player(const struct fit_problem *problem, const struct stroke_case *stroke,
                         const struct fit_player *player)
{
	int speed = stroke->parameter[SHARED_SPEED];
	const struct shared_parameter *shared;

	if (!stroke->used || speed < 0)
		return false;
	shared = &problem->shared[speed - CONSTANT_COUNT];
	return shared->input == player->input && strcmp(shared->player, player->name) == 0;
}

/* Adds what one stroke tells of each own unknown. scratch: a stroke to settle. */
static void add_stroke(const struct stroke_case *stroke, const double *x,
                       struct stroke_case *scratch, struct repeat *repeats[OWN_STROKE],
                       size_t counts[OWN_STROKE])
{
	struct stroke_point point = fit_problem_point(stroke, x);
	double kept[OWN_STROKE];

	*scratch = *stroke;
	scratch->active_count = 0;
	memcpy(scratch->trial_own, stroke->own, sizeof scratch->trial_own);
	if (!stroke_case_settle(scratch, &point) ||
	    !stroke_case_linearise(scratch, &point, false) || !kept_variances(scratch, kept))
		return;
	for (int own = 0; own < OWN_STROKE; own++) {
		double unit = own_unit(stroke, own), learned = 1.0 - kept[own];

		if (kept[own] > FIT_REPEAT_LEARNED || !(unit > 0.0))
			continue;
		repeats[own][counts[own]++] =
		    (struct repeat){.shot = stroke->row->shot,
		                    .value = unit * scratch->trial_own[own] / learned,
		                    .variance = unit * unit * kept[own] / learned};
	}
}

/* The spread about the means of the shots. */
static void find_spread(const struct repeat *repeats, size_t count, struct fit_spread *spread)
{
	double squares = 0.0, noise = 0.0, freedom = 0.0, total;

	for (size_t i = 0; i < count; i++) {
		double mean = 0.0, tries = 0.0;

		for (size_t k = 0; k < count; k++)
			if (strcmp(repeats[k].shot, repeats[i].shot) == 0) {
				mean += repeats[k].value;
				tries += 1.0;
			}
		if (tries < 2.0)
			continue;
		mean /= tries;
		squares += (repeats[i].value - mean) * (repeats[i].value - mean);
		noise += repeats[i].variance;
		freedom += 1.0 - 1.0 / tries;
		spread->tries++;
	}
	spread->told = spread->tries >= FIT_REPEATS_LEAST && freedom > 2.5;
	if (!spread->told)
		return;
	noise /= (double)spread->tries;
	total = squares / freedom;
	spread->value = sqrt(fmax(0.0, total - noise));
	spread->low95 =
	    sqrt(fmax(0.0, squares / gsl_cdf_chisq_Pinv(0.975, freedom) - noise));
	spread->high95 =
	    sqrt(fmax(0.0, squares / gsl_cdf_chisq_Pinv(0.025, freedom) - noise));
}

/* Room for the tries of each own unknown. */
static bool reserve(const struct fit_problem *problem, struct repeat *repeats[OWN_STROKE])
{
	bool good = true;

	for (int own = 0; own < OWN_STROKE; own++) {
		repeats[own] = calloc(problem->stroke_count + 1, sizeof **repeats);
		good = good && repeats[own] != NULL;
	}
	return good;
}

bool fit_players_fill(const struct fit_problem *problem, const double *x,
                      struct fit_result *result)
{
	struct stroke_case *scratch;
	struct repeat *repeats[OWN_STROKE];
	bool good;

	if (!problem->wants.player)
		return true;
	scratch = calloc(1, sizeof *scratch);
	good = reserve(problem, repeats) && scratch != NULL;
	for (size_t p = 0; good && p < result->player_count; p++) {
		size_t counts[OWN_STROKE] = {0};

		for (size_t i = 0; i < problem->stroke_count; i++)
			if (is_of_player(problem, &problem->strokes[i], &result->players[p]))
				add_stroke(&problem->strokes[i], x, scratch, repeats, counts);
		for (int own = 0; own < OWN_STROKE; own++)
			find_spread(repeats[own], counts[own], &result->players[p].spread[own]);
	}
	for (int own = 0; own < OWN_STROKE; own++)
		free(repeats[own]);
	free(scratch);
	return good;
}
