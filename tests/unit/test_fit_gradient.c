/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "base/random.h"
#include "estimate/fit_problem.h"
#include "fit_support.h"

/* The derivatives of a fit: with each stroke's own unknowns at their best, the cost is the profile
 * of the whole cost, and by the envelope theorem its gradient is 2 J'r of the reduced residuals.
 * Compared with differences of the cost itself, which asks for residuals alone. */

#define POINTS 3
#define STROKES_MOST 32
#define STEP 0.01 /* [standard deviations of the priors] */

static struct protocol protocol;
static struct measurement measurement;
static struct fault_list faults;
static struct fit_problem problem;

static void setup(void)
{
	struct fit_input input = {&measurement, &protocol};
	static struct fit_input kept;

	fit_support_protocol(&protocol);
	fit_support_session(&protocol, 91, "given.csv", &measurement);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	kept = input;
	ck_assert_int_eq(fit_problem_create(&problem, &kept, 1, 1, &faults), STATUS_OK);
}

static void teardown(void)
{
	fit_problem_free(&problem);
	fault_list_free(&faults);
	measurement_free(&measurement);
	protocol_free(&protocol);
}

static double cost_at(const double *x, double *residuals)
{
	double sum = 0.0;

	ck_assert(fit_problem_residuals(&problem, x, residuals));
	for (size_t i = 0; i < fit_problem_count(&problem); i++)
		sum += residuals[i] * residuals[i];
	return sum;
}

/* One row for each reading (two for a rail contact), one for each outer unknown, one limit for each
 * constant; a player's speed, height and side, an aim for each of the shots, a delay of the
 * session where sounds are read. */
START_TEST(sizes_are_counted)
{
	size_t rows = 0, strokes = 0;
	bool sounds = false;

	for (size_t i = 0; i < measurement.row_count; i++) {
		bool any = false;

		for (int number = 0; number < QUANTITY_COUNT; number++) {
			enum quantity_kind kind = quantity_at(number).kind;

			if (measurement.rows[i].readings[number].kind != READING_VALUE)
				continue;
			any = true;
			sounds = sounds || kind == QUANTITY_SOUND;
			rows += kind == QUANTITY_RAIL ? 2 : 1;
		}
		strokes += any;
	}
	ck_assert_uint_eq(problem.stroke_count, strokes);
	ck_assert_uint_eq(fit_problem_size(&problem),
	                  CONSTANT_COUNT + 3 + protocol.shot_count + (sounds ? 1 : 0));
	ck_assert_uint_eq(fit_problem_count(&problem),
	                  rows + fit_problem_size(&problem) + CONSTANT_COUNT);
}
END_TEST

/* What a stroke's cost counts for: all of it while it is more likely than 1 in 200, growing as its
 * root beyond (Huber 1964). Chi-square points of 0.5 %, from any table. */
static double counted(double cost, size_t readings)
{
	static const double likely[] = {7.8794, 10.5966, 12.8382, 14.8603, 16.7496};

	ck_assert_uint_ge(readings, 1);
	ck_assert_uint_le(readings, 5);
	if (cost <= likely[readings - 1])
		return cost;
	return 2.0 * sqrt(likely[readings - 1] * cost) - likely[readings - 1];
}

/* The residuals' squares are the squares of readings, own and shared unknowns and constants. */
START_TEST(cost_is_what_it_is_made_of)
{
	size_t size = fit_problem_size(&problem);
	double *x = calloc(size, sizeof *x);
	double *residuals = calloc(fit_problem_count(&problem), sizeof *residuals);
	double cost, sum = 0.0;

	ck_assert(x != NULL && residuals != NULL);
	x[ROLLING_RESISTANCE] = 0.13;
	x[CONSTANT_COUNT] = -0.21;
	cost = cost_at(x, residuals);
	for (size_t i = 0; i < problem.stroke_count; i++) {
		const struct stroke_case *stroke = &problem.strokes[i];
		double own = 0.0;

		for (int k = 0; k < OWN_UNKNOWNS; k++)
			own += stroke->trial_own[k] * stroke->trial_own[k];
		for (size_t k = 0; k < stroke->readings.residual_count; k++)
			own += stroke->trial_residuals[k] * stroke->trial_residuals[k];
		ck_assert_double_eq_tol(own, stroke->trial_cost, 1e-9 * (1.0 + own));
		sum += counted(own, stroke->readings.count);
	}
	sum += 0.13 * 0.13 + 0.21 * 0.21;
	ck_assert_double_eq_tol(cost, sum, 1e-6 * sum);
	free(x);
	free(residuals);
}
END_TEST

