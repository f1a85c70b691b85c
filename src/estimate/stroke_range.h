/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_STROKE_RANGE_H
#define RESTPOINT_ESTIMATE_STROKE_RANGE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "estimate/fit.h"
#include "estimate/stroke_model.h"

/* What strokes of one shot can do: some thousand of them played, with player, stroke and rails drawn
 * from their priors, and the table from what is known of it. So a reading can be doubted while who
 * typed it still stands at the table. */

#define STROKE_RANGE_PLAYS 4000

/* One play: what would have been read of it. */
struct stroke_range_play {
	struct observed observed[QUANTITY_COUNT];
	bool compared; /* with the reading judged last */
};

struct stroke_range {
	const struct shot_design *design;
	size_t count; /* plays that came to their end */
	struct stroke_range_play *plays;
};

/* Plays the shot for all quantities that it measures.
 *   labels  of the physical balls, by their part
 *   known   a fit of this table so far, whose draws tell the constants; NULL, or one without draws:
 *           the priors do
 * STATUS_OK; STATUS_INPUT when the shot cannot stand on that table; STATUS_SYSTEM. Release with
 * stroke_range_free in any case. The design and the session must outlive the range. */
enum status stroke_range_make(struct stroke_range *range, const struct shot_design *design,
                              const struct session *session, const char *const labels[BALL_ROLES],
                              const struct fit_result *known);
void stroke_range_free(struct stroke_range *range);

/* What is odd about a reading. */
enum reading_doubt {
	DOUBT_NONE,   /* within reach, or it cannot be told */
	DOUBT_BEYOND, /* outside the range of the plays by more than errors of reading explain */
	DOUBT_RAIL,   /* no play meets that rail then */
	DOUBT_POCKET, /* no play ends in a pocket */
	DOUBT_FELL    /* every play ends in a pocket */
};

/* The slip that would explain it. */
enum reading_slip {
	SLIP_NONE,
	SLIP_VALUE,   /* one unit off, or ten times or a tenth of what was meant */
	SLIP_SWAPPED, /* long and short */
	SLIP_RAIL     /* another rail */
};

struct reading_judgement {
	enum reading_doubt doubt;
	double low, high; /* of the plays that tell [diamonds or s]; of DOUBT_BEYOND */
	double away;      /* from the nearer end [diamonds or s] */
	enum rail rail;   /* DOUBT_RAIL: the one that most plays meet */
	size_t plays;     /* that were compared */
	size_t stray;     /* of them, those that reach beyond each end */
	bool together;    /* those that give the row's other readings, not all */
	enum reading_slip slip;
	double meant;         /* of SLIP_VALUE */
	enum rail meant_rail; /* of SLIP_RAIL */
};

/* Judges a reading of the row against the plays: against those that give the row's other readings
 * too, where enough do, else against all.
 *   quantity  its number; the row's other readings also tell whether long and short were swapped
 *   rail      of a rail contact whose reading names none: the one that the design strikes; or
 *             RAIL_COUNT */
struct reading_judgement stroke_range_judge(const struct stroke_range *range,
                                            const struct session *session,
                                            const struct stroke_row *row, int quantity,
                                            enum rail rail);

#endif
