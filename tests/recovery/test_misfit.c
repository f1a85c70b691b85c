/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "../unit/fit_support.h"
#include "../unit/shot_support.h"
#include "estimate/simulate.h"
#include "misfit_case.h"
#include "misfit_foresee.h"
#include "misfit_report.h"
#include "misfit_slide.h"
#include "physics/cloth.h"

/* What the study of models that are not ours is made of. */

#define FALL 0.37 /* [s/m] */

struct slide {
	double time, distance;
	struct ball_state end;
};

/* Slides a ball piece by piece to the end of its slide. */
static void slide_out(const struct ball_state *start, const struct ball_body *body,
                      const struct constants *constants, struct slide *out)
{
	struct ball_state at = *start;

	*out = (struct slide){.end = at};
	for (int pieces = 0; pieces < 200; pieces++) {
		struct cloth_motion motion = cloth_motion_start(&at, body, constants);

		if (motion.phase != CLOTH_SLIDING)
			break;
		at = cloth_advance(&at, &motion, body->radius, motion.duration);
		out->time += motion.duration;
	}
	out->end = at;
	out->distance = at.position.y - start->position.y;
}

/* du/dt = -(7/2) g mu exp(-f (u - 1)), so the slide lasts
 * (exp(f (u0 - 1)) - exp(-f)) / (7/2 g mu f); the velocity follows the slip by 2/7, and the way is
 * the quadrature of that over u. */
START_TEST(slide_with_falling_friction)
{
	struct shot_support shot;
	struct ball_state start;
	struct slide slide;
	double mu, slip = 2.9 + 1.3, rate, time, way = 0.0;
	int steps = 40000;

	shot_support_start(&shot, 1);
	mu = shot.constants.value[SLIDING_FRICTION];
	rate = 3.5 * STANDARD_GRAVITY * mu;
	/* Toward the foot at 2.9 m/s with draw, R w = -1.3 m/s. */
	start = shot_support_ball(0.6, 0.5, shot.bodies[0].radius, CLOSE_PI / 2.0, 2.9, -1.3, 0.0);
	misfit_slide_set(FALL);
	slide_out(&start, &shot.bodies[0], &shot.constants, &slide);
	misfit_slide_set(0.0);
	time = (exp(FALL * (slip - 1.0)) - exp(-FALL)) / (rate * FALL);
	for (int i = 0; i < steps; i++) {
		double u = slip * (i + 0.5) / steps;

		way +=
		    (2.9 - 2.0 / 7.0 * (slip - u)) / (rate * exp(-FALL * (u - 1.0))) * slip / steps;
	}
	/* Pieces of 0.1 m/s: (0.037)^2 / 24 = 6e-5. */
	ck_assert_double_eq_tol(slide.time / time, 1.0, 1e-4);
	ck_assert_double_eq_tol(slide.distance / way, 1.0, 1e-4);
	ck_assert_double_eq_tol(slide.end.velocity.y, 2.9 - 2.0 / 7.0 * slip, 1e-12);
	ck_assert_double_eq_tol(slide.end.velocity.x, 0.0, 1e-12);
	/* Switched off, the engine is what it was: one piece. */
	slide_out(&start, &shot.bodies[0], &shot.constants, &slide);
	ck_assert_double_eq_tol(slide.time, slip / rate, 1e-14);
}
END_TEST

static double *value_of(struct measurement *measurement, size_t row, int number)
{
	struct reading *reading = &measurement->rows[row].readings[number];

	return reading->kind == READING_VALUE ? &reading->value : NULL;
}

/* Mean square of the differences of all readings of two sessions, in diamonds and seconds. */
static double difference(struct measurement *a, struct measurement *b)
{
	double sum = 0.0;
	size_t count = 0;

	ck_assert_uint_eq(a->row_count, b->row_count);
	for (size_t i = 0; i < a->row_count; i++)
		for (int number = 0; number < QUANTITY_COUNT; number++) {
			const double *first = value_of(a, i, number),
				     *second = value_of(b, i, number);

			if (first == NULL || second == NULL)
				continue;
			sum += (*first - *second) * (*first - *second);
			count++;
		}
	ck_assert_uint_gt(count, 30);
	return sum / (double)count;
}

/* Each omission changes readings, and nothing else does: unknowns and errors are drawn alike. */
START_TEST(cases_differ_by_the_omission)
{
	struct constants truth = fit_support_truth();
	struct session session = session_default();
	struct measurement none, other;
	struct protocol protocol;

	fit_support_protocol(&protocol);
	ck_assert_int_eq(misfit_simulate(&protocol, MISFIT_NONE, &truth, 91, &none), STATUS_OK);
	ck_assert_int_eq(simulate_session(&protocol, &session, &truth, 91, true, &other),
	                 STATUS_OK);
	ck_assert_double_eq(difference(&none, &other), 0.0);
	measurement_free(&other);
	for (int i = MISFIT_NONE + 1; i < MISFIT_CASES; i++) {
		enum misfit_case number;
		double changed;

		ck_assert(misfit_case_from_name(misfit_rule((enum misfit_case)i)->name, &number));
		ck_assert_int_eq((int)number, i);
		ck_assert_int_eq(misfit_simulate(&protocol, number, &truth, 91, &other), STATUS_OK);
		changed = difference(&none, &other);
		/* Not one that is left out by mistake, and none that is another table altogether. */
		ck_assert_msg(changed > 0.0 && changed < 1.0, "%s: %g", misfit_rule(number)->name,
		              changed);
		ck_assert_double_eq(other.session.errors.rail, none.session.errors.rail);
		ck_assert_double_eq(other.session.errors.watch, none.session.errors.watch);
		measurement_free(&other);
	}
	measurement_free(&none);
	protocol_free(&protocol);
}
END_TEST

