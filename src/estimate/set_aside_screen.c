/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/set_aside.h"

#include <math.h>

#include "base/random.h"

/* What no table, player or stroke explains, before anything is known of this one. */

#define PLAYS 200
#define TOLERANCE 1e-4 /* of cushion impacts [m/s]: only what is far out matters */
#define FAR 1.0        /* times the whole range of the plays beyond it */
#define SURE 5.0       /* and standard deviations of the reading */
#define STREAM UINT64_C(0x5c4ee)

/* Range of one residual over the plays. */
struct range {
	double low, high;
};

static void draw_all(struct random_stream *stream, struct stroke_point *point,
                     double own[OWN_UNKNOWNS])
{
	for (int id = 0; id < CONSTANT_COUNT; id++)
		point->constants[id] = random_normal(stream);
	for (int k = 0; k < SHARED_UNKNOWNS; k++)
		point->shared[k] = random_normal(stream);
	for (int j = 0; j < OWN_UNKNOWNS; j++)
		own[j] = random_normal(stream);
}

/* Whether every residual has come so near to zero that no further play can put it out of sight. */
static bool all_seen(const struct stroke_case *stroke, const struct range ranges[RESIDUALS_MAX])
{
	for (size_t i = 0; i < stroke->readings.residual_count; i++)
		if (!(ranges[i].low <= SURE && ranges[i].high >= -SURE))
			return false;
	return true;
}

/* Whether a reading lies beyond all plays of its stroke, whatever the constants, by more than those
 * differ among themselves. */
static bool out_of_sight(const struct stroke_case *stroke, uint64_t seed)
{
	struct random_stream stream = random_start(seed ^ STREAM, stroke->stream);
	struct range ranges[RESIDUALS_MAX];

	for (size_t i = 0; i < stroke->readings.residual_count; i++)
		ranges[i] = (struct range){HUGE_VAL, -HUGE_VAL};
	for (int k = 0; k < PLAYS; k++) {
		double own[OWN_UNKNOWNS], residuals[RESIDUALS_MAX];
		struct stroke_point point;

		draw_all(&stream, &point, own);
		if (!stroke_case_residuals_to(stroke, &point, own, TOLERANCE, residuals, NULL))
			continue;
		for (size_t i = 0; i < stroke->readings.residual_count; i++) {
			ranges[i].low = fmin(ranges[i].low, residuals[i]);
			ranges[i].high = fmax(ranges[i].high, residuals[i]);
		}
		if (all_seen(stroke, ranges))
			return false;
	}
	for (size_t i = 0; i < stroke->readings.residual_count; i++) {
		double allowed = FAR * (ranges[i].high - ranges[i].low) + SURE;

		if (ranges[i].low > allowed || ranges[i].high < -allowed)
			return isfinite(ranges[i].low);
	}
	return false;
}

void set_aside_screen(struct fit_problem *problem, const char **reasons)
{
	size_t aside = 0;

	for (size_t i = 0; i < problem->stroke_count; i++) {
		struct stroke_case *stroke = &problem->strokes[i];

		if (progress_stopped(problem->progress) ||
		    (double)(aside + 1) > SET_ASIDE_SHARE * (double)problem->stroke_count)
			break;
		if (!out_of_sight(stroke, problem->seed))
			continue;
		stroke->used = false;
		stroke->spoiled = true;
		reasons[i] = "out of reach of any stroke near the designed one on any table";
		aside++;
	}
}
