/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include "advise/guide_goal.h"

/* Goals as typed, and whether invented results reach them: the wanted answers follow from the words
 * of advise/guide_goal.h and the numbers set down here. */

static struct fit_result result;

static void know(enum constant_id id, double value, double error, enum knowledge state)
{
	result.constants[id] = (struct estimate){.best = {.value = value, .standard_error = error},
	                                         .state = state,
	                                         .has_interval = true};
}

static void setup(void)
{
	result = (struct fit_result){.converged = true};
	for (int id = 0; id < CONSTANT_COUNT; id++)
		know((enum constant_id)id, 0.317, 0.0123, KNOWLEDGE_DETERMINED);
}

START_TEST(reads)
{
	struct guide_goal goal = {.stated = false};
	const char *accepted;

	ck_assert(guide_goal_read("sliding_friction=5%", &goal, &accepted));
	ck_assert(guide_goal_read("rolling resistance=3.5", &goal, &accepted));
	ck_assert(guide_goal_read("ball-friction=20 %", &goal, &accepted));
	ck_assert(goal.stated);
	ck_assert_double_eq_tol(goal.wanted[SLIDING_FRICTION], 0.05, 1e-15);
	ck_assert_double_eq_tol(goal.wanted[ROLLING_RESISTANCE], 0.035, 1e-15);
	ck_assert_double_eq_tol(goal.wanted[BALL_FRICTION], 0.2, 1e-15);
	ck_assert(goal.wanted[SPIN_FRICTION] == 0.0);
	ck_assert(guide_goal_wants(&goal, SLIDING_FRICTION));
	ck_assert(!guide_goal_wants(&goal, SPIN_FRICTION));
}
END_TEST

START_TEST(refuses)
{
	static const char *const texts[] = {"",
	                                    "sliding_friction",
	                                    "sliding_friction=",
	                                    "sliding_friction=0%",
	                                    "sliding_friction=101%",
	                                    "sliding_friction=-5%",
	                                    "sliding_friction=5%x",
	                                    "sliding_friction=5e0",
	                                    "slip=5%",
	                                    "=5%",
	                                    "sliding_friction_of_a_cloth_nobody_has_ever_seen=5%"};
	struct guide_goal goal = {.stated = false};
	const char *accepted;

	for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
		ck_assert_msg(!guide_goal_read(texts[i], &goal, &accepted), "%s", texts[i]);
		ck_assert_ptr_nonnull(accepted);
	}
	ck_assert(!goal.stated);
}
END_TEST

/* Without a goal every constant must be known; weak is not. */
START_TEST(unstated)
{
	struct guide_goal goal = {.stated = false};

	ck_assert(guide_goal_is_reached(&goal, &result));
	know(SPIN_FRICTION, 0.0113, 0.0002, KNOWLEDGE_WEAK);
	ck_assert(!guide_goal_is_reached(&goal, &result));
	know(SPIN_FRICTION, 0.0113, 0.0002, KNOWLEDGE_AT_LIMIT);
	ck_assert(guide_goal_is_reached(&goal, &result));
	know(SPIN_FRICTION, 0.0113, 0.0002, KNOWLEDGE_NOT_DETERMINED);
	ck_assert(!guide_goal_is_reached(&goal, &result));
}
END_TEST

/* With one, only what is wanted counts: 0.0123 / 0.317 is 3.88 %. */
START_TEST(stated)
{
	struct guide_goal goal = {.stated = true, .wanted = {[SLIDING_FRICTION] = 0.039}};

	know(BALL_FRICTION, 0.06, 0.05, KNOWLEDGE_NOT_DETERMINED);
	ck_assert(guide_goal_is_reached(&goal, &result));
	goal.wanted[SLIDING_FRICTION] = 0.0387;
	ck_assert(!guide_goal_is_reached(&goal, &result));
	goal.wanted[SLIDING_FRICTION] = 0.5;
	know(SLIDING_FRICTION, 0.2, 0.002, KNOWLEDGE_NOT_DETERMINED);
	ck_assert(!guide_goal_is_met(&goal, &result, SLIDING_FRICTION));
	ck_assert(guide_goal_is_met(&goal, &result, BALL_FRICTION));
}
END_TEST

/* Where a constant is not determined, what was narrowed tells the error, not the prior. */
START_TEST(errors)
{
	struct estimate estimate = {.best = {.value = 0.2, .standard_error = 0.1},
	                            .has_interval = true};

	ck_assert_double_eq_tol(guide_goal_error(&estimate), 0.5, 1e-15);
	estimate.has_posterior = true;
	estimate.posterior = (struct interval){.value = 0.16, .standard_error = 0.04};
	ck_assert_double_eq_tol(guide_goal_error(&estimate), 0.25, 1e-15);
	estimate.has_interval = false;
	ck_assert(guide_goal_error(&estimate) < 0.0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("guide goal");
	TCase *cases = tcase_create("guide goal");

	suite_add_tcase(suite, cases);
	tcase_add_checked_fixture(cases, setup, NULL);
	tcase_add_test(cases, reads);
	tcase_add_test(cases, refuses);
	tcase_add_test(cases, unstated);
	tcase_add_test(cases, stated);
	tcase_add_test(cases, errors);
	return close_run(suite);
}
