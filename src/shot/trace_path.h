/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_TRACE_PATH_H
#define RESTPOINT_SHOT_TRACE_PATH_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"
#include "shot/trace.h"

/* The way of one ball as points to be joined by straight lines, for files and drawings. */

/* How a ball moves, in the words of who looks at it. */
enum trace_phase {
	TRACE_STILL,
	TRACE_SPINNING, /* on the spot, with side spin alone */
	TRACE_ROLLING,
	TRACE_SLIDING,
	TRACE_FLYING
};

struct trace_point {
	double time; /* since the strike [s] */
	struct ball_state state;
	enum trace_phase phase; /* from here on, or, at the end of a stretch, up to here */
	bool begins; /* the first point of a stretch: of one phase, without a contact in between */
};

/* Set it to zero to start; trace_path_free at the end. Times never fall; where one stretch ends and
 * the next begins two points have one time and one place. */
struct trace_path {
	size_t count, capacity;
	struct trace_point *points;
};

void trace_path_free(struct trace_path *path);

/* Fills an empty path with the beginning and the end of each stretch and as many points in between
 * as it takes that the ball, at any time, is no farther than `tolerance` from the point that lies
 * between its neighbours in proportion to the time.
 *   radius     of the ball [m]
 *   until      a ball at rest is followed until then [s]; nothing is cut off before
 *   tolerance  [m], above 0
 * A ball that was not on the table has no points. STATUS_OK or STATUS_SYSTEM. */
enum status trace_path_make(const struct shot_trace *trace, size_t ball, double radius,
                            double until, double tolerance, struct trace_path *path);

#endif
