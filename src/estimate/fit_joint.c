/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/fit_joint.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "estimate/joint_system.h"
#include "estimate/stroke_gradient.h"
#include "physics/cushion.h"

#define DAMPING_START 0.01
#define DAMPING_LEAST 1e-4
#define DAMPING_MOST 1e4
#define DAMPING_FELT 1.0 /* less makes no difference where readings tell anything */
#define DAMPING_UP 10.0
#define DAMPING_DOWN 0.1
#define PORTIONS 3     /* of a stroke's own step that are tried */
#define WORTHWHILE 1.0 /* rise of a stroke's loss from which a shorter own step is tried */
#define SUSPECT 1.0    /* loss per reading from which a stroke is drawn anew at the start */
/* A linearisation serves again, so many times, while its squared miss is below this share of the
 * squared change that it foretold, or below this (residuals are in standard deviations). */
#define REUSES 3
#define REUSE_SHARE 0.01
#define REUSE_MISS 0.001

/* What one stroke tries, beside the accepted state in its stroke_case. */
struct attempt {
	double own[OWN_UNKNOWNS];
	double residuals[RESIDUALS_MAX]; /* of full weight */
	unsigned impacts[BALL_ROLES]; /* on rails */
	double loss;
	double step[OWN_ACTIVE];
	double change; /* squared change of the scaled residuals that was foretold */
	double miss;   /* their squared distance from what was foretold */
	int reuses;    /* of the linearisation at hand */
};

struct joint {
	struct fit_problem *problem;
	const struct fit_joint_plan *plan;
	size_t size;
	double root; /* of the share */
	double *x;
	double *trial, *step, *gradient, *matrix;
	double *losses; /* of the strokes, at the accepted state */
	double *promises; /* of the strokes, by the step tried last */
	struct attempt *attempts;
};

static void joint_free(struct joint *joint)
{
	free(joint->trial);
	free(joint->losses);
	free(joint->attempts);
}

static bool joint_create(struct joint *joint, struct fit_problem *problem,
                         const struct fit_joint_plan *plan, double *x)
{
	size_t size = fit_problem_size(problem), strokes = problem->stroke_count;

	*joint = (struct joint){.problem = problem,
	                        .plan = plan,
	                        .size = size,
	                        .root = sqrt(plan->share),
	                        .x = x,
	                        .trial = calloc(size * (size + 3), sizeof(double)),
	                        .losses = calloc(2 * strokes + 1, sizeof(double)),
	                        .attempts = calloc(strokes + 1, sizeof(struct attempt))};
	if (joint->trial == NULL || joint->losses == NULL || joint->attempts == NULL) {
		joint_free(joint);
		return false;
	}
	fit_problem_set_tolerance(problem, plan->tolerance);
	joint->promises = joint->losses + strokes;
	joint->step = joint->trial + size;
	joint->gradient = joint->step + size;
	joint->matrix = joint->gradient + size;
	return true;
}

static double sum_squares(const double *values, size_t count)
{
	double sum = 0.0;

	for (size_t i = 0; i < count; i++)
		sum += values[i] * values[i];
	return sum;
}

/* Squared distance of scale * a from b. */
static double distance(double scale, const double *a, const double *b, size_t count)
{
	double sum = 0.0;

	for (size_t i = 0; i < count; i++)
		sum += (scale * a[i] - b[i]) * (scale * a[i] - b[i]);
	return sum;
}

static double prior_cost(const struct joint *joint, const double *x)
{
	double sum = sum_squares(x, joint->size);

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		double excess = fit_problem_excess((enum constant_id)id, x[id]);

		sum += excess * excess;
	}
	return sum;
}

/* --- one stroke --------------------------------------------------------------------------------- */

/* Plays a stroke with attempt->own; its loss is infinite where that cannot be played. */
static void attempt_play(const struct joint *joint, const struct stroke_case *stroke,
                         const double *x, struct attempt *attempt)
{
	struct stroke_point point = fit_problem_point(stroke, x);
	struct shot_record record;
	double cost, slope;

	attempt->loss = HUGE_VAL;
	if (!stroke_case_residuals(stroke, &point, attempt->own, attempt->residuals, &record))
		return;
	memcpy(attempt->impacts, record.impacts, sizeof attempt->impacts);
	cost = joint->plan->share *
	           sum_squares(attempt->residuals, stroke->readings.residual_count) +
	       sum_squares(attempt->own, OWN_UNKNOWNS);
	fit_problem_loss(stroke, cost, &attempt->loss, &slope);
}

