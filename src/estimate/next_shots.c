/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/next_shots.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#include "base/parallel.h"
#include "base/random.h"
#include "estimate/fit_states.h"
#include "estimate/next_kit.h"
#include "estimate/shot_information.h"

struct square {
	double at[CONSTANT_COUNT][CONSTANT_COUNT];
};

/* What may come of further shots is not known beforehand: so many futures are looked at, each with
 * constants drawn from what is known, habits and strokes drawn from their priors. */
#define FUTURES 8
#define FUTURES_SEED 20111
#define INSIDE 1e-6 /* standardised */

struct future {
	struct stroke_point point;
	double own[NEXT_SHOT_STROKES][OWN_UNKNOWNS];
	struct shot_information chosen; /* of the shots chosen so far */
	struct square covariance;       /* standardised, with those shots */
};

/* What each candidate would tell. */
struct choice {
	const struct fit_result *result;
	const struct next_candidate *candidates;
	size_t count;
	struct shot_information (*information)[FUTURES]; /* of each candidate */
	bool *chosen;
	struct square start; /* covariance, standardised, before any further shot */
	struct future *futures;
	bool has_clock;             /* in the sessions or the shots chosen so far */
	unsigned kit;               /* likewise: in use */
	bool known[CONSTANT_COUNT]; /* before any further shot, as well as is wanted */
	const double *wanted;       /* relative standard errors; NULL: as determined constants have */
};

/* Relative standard error by the standardised deviation. */
static double relative_error(enum constant_id id, double centre, double deviation)
{
	double value = constant_from_scale(id, centre);

	return constant_scale_slope(id, value) / value * constant_prior(id)->spread * deviation;
}

static double excess(enum constant_id id, double centre, double deviation)
{
	return fmax(relative_error(id, centre, deviation) / FIT_WEAK_ABOVE,
	            deviation / (1.0 - FIT_LEARNED_ENOUGH));
}

double next_shots_excess(enum constant_id id, const double centre[CONSTANT_COUNT],
                         double covariance[CONSTANT_COUNT][CONSTANT_COUNT])
{
	return excess(id, centre[id], sqrt(covariance[id][id]) / constant_prior(id)->spread);
}

/* How many times larger a deviation is than is wanted of that constant. */
static double choice_excess(const struct choice *choice, enum constant_id id, double deviation)
{
	double centre = choice->result->centre[id];

	if (choice->wanted == NULL || !(choice->wanted[id] > 0.0))
		return excess(id, centre, deviation);
	return relative_error(id, centre, deviation) / choice->wanted[id];
}

static bool is_cloth(enum constant_id id)
{
	return id == SLIDING_FRICTION || id == ROLLING_RESISTANCE || id == SPIN_FRICTION;
}

/* Standardised deviation of a constant, expected with the shots chosen so far: the geometric mean
 * over the futures, as errors differ by factors. */
static double expected_deviation(const struct choice *choice, int id)
{
	double sum = 0.0;

	for (int f = 0; f < FUTURES; f++)
		sum += 0.5 * log(choice->futures[f].covariance.at[id][id]);
	return exp(sum / FUTURES);
}

/* The constant furthest from known, apart from those passed over; CONSTANT_COUNT where none is. */
static int find_worst(const struct choice *choice, const bool passed[CONSTANT_COUNT])
{
	int worst = CONSTANT_COUNT;
	double most = 0.0;

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		double here = choice_excess(choice, (enum constant_id)id,
		                            expected_deviation(choice, id));
		bool waits = !choice->has_clock && is_cloth((enum constant_id)id);

		if (choice->known[id] || passed[id] || (here <= 1.0 && !waits) || here <= most)
			continue;
		worst = id;
		most = here;
	}
	return worst;
}

static void add_information(const struct shot_information *more, struct shot_information *sum)
{
	for (int i = 0; i < STROKE_OUTER; i++)
		for (int k = 0; k < STROKE_OUTER; k++)
			sum->at[i][k] += more->at[i][k];
}

/* Covariance of one future with one candidate more. */
static bool add_candidate(const struct choice *choice, size_t candidate, int future,
                          struct square *after)
{
	struct shot_information sum = choice->futures[future].chosen;
	struct square start = choice->start, information;

	add_information(&choice->information[candidate][future], &sum);
	return shot_information_reduce(&sum, information.at) &&
	       shot_information_narrow(start.at, information.at, after->at);
}

/* Standardised deviation of a constant that is expected with one candidate more. */
static double deviation_after(const struct choice *choice, size_t candidate, enum constant_id id)
{
	double sum = 0.0;

	for (int f = 0; f < FUTURES; f++) {
		struct square after;

		if (!add_candidate(choice, candidate, f, &after))
			return HUGE_VAL;
		sum += 0.5 * log(after.at[id][id]);
	}
	return exp(sum / FUTURES);
}

