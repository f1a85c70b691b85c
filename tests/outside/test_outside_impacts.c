/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <stdlib.h>

#include "../reference/cushion_rows.h"
#include "../reference/impact_draw.h"
#include "outside_cushion.h"
#include "physics/cushion.h"

/* Cushion impacts of the program against the same equations integrated by SUNDIALS, over the limits
 * of physics.md 8. OUTSIDE_IMPACTS sets how many. */

#define IMPACTS 3000
#define TOLERANCE 1e-8 /* [m/s], at unit speed */

static const struct outside_accuracy proof = {1e-13, 1e-14, 0.0};

struct totals {
	struct outside_cushion_tale tale;
	double worst;
	int misses;
};

static void add_tale(struct outside_cushion_tale *sum, const struct outside_cushion_tale *tale)
{
	sum->nose_sticks += tale->nose_sticks;
	sum->bed_sticks += tale->bed_sticks;
	sum->nose_ends += tale->nose_ends;
	sum->bed_ends += tale->bed_ends;
	sum->releases += tale->releases;
	sum->lifts += tale->lifts;
	sum->several += tale->several;
}

static void compare(struct outside_cushion *cushion, const struct impact_draw *drawn, int row,
                    struct totals *totals)
{
	static const char *const names[OUTSIDE_MOTION] = {"vx", "vy", "R wx", "R wy", "R wz"};
	struct vector3 v = drawn->velocity, w = drawn->spin_speed;
	double motion[OUTSIDE_MOTION] = {v.x, v.y, w.x, w.y, w.z};
	struct outside_cushion_law law = {drawn->contact.nose_sine, drawn->contact.restitution,
	                                  drawn->contact.friction, drawn->contact.bed_friction};
	struct outside_cushion_tale tale = {0};

	if (close_false("impact", row, "SUNDIALS solves it",
	                outside_cushion_rebound(cushion, &law, motion, &tale)) +
	        close_false("impact", row, "the engine solves it",
	                    cushion_solve(&drawn->contact, 1e-11, &v, &w, NULL) == STATUS_OK) >
	    0) {
		totals->misses++;
		return;
	}
	double got[OUTSIDE_MOTION] = {v.x, v.y, w.x, w.y, w.z};

	add_tale(&totals->tale, &tale);
	for (int i = 0; i < OUTSIDE_MOTION; i++) {
		totals->worst = fmax(totals->worst, fabs(got[i] - motion[i]));
		totals->misses += close_miss("impact", row, names[i], motion[i], got[i], TOLERANCE);
	}
}

START_TEST(random_impacts_agree)
{
	struct random_stream stream = random_start(7041, 3);
	struct outside_cushion *cushion = outside_cushion_open(&proof);
	const char *asked = getenv("OUTSIDE_IMPACTS");
	int count = asked != NULL ? atoi(asked) : IMPACTS;
	struct totals totals = {.misses = 0};

	ck_assert_ptr_nonnull(cushion);
	for (int i = 0; i < count; i++) {
		struct impact_draw drawn = impact_draw(&stream, i);

		compare(cushion, &drawn, i, &totals);
	}
	outside_cushion_close(cushion);
	printf("%d impacts: worst %.2g; slips ended %u nose, %u bed; stuck %u, %u; released %u; "
	       "bed reaction gone or back %u; more than one start %u\n",
	       count, totals.worst, totals.tale.nose_ends, totals.tale.bed_ends,
	       totals.tale.nose_sticks, totals.tale.bed_sticks, totals.tale.releases,
	       totals.tale.lifts, totals.tale.several);
	ck_assert_int_eq(totals.misses, 0);
	/* The draw covers what the model can do. */
	ck_assert_uint_gt(totals.tale.nose_sticks, 0);
	ck_assert_uint_gt(totals.tale.bed_sticks, 0);
	ck_assert_uint_gt(totals.tale.releases, 0);
	ck_assert_uint_gt(totals.tale.lifts, 0);
}
END_TEST

/* The outside reference itself against the rows of two earlier programs, good to 1e-5. */
START_TEST(earlier_programs_agree)
{
	static const char *const names[OUTSIDE_MOTION] = {"vx", "vy", "R wx", "R wy", "R wz"};
	struct outside_cushion *cushion = outside_cushion_open(&proof);
	int misses = 0;

	ck_assert_ptr_nonnull(cushion);
	for (int i = 0; i < CUSHION_ROWS; i++) {
		const struct cushion_row *row = &cushion_rows[i];
		const double wanted[OUTSIDE_MOTION] = {row->vx, row->vy, row->rwx, row->rwy,
		                                       row->rwz};
		struct outside_cushion_law law = {row->sine, 0.98, 0.14, 0.212};
		double c = cos(close_radians(row->angle)), s = sin(close_radians(row->angle));
		double motion[OUTSIDE_MOTION] = {c, s, -row->topspin * s, row->topspin * c,
		                                 row->side};

		misses += close_false("row", i, "is solved",
		                      outside_cushion_rebound(cushion, &law, motion, NULL));
		for (int k = 0; k < OUTSIDE_MOTION; k++)
			misses += close_miss("row", i, names[k], wanted[k], motion[k], 1.1e-5);
	}
	outside_cushion_close(cushion);
	ck_assert_int_eq(misses, 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("outside impacts");
	TCase *tests = tcase_create("random");

	tcase_set_timeout(tests, 0);
	tcase_add_test(tests, earlier_programs_agree);
	tcase_add_test(tests, random_impacts_agree);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
