/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stop_shots.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "estimate/stroke_mixture.h"
#include "physics/cushion.h"

/* Invented: a full hit at a ball on the line to a corner pocket, so that it does not come back,
 * struck so low that at the middle of the priors the spin is used up where the balls meet. */
#define SPEED 2.8 /* [m/s] */
#define HEIGHT (-0.25)
#define HEIGHT_SPREAD 0.05
#define HEIGHT_MOST 4.5 /* standardised, either way, of the table */
#define HEIGHTS 301

struct stop_table {
	double rest[STOP_POINTS][HEIGHTS]; /* [diamonds] */
};

static void stop_program(const char *what)
{
	fprintf(stderr, "%s failed\n", what);
	exit(EXIT_FAILURE);
}

static struct placement placed(double along, double across)
{
	return (struct placement){
	    .present = true, .along = {.diamonds = along}, .across = {.diamonds = across}};
}

static int reading_number(void)
{
	int number;

	if (!quantity_from_name("cue_rest_long", strlen("cue_rest_long"), &number))
		stop_program("the name of the reading");
	return number;
}

/* Spreads of zero: the tip height is the only unknown that a stroke has. */
static struct shot_design stop_design(size_t tries)
{
	struct shot_design design = {.key = "stop",
	                             .title = "stop",
	                             .how = "",
	                             .tries = (int)tries,
	                             .measure = UINT32_C(1) << reading_number()};

	design.place[BALL_CUE] = placed(4.2, 3.8);
	design.place[BALL_OBJECT] = placed(6.0, 2.0);
	design.aim = (struct aim){.kind = AIM_BALL, .ball = BALL_OBJECT, .fullness = 1.0};
	design.launch =
	    (struct launch){.speed = SPEED, .height = HEIGHT, .height_spread = HEIGHT_SPREAD};
	return design;
}

double stop_point(size_t i)
{
	return STOP_LOWEST + (STOP_HIGHEST - STOP_LOWEST) * (double)i / (STOP_POINTS - 1);
}

static double table_height(size_t k)
{
	return HEIGHT_MOST * (2.0 * (double)k / (HEIGHTS - 1) - 1.0);
}

/* Where the cue ball rests; false when it falls. */
static bool play(const struct stroke_scene *scene, double sliding, double height, double *rest)
{
	struct stroke_point point = {.constants = {[SLIDING_FRICTION] = sliding}};
	struct constants constants = stroke_point_constants(&point);
	double own[OWN_UNKNOWNS] = {[OWN_HEIGHT] = height};
	struct observed observed[QUANTITY_COUNT];
	struct shot_record record;

	if (!stroke_scene_play(scene, &constants, point.shared, own, CUSHION_TOLERANCE, &record,
	                       observed))
		stop_program("a play");
	*rest = observed[reading_number()].value;
	return !observed[reading_number()].pocketed;
}

static void make_scene(struct stroke_scene *scene, const struct shot_design *design,
                       const struct session *session)
{
	const char *why;

	if (!stroke_scene_make(scene, design, session, NULL, design->measure, &why))
		stop_program(why);
}

struct stop_table *stop_table_make(void)
{
	struct stop_table *table = malloc(sizeof *table);
	struct shot_design design = stop_design(1);
	struct session session = session_default();
	struct stroke_scene scene;

	if (table == NULL)
		stop_program("memory");
	make_scene(&scene, &design, &session);
	for (size_t i = 0; i < STOP_POINTS; i++)
		for (size_t k = 0; k < HEIGHTS; k++)
			play(&scene, stop_point(i), table_height(k), &table->rest[i][k]);
	return table;
}

/* One stroke of the truth, with a height of its own and a reading error. */
static void fill_row(struct stop_session *session, const struct stroke_scene *scene,
                     struct random_stream *stream, struct stroke_row *row)
{
	double rest, error = session->measurement.session.errors.position;
	double height = random_normal(stream), noise = random_normal(stream);

	*row = (struct stroke_row){.shot = "stop", .player = "", .valid = true};
	row->ball[BALL_CUE] = "A";
	row->ball[BALL_OBJECT] = "O";
	row->ball[BALL_OBJECT2] = "O";
	if (play(scene, 0.0, height, &rest))
		row->readings[reading_number()] =
		    (struct reading){.kind = READING_VALUE, .value = rest + error * noise};
}

