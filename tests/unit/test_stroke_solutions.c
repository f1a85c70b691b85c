/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "base/random.h"
#include "estimate/stroke_mixture.h"
#include "session_support.h"
#include "stroke_rows.h"

/* The marginal likelihood of a stroke with two solutions: a ball rolled at the foot rail that was
 * found one diamond before it may have stopped short of it or have come back. Against plain Monte
 * Carlo over the own unknowns, what the marginal is by definition. */

#define PLAYS 12000
#define FOUND 7.0 /* [diamonds] along the table */

static struct protocol protocol;
static struct stroke_rows rows;

/* The lag of protocols/usual.json, played so softly that it hardly comes back. */
static struct stroke_case *setup_stroke(void)
{
	int number;

	ck_assert(quantity_from_name("cue_rest_long", strlen("cue_rest_long"), &number));
	session_support_protocol(session_support_path("protocols/usual.json"), &protocol);
	protocol.shot_count = 1;
	protocol.shots[0].tries = 1;
	protocol.shots[0].launch.speed = 0.63;
	stroke_rows_play(&rows, &protocol, NULL, 1, false);
	rows.measurement.rows[0].readings[number].value = FOUND;
	stroke_rows_build(&rows);
	return &rows.problem.strokes[0];
}

/* Log of the mean likelihood and its error, of the plays alone that meet the rail or do not. */
struct sums {
	double sum[2], squares[2];
};

static struct sums by_plays(const struct stroke_case *stroke, const double *x)
{
	struct stroke_point point = fit_problem_point(stroke, x);
	struct random_stream stream = random_start(77, 1);
	struct sums sums = {{0.0}, {0.0}};

	for (int k = 0; k < PLAYS; k++) {
		double own[OWN_UNKNOWNS], residual;
		struct shot_record record;
		int back;

		for (int j = 0; j < OWN_UNKNOWNS; j++)
			own[j] = random_normal(&stream);
		if (!stroke_case_residuals(stroke, &point, own, &residual, &record))
			continue;
		back = record.impacts[BALL_CUE] > 0;
		sums.sum[back] += exp(-0.5 * residual * residual) / PLAYS;
		sums.squares[back] += exp(-residual * residual) / PLAYS;
	}
	return sums;
}

struct estimate_of {
	double log, error; /* 1 sd */
};

static struct estimate_of summed(struct sums sums, double floor)
{
	double whole = sums.sum[0] + sums.sum[1] + exp(floor);

	return (struct estimate_of){log(whole),
	                            sqrt((sums.squares[0] + sums.squares[1]) / PLAYS) / whole};
}

/* At the mixture's own point within 3 standard errors of both (that of its draws is at most 0.15,
 * of 200 of which 45 count), with both solutions worth at least a tenth; and from there to 0.3
 * standard deviations of the rolling resistance (14 %) to either side, where one solution gains and
 * the other loses, the change within 3 standard errors of the plays. */
START_TEST(two_solutions_as_by_plays)
{
	struct stroke_case *stroke = setup_stroke();
	double *x = calloc(fit_problem_size(&rows.problem), sizeof *x), *work, own_log;
	struct stroke_point point = fit_problem_point(stroke, x);
	struct sums sums = by_plays(stroke, x);
	struct estimate_of own, away;
	struct stroke_mixture mixture;
	int misses = 0;

	ck_assert_uint_eq(stroke->readings.residual_count, 1);
	ck_assert(stroke_mixture_make(&mixture, stroke, &point, 3, stroke->own));
	work = calloc(stroke_mixture_work(&mixture), sizeof *work);
	ck_assert(x != NULL && work != NULL);
	ck_assert_int_ge(mixture.solution_count, 2);
	ck_assert_double_gt(fmin(sums.sum[0], sums.sum[1]), 0.1 * (sums.sum[0] + sums.sum[1]));
	own = summed(sums, mixture.floor);
	own_log = stroke_mixture_log(&mixture, x, NULL, work, NULL);
	misses += close_miss("found before the rail", 0, "log likelihood", own.log, own_log,
	                     3.0 * hypot(own.error, 0.15));
	for (int side = -2; side <= 2; side++) {
		x[ROLLING_RESISTANCE] = 0.15 * side;
		away = summed(by_plays(stroke, x), mixture.floor);
		misses +=
		    close_miss("found before the rail", side, "change of it", away.log - own.log,
		               stroke_mixture_log(&mixture, x, NULL, work, NULL) - own_log,
		               3.0 * hypot(away.error, own.error));
	}
	ck_assert_int_eq(misses, 0);
	stroke_mixture_free(&mixture);
	stroke_rows_free(&rows);
	protocol_free(&protocol);
	free(x);
	free(work);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("stroke_solutions");
	TCase *cases = tcase_create("stroke_solutions");

	suite_add_tcase(suite, cases);
	tcase_add_test(cases, two_solutions_as_by_plays);
	return close_run(suite);
}
