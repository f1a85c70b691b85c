/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_GUIDE_TEXT_H
#define RESTPOINT_REPORT_GUIDE_TEXT_H

#include "advise/guide_goal.h"
#include "base/status.h"
#include "base/text.h"
#include "estimate/fit.h"
#include "estimate/next_shots.h"

/* What a guided session has learned so far, in few lines. */

/* What one fit of the session told. */
struct guide_known {
	enum status status; /* of the fit; other than STATUS_OK and STATUS_UNDETERMINED: nothing
	                             below holds */
	size_t strokes;     /* that count, when it was made */
	struct fit_result fit;
	bool has_next;
	struct next_shots next;
	double before
	    [CONSTANT_COUNT]; /* relative standard errors by the fit before it; negative: none */
};

/* Whether it holds a fit. */
bool guide_known_holds(const struct guide_known *known);

/* Each constant asked for with its standard error, and what that was before. */
void guide_text_known(const struct guide_known *known, const struct guide_goal *goal,
                      struct text *out);

/* The same in two or three lines: the errors alone where no goal was stated. */
void guide_text_news(const struct guide_known *known, const struct guide_goal *goal,
                     struct text *out);

/* "Enough: ..." when the goal is reached; else which shot now tells most. */
void guide_text_verdict(const struct guide_known *known, const struct guide_goal *goal,
                        struct text *out);

/* How a session ended. */
struct guide_end {
	const char *file;
	const char *protocol; /* as named on the command line */
	const char *ended;    /* "complete", "enough", "end of input", "interrupted" */
	size_t strokes, set_aside;
	int missing;                     /* strokes of the protocol that were not played */
	const struct guide_known *known; /* NULL: nothing was fitted */
};

void guide_text_end(const struct guide_end *end, const struct guide_goal *goal, struct text *out);
void guide_json_end(const struct guide_end *end, const struct guide_goal *goal, struct text *out);

#endif