void stop_session_make(struct stop_session *session, size_t tries, uint64_t number)
{
	struct random_stream stream = random_start(RANDOM_DEFAULT_SEED, number);
	struct stroke_scene scene;

	*session = (struct stop_session){.design = stop_design(tries)};
	session->protocol =
	    (struct protocol){.name = "stop", .shot_count = 1, .shots = &session->design};
	session->rows = calloc(tries, sizeof *session->rows);
	if (session->rows == NULL || fault_list_create(&session->faults) != STATUS_OK)
		stop_program("memory");
	session->measurement = (struct measurement){.file = "stop.csv",
	                                            .separator = ',',
	                                            .session = session_default(),
	                                            .row_count = tries,
	                                            .rows = session->rows};
	make_scene(&scene, &session->design, &session->measurement.session);
	for (size_t i = 0; i < tries; i++)
		fill_row(session, &scene, &stream, &session->rows[i]);
	session->input = (struct fit_input){&session->measurement, &session->protocol};
	if (fit_problem_create(&session->problem, &session->input, 1, number, &session->faults) !=
	    STATUS_OK)
		stop_program("the fit problem");
}

void stop_session_free(struct stop_session *session)
{
	fit_problem_free(&session->problem);
	fault_list_free(&session->faults);
	free(session->rows);
}

/* Logarithm of the sum of the height's normal density times the likelihood of one reading. */
static double exact_stroke(const double rest[HEIGHTS], double reading, double error)
{
	double sum = 0.0, spacing = table_height(1) - table_height(0);

	for (size_t k = 0; k < HEIGHTS; k++) {
		double height = table_height(k), residual = (rest[k] - reading) / error;

		sum += exp(-0.5 * (residual * residual + height * height));
	}
	return log(sum * spacing / sqrt(2.0 * acos(-1.0)));
}

void stop_exact(const struct stop_table *table, const struct stop_session *session,
                double curve[STOP_POINTS])
{
	for (size_t i = 0; i < STOP_POINTS; i++) {
		curve[i] = 0.0;
		for (size_t k = 0; k < session->problem.stroke_count; k++) {
			const struct stroke_reading *item =
			    &session->problem.strokes[k].readings.items[0];

			curve[i] += exact_stroke(table->rest[i], item->value, item->error);
		}
	}
}

static struct stroke_point point_at(double sliding)
{
	return (struct stroke_point){.constants = {[SLIDING_FRICTION] = sliding}};
}

/* The least cost of one stroke: from either side of the stop point. */
static double settle_stroke(struct stroke_case *stroke, double sliding)
{
	struct stroke_point point = point_at(sliding);
	double best = HUGE_VAL;

	for (int side = -1; side <= 1; side += 2) {
		memset(stroke->trial_own, 0, sizeof stroke->trial_own);
		stroke->trial_own[OWN_HEIGHT] = side;
		stroke->active_count = 0;
		if (!stroke_case_settle(stroke, &point) || !(stroke->trial_cost < best))
			continue;
		best = stroke->trial_cost;
		memcpy(stroke->own, stroke->trial_own, sizeof stroke->own);
	}
	return best;
}

double stop_best(struct stop_session *session, double sliding)
{
	double sum = 0.0;

	for (size_t k = 0; k < session->problem.stroke_count; k++)
		sum += settle_stroke(&session->problem.strokes[k], sliding);
	return -0.5 * sum;
}

static void add_marginal(const struct stroke_mixture *mixture, size_t size,
                         double curve[STOP_POINTS])
{
	double *x = calloc(size, sizeof *x);
	double *work = calloc(stroke_mixture_work(mixture), sizeof *work);

	if (x == NULL || work == NULL)
		stop_program("memory");
	for (size_t i = 0; i < STOP_POINTS; i++) {
		x[SLIDING_FRICTION] = stop_point(i);
		curve[i] += stroke_mixture_log(mixture, x, NULL, work, NULL);
	}
	free(x);
	free(work);
}

void stop_marginal(struct stop_session *session, double at, double curve[STOP_POINTS])
{
	struct stroke_point point = point_at(at);

	memset(curve, 0, STOP_POINTS * sizeof *curve);
	for (size_t k = 0; k < session->problem.stroke_count; k++) {
		struct stroke_case *stroke = &session->problem.strokes[k];
		struct stroke_mixture mixture;

		if (!stroke_mixture_make(&mixture, stroke, &point, session->problem.seed,
		                         stroke->own))
			stop_program("a mixture");
		add_marginal(&mixture, fit_problem_size(&session->problem), curve);
		stroke_mixture_free(&mixture);
	}
}