/* Draws own unknowns and keeps the best; rails even, for steps find the rest. */
static void attempt_draw(const struct joint *joint, const struct stroke_case *stroke,
                         struct attempt *best)
{
	struct random_stream stream =
	    random_start(joint->problem->seed, joint->plan->stream + stroke->stream);
	struct attempt other = {.loss = HUGE_VAL};

	for (size_t k = 0; k < joint->plan->draws; k++) {
		for (int i = 0; i < OWN_STROKE; i++)
			other.own[i] = random_normal(&stream);
		attempt_play(joint, stroke, joint->x, &other);
		if (other.loss < best->loss)
			*best = other;
	}
}

/* Whether the linearisation at hand foretold well enough to serve again, by the same unknowns. */
static bool still_linear(const struct stroke_case *stroke, const struct attempt *attempt)
{
	struct stroke_case other;

	if (attempt->reuses >= REUSES ||
	    !(attempt->miss <= REUSE_SHARE * attempt->change + REUSE_MISS))
		return false;
	other.scene = stroke->scene;
	stroke_case_choose_active(&other, attempt->impacts);
	return other.active_count == stroke->active_count &&
	       memcmp(other.active, stroke->active,
	              (size_t)other.active_count * sizeof other.active[0]) == 0;
}

static bool linearise(const struct joint *joint, struct stroke_case *stroke,
                      const struct attempt *attempt)
{
	struct stroke_point point = fit_problem_point(stroke, joint->x);

	stroke_case_choose_active(stroke, attempt->impacts);
	if (!stroke_gradient_fill(stroke, &point, true))
		return false;
	for (size_t i = 0; i < stroke->readings.residual_count; i++) {
		for (int j = 0; j < stroke->active_count; j++)
			stroke->by_own[i][j] *= joint->root;
		for (int j = 0; j < STROKE_OUTER; j++)
			stroke->by_outer[i][j] *= joint->root;
	}
	return true;
}

/* Takes an attempt over and linearises the stroke there where that is due, all weights scaled. */
static bool attempt_accept(struct joint *joint, size_t index)
{
	struct stroke_case *stroke = &joint->problem->strokes[index];
	struct attempt *attempt = &joint->attempts[index];
	bool reuse = still_linear(stroke, attempt);

	memcpy(stroke->trial_own, attempt->own, sizeof stroke->trial_own);
	for (size_t i = 0; i < stroke->readings.residual_count; i++)
		stroke->trial_residuals[i] = joint->root * attempt->residuals[i];
	joint->losses[index] = attempt->loss;
	attempt->reuses = reuse ? attempt->reuses + 1 : 0;
	return reuse || linearise(joint, stroke, attempt);
}

/* Tries a stroke with its step, then with portions of it where that costs more than before. Returns
 * the loss that the step promises. */
static double attempt_step(struct joint *joint, size_t index, double damping)
{
	static const double portions[PORTIONS] = {1.0, 0.4, 0.1};
	const struct stroke_case *stroke = &joint->problem->strokes[index];
	size_t count = stroke->readings.residual_count;
	struct attempt *best = &joint->attempts[index], other;
	double foretold[RESIDUALS_MAX], cost, promise, slope;

	cost = joint_system_own_step(stroke, joint->step, damping, best->step, foretold);
	fit_problem_loss(stroke, cost, &promise, &slope);
	best->change = distance(1.0, foretold, stroke->trial_residuals, count);
	other = *best;
	best->loss = HUGE_VAL;
	for (int k = 0; k < PORTIONS; k++) {
		memcpy(other.own, stroke->trial_own, sizeof other.own);
		for (int j = 0; j < stroke->active_count; j++)
			other.own[stroke->active[j]] += portions[k] * other.step[j];
		attempt_play(joint, stroke, joint->trial, &other);
		other.miss = k == 0 ? distance(joint->root, other.residuals, foretold, count)
		                    : HUGE_VAL;
		if (other.loss < best->loss)
			*best = other;
		if (best->loss < joint->losses[index] + WORTHWHILE)
			break;
	}
	return promise;
}

/* --- all of them -------------------------------------------------------------------------------- */

/* A round of all strokes. */
struct round {
	struct joint *joint;
	double damping;
	double *promises; /* of the strokes */
};

static bool step_one(size_t number, void *context)
{
	const struct round *round = context;

	round->promises[number] = attempt_step(round->joint, number, round->damping);
	return true;
}