/* One point: residuals and Jacobian there, and room for those of a neighbour. */
struct looked_at {
	double *x, *residuals, *jacobian, *moved;
};

static struct looked_at look_at_nothing(void)
{
	size_t size = fit_problem_size(&problem), count = fit_problem_count(&problem);
	struct looked_at at = {calloc(size, sizeof(double)), calloc(count, sizeof(double)),
	                       calloc(count * size, sizeof(double)), calloc(count, sizeof(double))};

	ck_assert(at.x != NULL && at.residuals != NULL && at.jacobian != NULL && at.moved != NULL);
	return at;
}

static void forget(struct looked_at *at)
{
	free(at->x);
	free(at->residuals);
	free(at->jacobian);
	free(at->moved);
}

/* Squares of each stroke's residuals at x moved in unknown j. */
static void stroke_squares(struct looked_at *at, size_t j, double step, double *squares)
{
	double middle = at->x[j];
	size_t row = 0;

	at->x[j] = middle + step;
	cost_at(at->x, at->moved);
	at->x[j] = middle;
	for (size_t i = 0; i < problem.stroke_count; i++) {
		squares[i] = 0.0;
		for (size_t k = 0; k < problem.strokes[i].readings.residual_count; k++, row++)
			squares[i] += at->moved[row] * at->moved[row];
	}
}

/* How many strokes' slopes by unknown j differ from the difference of their squares. */
static int check_unknown(struct looked_at *at, size_t j, int *compared)
{
	double up[STROKES_MOST], down[STROKES_MOST];
	size_t size = fit_problem_size(&problem), row = 0;
	int differ = 0;

	stroke_squares(at, j, STEP, up);
	stroke_squares(at, j, -STEP, down);
	for (size_t i = 0; i < problem.stroke_count; i++) {
		double slope = 0.0, difference = (up[i] - down[i]) / (2.0 * STEP);

		for (size_t k = 0; k < problem.strokes[i].readings.residual_count; k++, row++)
			slope += 2.0 * at->jacobian[row * size + j] * at->residuals[row];
		(*compared)++;
		if (fabs(slope - difference) <= 0.01 * fabs(slope) + 0.01)
			continue;
		differ++;
		fprintf(stderr, "unknown %zu, %s: slope %.5g, difference %.5g\n", j,
		        problem.strokes[i].row->shot, slope, difference);
	}
	return differ;
}

/* Each stroke, by each outer unknown, at points about the middle of the priors. A stroke may have
 * two solutions (physics.md 6) and go from one to the other inside a step: seldom. */
START_TEST(gradient_is_that_of_the_profile)
{
	struct looked_at at = look_at_nothing();
	struct random_stream stream = random_start(3301, 1);
	int differ = 0, compared = 0;

	ck_assert_uint_le(problem.stroke_count, STROKES_MOST);
	for (int point = 0; point < POINTS; point++) {
		for (size_t j = 0; j < fit_problem_size(&problem); j++)
			at.x[j] = 0.15 * random_normal(&stream);
		cost_at(at.x, at.residuals);
		ck_assert(fit_problem_jacobian(&problem, at.x, at.jacobian));
		/* Once more: the Jacobian's own linearisation may have settled the strokes
		 * better. */
		cost_at(at.x, at.residuals);
		for (size_t j = 0; j < fit_problem_size(&problem); j++)
			differ += check_unknown(&at, j, &compared);
	}
	ck_assert_int_gt(compared, 500);
	ck_assert_int_le(differ, compared / 50);
	forget(&at);
}
END_TEST

