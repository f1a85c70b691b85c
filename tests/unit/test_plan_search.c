/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "advise/plan_search.h"
#include "base/random.h"

/* The search for strokes, on informations that are drawn or made by hand. */

#define COUNT 7
#define FUTURES 3

struct toy {
	struct plan_search search;
	struct plan_information information[COUNT * FUTURES];
	struct plan_cost costs[COUNT];
	struct plan_future future[FUTURES];
	double values[COUNT];
};

/* What two readings of random slopes tell, the slopes of one candidate alike in all futures. */
static void draw_information(struct random_stream *stream, struct plan_information *information)
{
	memset(information, 0, sizeof *information);
	for (int reading = 0; reading < 2; reading++) {
		double slopes[PLAN_UNKNOWNS];

		for (int i = 0; i < PLAN_UNKNOWNS; i++)
			slopes[i] = 1.7 * random_normal(stream);
		for (int i = 0; i < PLAN_UNKNOWNS; i++)
			for (int k = 0; k < PLAN_UNKNOWNS; k++)
				information->at[i][k] += slopes[i] * slopes[k];
	}
}

/* Nothing known but standard normal priors; the errors of the constants are their deviations. */
static void start_toy(struct toy *toy)
{
	memset(toy, 0, sizeof *toy);
	toy->search = (struct plan_search){.count = COUNT,
	                                   .futures = FUTURES,
	                                   .information = toy->information,
	                                   .costs = toy->costs,
	                                   .future = toy->future,
	                                   .has_clock = true};
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		toy->search.precision[i][i] = 1.0;
		toy->search.want[i] = 0.23;
		for (int f = 0; f < FUTURES; f++)
			toy->future[f].slopes[i][i] = 1.0;
	}
}

static void draw_toy(uint64_t seed, struct toy *toy)
{
	struct random_stream stream = random_start(seed, 1);

	start_toy(toy);
	for (int c = 0; c < COUNT; c++) {
		toy->costs[c] = (struct plan_cost){
		    .seconds = 20.0 + 15.0 * random_uniform(&stream), .setup = 40.0, .clock = true};
		for (int f = 0; f < FUTURES; f++)
			draw_information(&stream, &toy->information[c * FUTURES + f]);
	}
}

/* One reading 3 c + 2 a of the first constant and the aim offset a: 9 - 36 / 5 = 1.8, variance
 * 1 / 2.8; two strokes share the offset, 18 - 144 / 9 = 2, variance 1 / 3. Another shot of the same
 * adds its 1.8. */
START_TEST(information_adds)
{
	const int aim = CONSTANT_COUNT + SHARED_AIM;
	struct plan_design design = {.count = 0};
	double errors[PLAN_QUANTITIES];
	struct toy toy;

	start_toy(&toy);
	for (int k = 0; k < 2 * FUTURES; k++) {
		toy.information[k].at[0][0] = 9.0;
		toy.information[k].at[0][aim] = toy.information[k].at[aim][0] = 6.0;
		toy.information[k].at[aim][aim] = 4.0;
	}
	ck_assert(plan_search_errors(&toy.search, &design, errors));
	ck_assert_double_eq_tol(errors[0], 1.0, 1e-14);
	ck_assert(plan_design_add(&design, 0));
	ck_assert(plan_search_errors(&toy.search, &design, errors));
	ck_assert_double_eq_tol(errors[0], sqrt(1.0 / 2.8), 1e-14);
	ck_assert(plan_design_add(&design, 0));
	ck_assert(plan_search_errors(&toy.search, &design, errors));
	ck_assert_double_eq_tol(errors[0], sqrt(1.0 / 3.0), 1e-14);
	ck_assert(plan_design_add(&design, 1));
	ck_assert(plan_search_errors(&toy.search, &design, errors));
	ck_assert_double_eq_tol(errors[0], sqrt(1.0 / 4.8), 1e-14);
	ck_assert_double_eq_tol(errors[1], 1.0, 1e-14);
	ck_assert_uint_eq(plan_design_strokes(&design), 3);
}
END_TEST

