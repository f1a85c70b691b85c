/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/guide_job.h"

#include "report/paragraph.h"

void guide_ask_fit(struct guide_job *job)
{
	if (!job->no_fit && !job->store.unsaved && job->measurement.row_count > 0)
		guide_worker_ask(&job->worker, &job->store.text);
}

void guide_forget_doubts(struct guide_job *job)
{
	const struct measurement *measurement = &job->measurement;
	size_t first =
	    measurement->row_count > 0 ? measurement->rows[measurement->row_count - 1].line : 0;
	size_t kept = 0;

	for (size_t i = 0; i < job->told_count; i++)
		if (job->told_lines[i] < first)
			job->told_lines[kept++] = job->told_lines[i];
	job->told_count = kept;
}

/* Takes what a fit found odd among the rows in use, once each. */
static void tell_doubts(struct guide_job *job)
{
	const struct guide_known *known = guide_worker_known(&job->worker);

	for (size_t i = 0; i < known->fit.set_aside_count; i++) {
		const struct set_aside_row *row = &known->fit.set_aside[i];
		struct text words = {0};
		bool told = false;

		for (size_t k = 0; k < job->measurement.row_count; k++)
			told = told || (job->measurement.rows[k].line == row->line &&
			                !job->measurement.rows[k].valid);
		for (size_t k = 0; k < job->told_count; k++)
			told = told || job->told_lines[k] == row->line;
		if (told || job->told_count == sizeof job->told_lines / sizeof job->told_lines[0])
			continue;
		job->told_lines[job->told_count++] = row->line;
		paragraph_print(&words, 2, 2, "Not used by the fit: %s, line %zu of the file: %s.",
		                row->shot, row->line, row->reason);
		guide_say(job, &words);
		text_free(&words);
	}
}

void guide_tell_known(struct guide_job *job)
{
	const struct guide_known *known = guide_worker_known(&job->worker);
	struct text words = {0};

	if (known == NULL) {
		guide_tell(job, job->no_fit ? "  Nothing is fitted: --no-fit was given.\n"
		                            : "  Nothing is known yet: a fit follows each complete "
		                              "stroke.\n");
		return;
	}
	guide_text_known(known, &job->goal, &words);
	guide_text_verdict(known, &job->goal, &words);
	guide_say(job, &words);
	text_free(&words);
}

void guide_tell_news(struct guide_job *job)
{
	const struct guide_known *known = guide_worker_known(&job->worker);
	struct text words = {0};

	tell_doubts(job);
	guide_text_news(known, &job->goal, &words);
	guide_text_verdict(known, &job->goal, &words);
	guide_say(job, &words);
	text_free(&words);
}

void guide_adapt(struct guide_job *job)
{
	const struct guide_known *known;

	if (!job->adapt || job->guide.open || (job->guide.chosen && job->guide.extra > 0))
		return;
	if (guide_worker_call(&job->worker) >= 0)
		guide_tell(job, "  Working out which shot tells most ...\n");
	if (guide_worker_finish(&job->worker))
		guide_tell_news(job);
	known = guide_worker_known(&job->worker);
	if (known == NULL || !known->has_next || known->next.count == 0 ||
	    guide_goal_is_reached(&job->goal, &known->fit))
		return;
	guide_choose(&job->guide, guide_find(&job->guide, known->next.shots[0].shot->key),
	             known->next.shots[0].strokes);
}