/* A shot that needs other kit is taken only where it does better by that. */
static double handicap(const struct choice *choice, size_t candidate)
{
	return next_kit_needed(&choice->candidates[candidate]) & ~choice->kit ? 1.0 + NEXT_SHOT_GAIN
	                                                                      : 1.0;
}

/* The candidate after which the deviation of a constant is least, and that deviation. False when no
 * shot lowers it enough. */
static bool find_best(const struct choice *choice, enum constant_id id, size_t *best,
                      double *deviation)
{
	double enough = (1.0 - NEXT_SHOT_GAIN) * expected_deviation(choice, id);
	double least = HUGE_VAL;

	for (size_t i = 0; i < choice->count; i++) {
		double after;

		if (choice->chosen[i] || (!choice->has_clock && is_cloth(id) &&
		                          !next_kit_has_clock(choice->candidates[i].shot)))
			continue;
		after = deviation_after(choice, i, id);
		if (after > enough || handicap(choice, i) * after >= least)
			continue;
		least = handicap(choice, i) * after;
		*best = i;
		*deviation = after;
	}
	return least < HUGE_VAL;
}

static void take(struct choice *choice, size_t candidate)
{
	const struct next_candidate *taken = &choice->candidates[candidate];

	for (int f = 0; f < FUTURES; f++) {
		add_candidate(choice, candidate, f, &choice->futures[f].covariance);
		add_information(&choice->information[candidate][f], &choice->futures[f].chosen);
	}
	choice->chosen[candidate] = true;
	choice->has_clock = choice->has_clock || next_kit_has_clock(taken->shot);
	choice->kit |= next_kit_needed(taken);
}

/* Adds one shot: for the worst constant that any shot helps. False when there is none. */
static bool choose_one(struct choice *choice, const struct fit_input *inputs, size_t input_count,
                       struct next_shots *next)
{
	bool passed[CONSTANT_COUNT] = {false};
	double deviation = 0.0;
	size_t best = 0;
	int worst;

	while ((worst = find_worst(choice, passed)) < CONSTANT_COUNT) {
		enum constant_id id = (enum constant_id)worst;
		double centre = choice->result->centre[id];
		const struct next_candidate *candidate;

		passed[id] = true;
		if (!find_best(choice, id, &best, &deviation))
			continue;
		candidate = &choice->candidates[best];
		next->shots[next->count++] = (struct next_shot){
		    .protocol = candidate->protocol,
		    .shot = candidate->shot,
		    .strokes = NEXT_SHOT_STROKES,
		    .more = next_kit_was_played(inputs, input_count, candidate),
		    .kit = next_kit_needed(candidate) & ~choice->kit,
		    .constant = id,
		    .before = relative_error(id, centre, expected_deviation(choice, id)),
		    .after = relative_error(id, centre, deviation)};
		take(choice, best);
		return true;
	}
	return false;
}

/* Whether nothing more is wanted of a constant. */
static bool is_known(const struct choice *choice, enum constant_id id)
{
	const struct estimate *estimate = &choice->result->constants[id];

	if (choice->wanted == NULL)
		return estimate->state != KNOWLEDGE_NOT_DETERMINED &&
		       estimate->state != KNOWLEDGE_WEAK;
	return !(choice->wanted[id] > 0.0) || estimate->state == KNOWLEDGE_HELD ||
	       (estimate->state != KNOWLEDGE_NOT_DETERMINED &&
	        estimate->best.standard_error <= choice->wanted[id] * estimate->best.value);
}

/* What is known before any further shot, standardised. */
static void start_choice(struct choice *choice)
{
	const struct fit_result *result = choice->result;

	choice->has_clock = result->has_clock;
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		choice->known[i] = is_known(choice, (enum constant_id)i);
		for (int k = 0; k < CONSTANT_COUNT; k++)
			choice->start.at[i][k] = result->covariance[i][k] /
			                         constant_prior((enum constant_id)i)->spread /
			                         constant_prior((enum constant_id)k)->spread;
	}
}

/* Keeps a standardised constant inside its limits: the model has no slope beyond. */
static double keep_inside(enum constant_id id, double coordinate)
{
	const struct constant_prior *prior = constant_prior(id);
	double low = prior_coordinate(id, prior->lowest) + INSIDE;
	double high =
	    prior->highest < 1.0 ? prior_coordinate(id, prior->highest) - INSIDE : HUGE_VAL;

	return fmin(high, fmax(low, coordinate));
}