/* What must be so whatever the numbers: friction of balls is shifted, downward, as contacts slip
 * faster than the 1 m/s of the truth, and more than any other constant; both omissions are compared
 * with the same test. */
START_TEST(foreseen_shift)
{
	struct constants truth = fit_support_truth();
	struct misfit_foreseen fall, hop;
	struct protocol protocol;

	fit_support_protocol(&protocol);
	ck_assert(misfit_foresee(&protocol, MISFIT_BALL_FRICTION_FALL, &truth, 17, &fall));
	ck_assert(misfit_foresee(&protocol, MISFIT_HOP, &truth, 17, &hop));
	/* Contacts slip faster than 1 m/s, so that friction is told too low. */
	ck_assert_double_lt(fall.bias[BALL_FRICTION], -0.5);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		ck_assert_double_le(fabs(fall.bias[id]), fabs(fall.bias[BALL_FRICTION]));
	ck_assert_double_gt(fall.split.between, 0.0);
	ck_assert_double_gt(hop.split.between, 0.0);
	ck_assert_double_gt(fall.split.between_freedom, 1.0);
	ck_assert_double_eq(fall.split.within_freedom, hop.split.within_freedom);
	protocol_free(&protocol);
}
END_TEST

/* Clopper & Pearson: none of 16 is 1 - 0.025^(1/16); 4 of 20 is 5.7 to 43.7 %, as tables have it. */
START_TEST(shares)
{
	double low, high;

	misfit_share(0, 16, &low, &high);
	ck_assert_double_eq(low, 0.0);
	ck_assert_double_eq_tol(high, 1.0 - pow(0.025, 1.0 / 16.0), 1e-9);
	misfit_share(4, 20, &low, &high);
	ck_assert_double_eq_tol(low, 0.0573, 1e-4);
	ck_assert_double_eq_tol(high, 0.4366, 1e-4);
	misfit_share(9, 9, &low, &high);
	ck_assert_double_eq_tol(low, pow(0.025, 1.0 / 9.0), 1e-9);
	ck_assert_double_eq(high, 1.0);
}
END_TEST

/* A cell is judged by what chance allows. */
START_TEST(verdicts)
{
	struct misfit_cell cell = {.protocol = "made", .number = MISFIT_NONE, .sessions = 60};
	FILE *nowhere = tmpfile();

	ck_assert_ptr_nonnull(nowhere);
	cell.answered = cell.tested = 60;
	cell.flagged = 7; /* chance: 3 %, binomial */
	ck_assert_uint_eq(misfit_verdict(&cell, nowhere), 0);
	cell.flagged = 9; /* 0.3 % */
	ck_assert_uint_eq(misfit_verdict(&cell, nowhere), 1);
	cell.number = MISFIT_SLOPE;
	cell.power = 0.91;
	cell.flagged = 41; /* of 60 at 80 %: 2 % */
	ck_assert_uint_eq(misfit_verdict(&cell, nowhere), 0);
	cell.flagged = 37; /* 0.1 % */
	ck_assert_uint_eq(misfit_verdict(&cell, nowhere), 1);
	cell.power = 0.89;
	ck_assert_uint_eq(misfit_verdict(&cell, nowhere), 0);
	/* Far off and unseen: named and held, then named in too few sessions, then held in too few. */
	cell.power = 0.3;
	cell.bias[SPIN_FRICTION] = -2.1;
	cell.linear[SPIN_FRICTION] = -1.7;
	cell.known[SPIN_FRICTION] = 1.0;
	cell.named[SPIN_FRICTION] = 0.7;
	cell.widened[SPIN_FRICTION] = 0.9;
	ck_assert_uint_eq(misfit_verdict(&cell, nowhere), 0);
	cell.named[SPIN_FRICTION] = 0.4;
	ck_assert_uint_eq(misfit_verdict(&cell, nowhere), 1);
	cell.named[SPIN_FRICTION] = 0.7;
	cell.widened[SPIN_FRICTION] = 0.6;
	ck_assert_uint_eq(misfit_verdict(&cell, nowhere), 1);
	cell.bias[SPIN_FRICTION] = -1.9;
	ck_assert_uint_eq(misfit_verdict(&cell, nowhere), 0);
	fclose(nowhere);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("misfit");
	TCase *tests = tcase_create("misfit");

	tcase_add_test(tests, slide_with_falling_friction);
	tcase_add_test(tests, cases_differ_by_the_omission);
	tcase_add_test(tests, foreseen_shift);
	tcase_add_test(tests, shares);
	tcase_add_test(tests, verdicts);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