/* Asked for at another point than the latest residuals, the Jacobian is that of the point asked
 * for. */
START_TEST(jacobian_belongs_to_its_point)
{
	size_t size = fit_problem_size(&problem), count = fit_problem_count(&problem);
	double *x = calloc(size, sizeof *x), *residuals = calloc(count, sizeof *residuals);
	double *here = calloc(count * size, sizeof *here),
	       *again = calloc(count * size, sizeof *again);
	double difference = 0.0, largest = 0.0;

	ck_assert(x != NULL && residuals != NULL && here != NULL && again != NULL);
	cost_at(x, residuals);
	ck_assert(fit_problem_jacobian(&problem, x, here));
	x[ROLLING_RESISTANCE] = 0.6;
	cost_at(x, residuals);
	x[ROLLING_RESISTANCE] = 0.0;
	ck_assert(fit_problem_jacobian(&problem, x, again));
	for (size_t i = 0; i < count * size; i++) {
		difference = fmax(difference, fabs(here[i] - again[i]));
		largest = fmax(largest, fabs(here[i]));
	}
	ck_assert_double_lt(difference, 0.01 * largest);
	free(x);
	free(residuals);
	free(here);
	free(again);
}
END_TEST

/* Residuals of one stroke with one outer unknown moved. */
static void moved_residuals(const struct stroke_case *stroke, int unknown, double step,
                            double *residuals)
{
	struct stroke_point point;

	memset(&point, 0, sizeof point);
	*(unknown < CONSTANT_COUNT ? &point.constants[unknown]
	                           : &point.shared[unknown - CONSTANT_COUNT]) = step;
	ck_assert(stroke_case_residuals(stroke, &point, stroke->trial_own, residuals, NULL));
}

/* Derivatives of a stroke's residuals by the outer unknowns against differences of a quarter of the
 * step that the program takes (2e-3): what they tell does not hang on the step. */
START_TEST(linearisation_does_not_hang_on_its_step)
{
	const double h = 5e-4;
	int misses = 0, compared = 0;

	for (size_t i = 0; i < problem.stroke_count; i++) {
		struct stroke_case stroke = problem.strokes[i];
		struct stroke_point point;

		memset(&point, 0, sizeof point);
		ck_assert(stroke_case_linearise(&stroke, &point, true));
		for (int j = 0; j < STROKE_OUTER; j++) {
			double up[RESIDUALS_MAX], down[RESIDUALS_MAX];

			if (j >= CONSTANT_COUNT && stroke.parameter[j - CONSTANT_COUNT] < 0)
				continue;
			moved_residuals(&stroke, j, h, up);
			moved_residuals(&stroke, j, -h, down);
			for (size_t r = 0; r < stroke.readings.residual_count; r++) {
				double slope = (up[r] - down[r]) / (2.0 * h);

				compared++;
				misses +=
				    fabs(slope - stroke.by_outer[r][j]) > 0.02 * fabs(slope) + 0.02;
			}
		}
	}
	ck_assert_int_gt(compared, 500);
	/* A bend of the physics (a nose that begins to stick) may lie inside a step. */
	ck_assert_int_le(misses, compared / 100);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("derivatives of a fit");
	TCase *derivatives = tcase_create("derivatives");

	tcase_add_checked_fixture(derivatives, setup, teardown);
	tcase_add_test(derivatives, sizes_are_counted);
	tcase_add_test(derivatives, cost_is_what_it_is_made_of);
	tcase_add_test(derivatives, gradient_is_that_of_the_profile);
	tcase_add_test(derivatives, jacobian_belongs_to_its_point);
	tcase_add_test(derivatives, linearisation_does_not_hang_on_its_step);
	suite_add_tcase(suite, derivatives);
	return close_run(suite);
}
