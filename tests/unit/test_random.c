/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "base/random.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* Reference output: the published algorithm computed by a second program in Python, from the state
 * {1, 2, 3, 4}; the first four are those that the literature gives for it. */
START_TEST(random_bits_are_those_of_the_algorithm)
{
	static const uint64_t wanted[] = {
		UINT64_C(41943041),
		UINT64_C(58720359),
		UINT64_C(3588806011781223),
		UINT64_C(3591011842654386),
		UINT64_C(9228616714210784205),
		UINT64_C(9973669472204895162),
		UINT64_C(14011001112246962877),
		UINT64_C(12406186145184390807),
		UINT64_C(15849039046786891736),
		UINT64_C(10450023813501588000),
	};
	struct random_stream stream = {{1, 2, 3, 4}};
	uint64_t bits = 0;

	for (size_t i = 0; i < COUNT(wanted); i++)
		ck_assert_uint_eq(random_bits(&stream), wanted[i]);
	for (size_t i = COUNT(wanted); i < 1000; i++)
		bits = random_bits(&stream);
	ck_assert_uint_eq(bits, UINT64_C(1045639946057077588));
	/* A uniform number is the upper 53 bits as a fraction. */
	stream = (struct random_stream){{1, 2, 3, 4}};
	ck_assert(random_uniform(&stream) == 20480.0 / 9007199254740992.0);
}
END_TEST

/* The same second program, with splitmix64 as published. */
START_TEST(random_streams_start_the_same_everywhere)
{
	static const struct {
		uint64_t seed, number, first, second;
	} cases[] = {
		{1, 0, UINT64_C(8770077814761700327), UINT64_C(4154907570581360111)},
		{1, 1, UINT64_C(2286258784515925488), UINT64_C(3585008874071274983)},
		{2, 1, UINT64_C(10429541738275224741), UINT64_C(7851883561255609884)},
		{0, 0, UINT64_C(18353448787882852715), UINT64_C(5247628295075597669)},
		{UINT64_MAX, UINT64_MAX, UINT64_C(12271448748677247990),
		 UINT64_C(7278479177198934695)},
	};

	for (size_t i = 0; i < COUNT(cases); i++) {
		struct random_stream stream = random_start(cases[i].seed, cases[i].number);

		ck_assert_uint_eq(random_bits(&stream), cases[i].first);
		ck_assert_uint_eq(random_bits(&stream), cases[i].second);
	}
}
END_TEST

/* The polar method (Marsaglia & Bray 1964), by the same second program. */
START_TEST(random_normal_is_the_polar_method)
{
	static const double wanted[] = {
		-0.13739151432071925, -1.4673150316217638, 0.1877550451604161,
		-0.4099913279765258, 0.6189895136096972, 0.015598264538338201,
	};
	struct random_stream stream = random_start(1, 0);

	for (size_t i = 0; i < COUNT(wanted); i++)
		ck_assert_double_eq_tol(random_normal(&stream), wanted[i], 1e-14);
}
END_TEST

#define DRAWS 400000

/* The moments of the uniform distribution, within five standard errors. */
START_TEST(random_uniform_has_its_moments)
{
	struct random_stream a = random_start(7, 41), b = random_start(7, 42);
	double sum = 0.0, squares = 0.0, product = 0.0;

	for (int i = 0; i < DRAWS; i++) {
		double u = random_uniform(&a), v = random_uniform(&b);

		ck_assert(u >= 0.0 && u < 1.0);
		sum += u;
		squares += (u - 0.5) * (u - 0.5);
		product += (u - 0.5) * (v - 0.5);
	}
	ck_assert_double_eq_tol(sum / DRAWS, 0.5, 5.0 * sqrt(1.0 / 12.0 / DRAWS));
	ck_assert_double_eq_tol(squares / DRAWS, 1.0 / 12.0, 5.0 * sqrt(1.0 / 180.0 / DRAWS));
	ck_assert_double_eq_tol(product / DRAWS, 0.0, 5.0 / 12.0 / sqrt(DRAWS));
}
END_TEST

/* Moments 1 to 4 of the standard normal are 0, 1, 0, 3; the variances of x, x^2, x^3 and x^4 are
 * 1, 2, 15 and 96. Beyond 1.959964 lie 5 %, beyond 3 lie 0.2699796 %. */
START_TEST(random_normal_has_its_moments)
{
	static const double moments[] = {0.0, 1.0, 0.0, 3.0}, variances[] = {1.0, 2.0, 15.0, 96.0};
	struct random_stream stream = random_start(7, 43);
	double sums[4] = {0.0}, beyond_two = 0.0, beyond_three = 0.0;

	for (int i = 0; i < DRAWS; i++) {
		double x = random_normal(&stream), power = 1.0;

		for (int k = 0; k < 4; k++) {
			power *= x;
			sums[k] += power;
		}
		beyond_two += fabs(x) > 1.959963985;
		beyond_three += fabs(x) > 3.0;
	}
	for (int k = 0; k < 4; k++)
		ck_assert_double_eq_tol(sums[k] / DRAWS, moments[k],
		                        5.0 * sqrt(variances[k] / DRAWS));
	ck_assert_double_eq_tol(beyond_two / DRAWS, 0.05, 5.0 * sqrt(0.05 * 0.95 / DRAWS));
	ck_assert_double_eq_tol(beyond_three / DRAWS, 0.002699796,
	                        5.0 * sqrt(0.0027 * 0.9973 / DRAWS));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("random");
	TCase *test_case = tcase_create("random");
	SRunner *runner = srunner_create(suite);
	int failed;

	suite_add_tcase(suite, test_case);
	tcase_add_test(test_case, random_bits_are_those_of_the_algorithm);
	tcase_add_test(test_case, random_streams_start_the_same_everywhere);
	tcase_add_test(test_case, random_normal_is_the_polar_method);
	tcase_add_test(test_case, random_uniform_has_its_moments);
	tcase_add_test(test_case, random_normal_has_its_moments);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
