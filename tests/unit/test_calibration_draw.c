/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "../recovery/calibration_draw.h"
#include "../recovery/calibration_keep.h"
#include "../recovery/calibration_study.h"

/* What the calibration study draws, and what it reads of one fit. */

#define DRAWS 20000

/* The 5 %, 50 % and 95 % points of the priors of physics.md 8 within their limits, from the inverse
 * of the normal distribution (Python's statistics.NormalDist). Without the limits the upper points
 * of sliding friction, cushion friction and ball friction would lie six deviations of this test
 * further out. */
static const struct {
	double points[3], lowest, highest;
} priors[CONSTANT_COUNT] = {{{0.0921233, 0.198863, 0.416612}, 0.03, 0.6},
                            {{0.00462168, 0.01, 0.0216371}, 0.002, 0.05},
                            {{0.00320168, 0.00996165, 0.0303515}, 0.001, 0.06},
                            {{0.831994, 0.93, 0.972711}, 0.5, 1.0},
                            {{0.0782758, 0.168916, 0.352591}, 0.02, 0.5},
                            {{0.893424, 0.950027, 0.977403}, 0.8, 1.0},
                            {{0.0227679, 0.0596654, 0.15175}, 0.003, 0.25}};

START_TEST(constants_are_drawn_from_the_prior_within_its_limits)
{
	static const double shares[3] = {0.05, 0.50, 0.95};
	struct random_stream stream = random_start(771, 3);
	size_t below[CONSTANT_COUNT][3] = {{0}}, beyond = 0;
	int misses = 0;

	for (int n = 0; n < DRAWS; n++) {
		struct constants drawn;

		calibration_draw_constants(&stream, &drawn);
		for (int id = 0; id < CONSTANT_COUNT; id++) {
			double value = drawn.value[id];

			beyond += !(value >= priors[id].lowest && value <= priors[id].highest);
			for (int k = 0; k < 3; k++)
				below[id][k] += value < priors[id].points[k];
		}
	}
	for (int id = 0; id < CONSTANT_COUNT; id++)
		for (int k = 0; k < 3; k++)
			misses += close_miss(constant_prior((enum constant_id)id)->name, k,
			                     "share below a quantile", shares[k],
			                     (double)below[id][k] / DRAWS,
			                     5.0 * sqrt(shares[k] * (1.0 - shares[k]) / DRAWS));
	ck_assert_uint_eq(beyond, 0);
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* Five draws of each constant: rolling resistance on the log, ball restitution on the logit. */
static double draws[5][CONSTANT_COUNT] = {
    [0] = {[ROLLING_RESISTANCE] = -2.31, [BALL_RESTITUTION] = 2.90},
    [1] = {[ROLLING_RESISTANCE] = -2.07, [BALL_RESTITUTION] = 3.40},
    [2] = {[ROLLING_RESISTANCE] = -1.83, [BALL_RESTITUTION] = 2.20},
    [3] = {[ROLLING_RESISTANCE] = -2.60, [BALL_RESTITUTION] = 2.75},
    [4] = {[ROLLING_RESISTANCE] = -2.15, [BALL_RESTITUTION] = 3.05}};

static const struct fit_result fit = {
    .draw_count = 5,
    .draws = draws,
    .constants = {[ROLLING_RESISTANCE] = {.state = KNOWLEDGE_DETERMINED,
                                          .best = {.low95 = 0.0701, .high95 = 0.1309},
                                          .learned = 0.617},
                  [BALL_RESTITUTION] = {.state = KNOWLEDGE_NOT_DETERMINED,
                                        .best = {.low95 = 0.81, .high95 = 0.99},
                                        .has_posterior = true,
                                        .posterior = {.low95 = 0.9438, .high95 = 0.98},
                                        .learned = 0.119}}};

/* Mean and sample deviation by hand: -2.192 and 0.28639134; 2.86 and 0.44073802. The truths 0.131
 * and 0.9437 are -2.03255796 and 2.81911378 on their scales: above four of five draws, and two. */
START_TEST(a_fit_is_read)
{
	struct random_stream stream = random_start(772, 5);
	struct calibration_constant rolling, ball;
	int misses = 0;

	calibration_fill(&fit, ROLLING_RESISTANCE, 0.131, &stream, &rolling);
	calibration_fill(&fit, BALL_RESTITUTION, 0.9437, &stream, &ball);
	misses += close_miss("rolling", 1, "z", -0.55672788, rolling.z, 1e-8);
	misses += close_miss("rolling", 2, "relative error", 0.28639134, rolling.relative, 1e-8);
	misses += close_miss("rolling", 3, "place", 4.5 / 6.0, rolling.place, 0.5 / 6.0);
	misses += close_miss("rolling", 4, "learned", 0.617, rolling.learned, 0.0);
	misses += close_false("rolling", 5, "its interval misses 0.131", !rolling.told95);
	misses += close_false("rolling", 6, "determined", rolling.state == KNOWLEDGE_DETERMINED);
	misses += close_miss("ball", 1, "z", 0.09276762, ball.z, 1e-8);
	misses += close_miss("ball", 2, "relative error", 0.02387332, ball.relative, 1e-8);
	misses += close_miss("ball", 3, "place", 2.5 / 6.0, ball.place, 0.5 / 6.0);
	misses += close_false("ball", 4, "the narrowed interval counts", !ball.told95);
	ck_assert_int_eq(misses, 0);
	calibration_fill(&fit, ROLLING_RESISTANCE, 0.1308, &stream, &rolling);
	calibration_fill(&fit, BALL_RESTITUTION, 0.9439, &stream, &ball);
	ck_assert(rolling.told95);
	ck_assert(ball.told95);
}
END_TEST

/* The part of a place between two draws is even: the tie to the draws alone would leave gaps. */
START_TEST(places_are_even_between_draws)
{
	struct random_stream stream = random_start(773, 1);
	double sum = 0.0, squares = 0.0;

	for (int n = 0; n < DRAWS; n++) {
		struct calibration_constant rolling;

		calibration_fill(&fit, ROLLING_RESISTANCE, 0.131, &stream, &rolling);
		sum += 6.0 * rolling.place - 4.0;
		squares += (6.0 * rolling.place - 4.0) * (6.0 * rolling.place - 4.0);
	}
	/* Moments of the uniform distribution, within five deviations of their means. */
	ck_assert_double_eq_tol(sum / DRAWS, 0.5, 5.0 * sqrt(1.0 / 12.0 / DRAWS));
	ck_assert_double_eq_tol(squares / DRAWS, 1.0 / 3.0, 5.0 * sqrt(4.0 / 45.0 / DRAWS));
}
END_TEST

/* Takes five bytes off the end of a file. */
static void shorten(const char *path)
{
	struct stat status;

	ck_assert_int_eq(stat(path, &status), 0);
	ck_assert_int_eq(truncate(path, status.st_size - 5), 0);
}

/* What is kept is read again, by protocol, seed and number; a record cut short by a kill is not,
 * and the next takes its place. */
START_TEST(outcomes_are_kept)
{
	const char *folder = getenv("TMPDIR");
	struct calibration_wish wish = {"usual", 0, 40, 11, NULL}, part = {"usual", 4, 4, 11, NULL};
	struct calibration_outcome outcome, read[40];
	char path[4096];
	bool known[40];

	snprintf(path, sizeof path, "%s/restpoint-keep-XXXXXX", folder != NULL ? folder : "/tmp");
	ck_assert_int_eq(close(mkstemp(path)), 0);
	wish.keep = part.keep = path;
	memset(&outcome, 0, sizeof outcome);
	for (size_t n = 0; n < 8; n++) {
		wish.seed = 11 + n % 2;
		wish.protocol = n == 6 ? "phone" : "usual";
		outcome.seconds = 0.37 + (double)n;
		ck_assert(calibration_keep_append(&wish, n, &outcome));
		if (n == 3)
			shorten(path);
	}
	ck_assert(calibration_keep_read(&part, read, known));
	ck_assert(known[0] && !known[1] && !known[2] && !known[3]);
	ck_assert_double_eq(read[0].seconds, 4.37);
	wish.seed = 12;
	wish.protocol = "usual";
	ck_assert(calibration_keep_read(&wish, read, known));
	for (size_t n = 0; n < 40; n++)
		ck_assert_int_eq(known[n], n == 1 || n == 5 || n == 7);
	ck_assert_double_eq(read[7].seconds, 7.37);
	unlink(path);
	ck_assert(calibration_keep_read(&wish, read, known));
	ck_assert(!known[1]);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("calibration draws");
	TCase *drawn = tcase_create("drawn");

	tcase_add_test(drawn, constants_are_drawn_from_the_prior_within_its_limits);
	tcase_add_test(drawn, a_fit_is_read);
	tcase_add_test(drawn, places_are_even_between_draws);
	tcase_add_test(drawn, outcomes_are_kept);
	suite_add_tcase(suite, drawn);
	return close_run(suite);
}