/* The habit of speed is shared by all shots: 3 c + 2 s in two shots gives 2, not 3.6. */
START_TEST(habits_are_shared)
{
	const int speed = CONSTANT_COUNT + SHARED_SPEED;
	struct plan_design design = {.count = 0};
	double errors[PLAN_QUANTITIES];
	struct toy toy;

	start_toy(&toy);
	for (int k = 0; k < 2 * FUTURES; k++) {
		toy.information[k].at[0][0] = 9.0;
		toy.information[k].at[0][speed] = toy.information[k].at[speed][0] = 6.0;
		toy.information[k].at[speed][speed] = 4.0;
	}
	plan_design_add(&design, 0);
	plan_design_add(&design, 1);
	ck_assert(plan_search_errors(&toy.search, &design, errors));
	ck_assert_double_eq_tol(errors[0], sqrt(1.0 / 3.0), 1e-14);
}
END_TEST

/* Looking at one stroke more gives the value of the design with it. */
START_TEST(looking_is_adding)
{
	struct plan_design design = {.count = 0};
	struct toy toy;
	int misses = 0;

	draw_toy(3, &toy);
	plan_design_add(&design, 2);
	plan_design_add(&design, 5);
	plan_design_add(&design, 2);
	plan_search_look(&toy.search, &design, toy.values);
	for (int c = 0; c < COUNT; c++) {
		struct plan_design with = design;

		plan_design_add(&with, (size_t)c);
		misses += close_miss("look", c, "value", plan_search_value(&toy.search, &with),
		                     toy.values[c], 1e-12);
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* The least value of all multisets of `left` strokes. */
static double exhaust(const struct plan_search *search, const struct plan_design *design,
                      size_t from, int left)
{
	double least = plan_search_value(search, design);

	for (size_t c = from; c < search->count && left > 0; c++) {
		struct plan_design with = *design;
		double value;

		if (!plan_design_add(&with, c))
			continue;
		value = exhaust(search, &with, c, left - 1);
		least = fmin(least, value);
	}
	return least;
}

/* On 60 small sets: exchange is never worse than greedy, never better than the exhaustive search
 * (all 120 sets of 3 strokes of 7 shots), and finds the best in nearly all; greedy alone misses it
 * in some, so that exchange has something to do. */
START_TEST(exchange_against_exhaustive)
{
	const struct plan_design none = {.count = 0};
	int found = 0, greedy_found = 0, better = 0;

	for (uint64_t seed = 1; seed <= 60; seed++) {
		struct plan_design design = none;
		struct toy toy;
		double greedy, exchanged, least;

		draw_toy(100 + seed, &toy);
		toy.search.most_strokes = 3;
		plan_search_greedy(&toy.search, toy.values, &design);
		greedy = plan_search_value(&toy.search, &design);
		ck_assert_uint_eq(plan_design_strokes(&design), 3);
		plan_search_exchange(&toy.search, toy.values, 10, &design);
		exchanged = plan_search_value(&toy.search, &design);
		least = exhaust(&toy.search, &none, 0, 3);
		ck_assert_double_le(exchanged, greedy);
		ck_assert_double_ge(exchanged, least - 1e-9);
		found += exchanged < least + 1e-6;
		greedy_found += greedy < least + 1e-6;
		better += exchanged < greedy - 1e-6;
	}
	printf("best of all: exchange %d, greedy %d of 60; exchange better in %d\n", found,
	       greedy_found, better);
	ck_assert_int_ge(found, 55);
	ck_assert_int_gt(better, 0);
}
END_TEST

/* The limits hold whatever is exchanged. */
START_TEST(limits_hold)
{
	for (uint64_t seed = 1; seed <= 20; seed++) {
		struct plan_design design = {.count = 0};
		struct toy toy;

		draw_toy(300 + seed, &toy);
		toy.search.most_seconds = 317.0;
		toy.search.most_strokes = 6;
		plan_search_greedy(&toy.search, toy.values, &design);
		plan_search_exchange(&toy.search, toy.values, 10, &design);
		ck_assert_uint_le(plan_design_strokes(&design), 6);
		ck_assert_uint_ge(plan_design_strokes(&design), 2);
		ck_assert_double_le(plan_design_seconds(&toy.search, &design), 317.0);
		for (size_t i = 0; i < design.count; i++)
			ck_assert_int_le(design.items[i].tries, PLAN_TRIES);
	}
}
END_TEST

/* Where wants are given the search stops once they are met, and what is not needed is taken away:
 * no stroke can then be spared. */
START_TEST(stops_and_trims)
{
	struct plan_design design = {.count = 0};
	double errors[PLAN_QUANTITIES];
	struct toy toy;

	draw_toy(17, &toy);
	toy.search.stops = true;
	for (int i = 0; i < CONSTANT_COUNT; i++)
		toy.search.want[i] = i < 3 ? 0.6 : 0.0;
	plan_search_greedy(&toy.search, toy.values, &design);
	ck_assert_uint_lt(plan_design_strokes(&design), PLAN_STROKES);
	plan_design_add(&design, 0);
	plan_design_add(&design, 1);
	plan_search_trim(&toy.search, &design);
	ck_assert(plan_search_errors(&toy.search, &design, errors));
	ck_assert(plan_search_met(&toy.search, errors));
	for (size_t item = 0; item < design.count; item++) {
		struct plan_design less = design;

		if (--less.items[item].tries == 0)
			less.items[item] = less.items[--less.count];
		ck_assert(plan_search_errors(&toy.search, &less, errors));
		ck_assert(!plan_search_met(&toy.search, errors));
	}
}
END_TEST

/* Without a clock the cloth frictions stay as they were, whatever the positions say; the first shot
 * with a clock tells all of it. */
START_TEST(cloth_waits_for_a_clock)
{
	struct plan_design design = {.count = 0};
	double errors[PLAN_QUANTITIES];
	struct toy toy;

	draw_toy(23, &toy);
	toy.search.has_clock = false;
	for (int q = 0; q < PLAN_QUANTITIES; q++)
		toy.search.unknown[q] = 1.0;
	for (int c = 0; c < COUNT; c++)
		toy.costs[c].clock = c == 6;
	for (size_t c = 0; c < 6; c++)
		plan_design_add(&design, c);
	ck_assert(plan_search_errors(&toy.search, &design, errors));
	ck_assert_double_eq(errors[ROLLING_RESISTANCE], 1.0);
	ck_assert_double_lt(errors[CUSHION_FRICTION], 0.9);
	plan_design_add(&design, 6);
	ck_assert(plan_search_errors(&toy.search, &design, errors));
	ck_assert_double_lt(errors[ROLLING_RESISTANCE], 0.9);
}
END_TEST

/* Ordering changes the order alone. */
START_TEST(order_keeps_the_design)
{
	struct plan_design design = {.count = 0}, ordered;
	struct toy toy;

	draw_toy(29, &toy);
	toy.search.most_strokes = 5;
	plan_search_greedy(&toy.search, toy.values, &design);
	ordered = design;
	plan_search_order(&toy.search, &ordered);
	ck_assert_uint_eq(ordered.count, design.count);
	ck_assert_double_eq_tol(plan_search_value(&toy.search, &ordered),
	                        plan_search_value(&toy.search, &design), 1e-9);
	for (size_t i = 0; i < design.count; i++) {
		size_t at = plan_design_find(&ordered, design.items[i].candidate);

		ck_assert_uint_lt(at, ordered.count);
		ck_assert_int_eq(ordered.items[at].tries, design.items[i].tries);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("search of a plan");
	TCase *search = tcase_create("search");

	tcase_add_test(search, information_adds);
	tcase_add_test(search, habits_are_shared);
	tcase_add_test(search, looking_is_adding);
	tcase_add_test(search, exchange_against_exhaustive);
	tcase_add_test(search, limits_hold);
	tcase_add_test(search, stops_and_trims);
	tcase_add_test(search, cloth_waits_for_a_clock);
	tcase_add_test(search, order_keeps_the_design);
	suite_add_tcase(suite, search);
	return close_run(suite);
}