/* The constants of one future, standardised: one of the draws, or a draw from the covariance. */
static void draw_constants(const struct choice *choice, int future, struct random_stream *stream,
                           double constants[CONSTANT_COUNT])
{
	const struct fit_result *result = choice->result;
	struct square factor = choice->start;
	gsl_matrix_view matrix =
	    gsl_matrix_view_array(factor.at[0], CONSTANT_COUNT, CONSTANT_COUNT);
	bool regular = gsl_linalg_cholesky_decomp1(&matrix.matrix) == 0;
	double normal[CONSTANT_COUNT];

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);
		double from = result->centre[i];

		normal[i] = random_normal(stream);
		if (result->draw_count > 0)
			from = result->draws[result->draw_count * (size_t)(2 * future + 1) /
			                     (2 * FUTURES)][i];
		constants[i] =
		    (from - constant_to_scale((enum constant_id)i, prior->centre)) / prior->spread;
		for (int k = 0; k <= i && regular && result->draw_count == 0; k++)
			constants[i] += factor.at[i][k] * normal[k];
		constants[i] = keep_inside((enum constant_id)i, constants[i]);
	}
}

static void draw_futures(struct choice *choice)
{
	for (int f = 0; f < FUTURES; f++) {
		struct random_stream stream = random_start(FUTURES_SEED, (uint64_t)f);
		struct future *future = &choice->futures[f];

		future->covariance = choice->start;
		draw_constants(choice, f, &stream, future->point.constants);
		for (int i = 0; i < SHARED_UNKNOWNS; i++)
			future->point.shared[i] = random_normal(&stream);
		for (int s = 0; s < NEXT_SHOT_STROKES; s++)
			for (int i = 0; i < OWN_UNKNOWNS; i++)
				future->own[s][i] = random_normal(&stream);
	}
}

/* What a shot tells in one future; a stroke that gives no reading there tells nothing. */
static void play_future(const struct next_candidate *candidate, const struct session *session,
                        const struct future *future, double factor,
                        struct shot_information *information)
{
	*information = (struct shot_information){{{0.0}}};
	for (int s = 0; s < NEXT_SHOT_STROKES; s++)
		shot_information_play(candidate->shot, session, &future->point, future->own[s],
		                      information);
	shot_information_end_shot(information);
	for (int i = 0; i < STROKE_OUTER; i++)
		for (int k = 0; k < STROKE_OUTER; k++)
			information->at[i][k] /= factor;
}

/* A candidate in all futures; the pieces of play_all. */
struct play {
	struct choice *choice;
	const struct session *session;
	double factor;
};

static void play_candidate(size_t candidate, void *context)
{
	const struct play *play = context;
	struct choice *choice = play->choice;

	for (int f = 0; f < FUTURES; f++)
		play_future(&choice->candidates[candidate], play->session, &choice->futures[f],
		            play->factor, &choice->information[candidate][f]);
}

static void play_all(struct choice *choice, const struct session *session)
{
	const struct fit_result *result = choice->result;
	struct play play = {choice, session, 1.0};

	if (result->scaled)
		play.factor = result->chi_square / result->degrees_of_freedom;
	parallel_run(choice->count, 0, play_candidate, &play);
}

static bool create_choice(struct choice *choice)
{
	choice->information = calloc(choice->count + 1, sizeof *choice->information);
	choice->chosen = calloc(choice->count + 1, sizeof *choice->chosen);
	choice->futures = calloc(FUTURES, sizeof *choice->futures);
	return choice->information != NULL && choice->chosen != NULL && choice->futures != NULL;
}

static void free_choice(struct choice *choice)
{
	free(choice->information);
	free(choice->chosen);
	free(choice->futures);
}

/* The worst constant, and whether there is any. */
static void name_worst(const struct choice *choice, struct next_shots *next)
{
	static const bool none[CONSTANT_COUNT];
	int worst = find_worst(choice, none);

	next->all_known = worst == CONSTANT_COUNT;
	next->worst = (enum constant_id)worst;
}

enum status next_shots_choose_for(const struct fit_input *inputs, size_t input_count,
                                  const struct fit_result *result,
                                  const struct next_candidate *candidates, size_t count,
                                  const double *wanted, struct next_shots *next)
{
	struct choice choice = {.result = result,
	                        .candidates = candidates,
	                        .count = count,
	                        .wanted = wanted,
	                        .kit = next_kit_used(inputs, input_count)};
	bool created = create_choice(&choice);

	gsl_set_error_handler_off();
	*next = (struct next_shots){.count = 0};
	if (created) {
		start_choice(&choice);
		draw_futures(&choice);
		name_worst(&choice, next);
		if (!next->all_known)
			play_all(&choice, &inputs[input_count - 1].measurement->session);
		while (next->count < NEXT_SHOTS_MOST &&
		       choose_one(&choice, inputs, input_count, next))
			continue;
	}
	free_choice(&choice);
	return created ? STATUS_OK : STATUS_SYSTEM;
}
