/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "estimate/jacobian.h"

/* Small matrices whose rank, projections and inverses can be worked out by hand. */

#define ROWS 4
#define COLUMNS 2

/* Columns 0.3 (1, 2, 2, 4) and factor * (2, -1, 4, -2), which are orthogonal and of length 1.5 and
 * 5 factor. */
static struct jacobian_analysis *analyse_pair(double factor, const double residuals[ROWS])
{
	struct jacobian_analysis *analysis = jacobian_analysis_create(ROWS, COLUMNS);
	double elements[ROWS * COLUMNS] = {0.3, 2.0 * factor, 0.6, -1.0 * factor,
	                                   0.6, 4.0 * factor, 1.2, -2.0 * factor};
	gsl_matrix_const_view matrix = gsl_matrix_const_view_array(elements, ROWS, COLUMNS);
	gsl_vector_const_view vector = gsl_vector_const_view_array(residuals, ROWS);

	ck_assert_ptr_nonnull(analysis);
	ck_assert_uint_eq(jacobian_rank(analysis), 0);
	ck_assert(jacobian_analyse(analysis, &matrix.matrix, &vector.vector));
	return analysis;
}

static const double some_residuals[ROWS] = {0.71, -1.37, 2.93, 0.19};

/* Projections: (0.71 - 2.74 + 5.86 + 0.76) / 5 = 4.59 / 5 on the first, and
 * (1.42 + 1.37 + 11.72 - 0.38) / 5 = 14.13 / 5 on the second. */
START_TEST(orthogonal_columns)
{
	struct jacobian_analysis *analysis = analyse_pair(0.07, some_residuals);
	double covariance[COLUMNS * COLUMNS];

	ck_assert_uint_eq(jacobian_rank(analysis), 2);
	ck_assert_double_eq_tol(jacobian_promise(analysis), (4.59 * 4.59 + 14.13 * 14.13) / 25.0,
	                        1e-12);
	jacobian_covariance(analysis, covariance);
	ck_assert_double_eq_tol(covariance[0], 1.0 / (1.5 * 1.5), 1e-12);
	ck_assert_double_eq_tol(covariance[3], 1.0 / (0.35 * 0.35), 1e-10);
	ck_assert_double_eq_tol(covariance[1], 0.0, 1e-12);
	jacobian_analysis_free(analysis);
}
END_TEST

/* A column of no length, or of rounding noise beside the other, is no influence; a short one that
 * is more than noise is, whatever the units of its parameter. */
START_TEST(short_columns)
{
	const struct {
		double factor;
		size_t rank;
	} cases[] = {{0.0, 1}, {2.3e-15, 1}, {2.3e-13, 1}, {1.7e-11, 2}, {3.9e-6, 2}};

	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct jacobian_analysis *analysis = analyse_pair(cases[i].factor, some_residuals);
		double covariance[COLUMNS * COLUMNS];

		ck_assert_uint_eq(jacobian_rank(analysis), cases[i].rank);
		jacobian_covariance(analysis, covariance);
		for (size_t k = 0; k < COLUMNS * COLUMNS; k++)
			ck_assert_int_eq(isnan(covariance[k]) != 0, cases[i].rank < COLUMNS);
		if (cases[i].rank < COLUMNS)
			ck_assert_double_eq_tol(jacobian_promise(analysis), 4.59 * 4.59 / 25.0,
			                        1e-12);
		jacobian_analysis_free(analysis);
	}
}
END_TEST

/* Two columns that are one in two units, but for a part eps: the smaller singular value of columns
 * scaled to length 1 is eps / 2 of the larger. */
START_TEST(columns_alike)
{
	const struct {
		double part;
		size_t rank;
	} cases[] = {{0.0, 1}, {1.3e-9, 1}, {1.3e-7, 2}, {0.41, 2}};

	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		double part = cases[i].part;
		double elements[ROWS * COLUMNS] = {
		    0.2, 0.2 * 731.0 + 0.4 * 731.0 * part, 0.4, 0.4 * 731.0 - 0.2 * 731.0 * part,
		    0.4, 0.4 * 731.0 + 0.8 * 731.0 * part, 0.8, 0.8 * 731.0 - 0.4 * 731.0 * part};
		gsl_matrix_const_view matrix = gsl_matrix_const_view_array(elements, ROWS, COLUMNS);
		gsl_vector_const_view vector = gsl_vector_const_view_array(some_residuals, ROWS);
		struct jacobian_analysis *analysis = jacobian_analysis_create(ROWS, COLUMNS);

		ck_assert(jacobian_analyse(analysis, &matrix.matrix, &vector.vector));
		ck_assert_uint_eq(jacobian_rank(analysis), cases[i].rank);
		jacobian_analysis_free(analysis);
	}
}
END_TEST

START_TEST(all_zero)
{
	const double zero[ROWS * COLUMNS] = {0.0};
	gsl_matrix_const_view matrix = gsl_matrix_const_view_array(zero, ROWS, COLUMNS);
	gsl_vector_const_view vector = gsl_vector_const_view_array(some_residuals, ROWS);
	struct jacobian_analysis *analysis = jacobian_analysis_create(ROWS, COLUMNS);

	ck_assert(jacobian_analyse(analysis, &matrix.matrix, &vector.vector));
	ck_assert_uint_eq(jacobian_rank(analysis), 0);
	ck_assert_double_eq(jacobian_promise(analysis), 0.0);
	jacobian_analysis_free(analysis);
	jacobian_analysis_free(NULL);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("analysis of a Jacobian");
	TCase *tests = tcase_create("analysis");
	SRunner *runner;
	int failed;

	tcase_add_test(tests, orthogonal_columns);
	tcase_add_test(tests, short_columns);
	tcase_add_test(tests, columns_alike);
	tcase_add_test(tests, all_zero);
	suite_add_tcase(suite, tests);
	runner = srunner_create(suite);
	srunner_run_all(runner, CK_ENV);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