/* Tries the step of that damping; returns the cost there. *promise: that of the linear problem. */
static double try_step(struct joint *joint, double damping, double *promise)
{
	struct round round = {joint, damping, joint->promises};
	double cost;

	joint_system_fill(joint->problem, joint->x, damping, joint->matrix, joint->gradient);
	if (!joint_system_solve(joint->size, joint->matrix, joint->gradient, joint->step)) {
		*promise = -HUGE_VAL;
		return HUGE_VAL;
	}
	for (size_t j = 0; j < joint->size; j++)
		joint->trial[j] = joint->x[j] + joint->step[j];
	cost = *promise = prior_cost(joint, joint->trial);
	if (!fit_problem_each(joint->problem, step_one, &round))
		return HUGE_VAL;
	for (size_t i = 0; i < joint->problem->stroke_count; i++)
		if (joint->problem->strokes[i].used) {
			*promise += joint->promises[i];
			cost += joint->attempts[i].loss;
		}
	return cost;
}

static bool accept_one(size_t number, void *context)
{
	return attempt_accept(context, number);
}

static bool accept_all(struct joint *joint)
{
	return fit_problem_each(joint->problem, accept_one, joint);
}

static bool start_one(size_t number, void *context)
{
	struct joint *joint = context;
	struct stroke_case *stroke = &joint->problem->strokes[number];
	struct attempt *attempt = &joint->attempts[number];

	attempt_play(joint, stroke, joint->x, attempt);
	if (attempt->loss > SUSPECT * (double)stroke->readings.count)
		attempt_draw(joint, stroke, attempt);
	return isfinite(attempt->loss);
}

/* Plays every stroke at the start and linearises it. */
static double start_cost(struct joint *joint)
{
	double cost = prior_cost(joint, joint->x);
	bool started;

	for (size_t i = 0; i < joint->problem->stroke_count; i++) {
		struct attempt *attempt = &joint->attempts[i];

		memcpy(attempt->own, joint->problem->strokes[i].own, sizeof attempt->own);
		attempt->reuses = REUSES;
	}
	started = fit_problem_each(joint->problem, start_one, joint);
	for (size_t i = 0; i < joint->problem->stroke_count; i++) {
		struct stroke_case *stroke = &joint->problem->strokes[i];

		memcpy(stroke->trial_own, joint->attempts[i].own, sizeof stroke->trial_own);
		cost += stroke->used ? joint->attempts[i].loss : 0.0;
	}
	return started && isfinite(cost) && accept_all(joint) ? cost : HUGE_VAL;
}

static void iterate(struct joint *joint, double *cost)
{
	double damping = DAMPING_START;
	size_t done = 0;

	while (done < joint->plan->iterations && damping <= DAMPING_MOST &&
	       !progress_stopped(joint->problem->progress)) {
		double promise, there = try_step(joint, damping, &promise);

		if (*cost - promise < joint->plan->gain && damping <= DAMPING_FELT)
			return;
		if (!(there < *cost)) {
			damping = fmax(DAMPING_FELT, damping * DAMPING_UP);
			continue;
		}
		if (*cost - there > 0.5 * (*cost - promise))
			damping = fmax(DAMPING_LEAST, damping * DAMPING_DOWN);
		memcpy(joint->x, joint->trial, joint->size * sizeof(double));
		*cost = there;
		done++;
		if (!accept_all(joint))
			return;
	}
}

/* Leaves the strokes at the end of the run, without the scaled linearisation. */
static void keep_strokes(struct fit_problem *problem)
{
	fit_problem_set_tolerance(problem, CUSHION_TOLERANCE);
	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];

		memcpy(stroke->own, stroke->trial_own, sizeof stroke->own);
		stroke->active_count = 0;
		stroke->cost = 0.0;
	}
	problem->latest[0] = HUGE_VAL;
}

enum status fit_joint_run(struct fit_problem *problem, const struct fit_joint_plan *plan, double *x,
                          double *cost)
{
	struct joint joint;

	if (!joint_create(&joint, problem, plan, x))
		return STATUS_SYSTEM;
	*cost = start_cost(&joint);
	if (isfinite(*cost))
		iterate(&joint, cost);
	keep_strokes(problem);
	joint_free(&joint);
	return STATUS_OK;
}

enum status fit_joint_precision(struct fit_problem *problem, const double *x, double *precision)
{
	static const struct fit_joint_plan plan = {.share = 1.0, .tolerance = FIT_SEARCH_TOLERANCE};
	struct joint joint;
	enum status status = STATUS_NOT_CONVERGED;

	if (!joint_create(&joint, problem, &plan, NULL))
		return STATUS_SYSTEM;
	joint.x = joint.trial;
	memcpy(joint.x, x, joint.size * sizeof(double));
	if (isfinite(start_cost(&joint))) {
		joint_system_fill(problem, x, 0.0, precision, joint.gradient);
		status = STATUS_OK;
	}
	keep_strokes(problem);
	joint_free(&joint);
	return status;
}
