/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/guide_job.h"

#include <string.h>

#include "cli/nearest.h"
#include "files/measurement_file.h"
#include "report/guide_words.h"

enum rail guide_designed_rail(const struct guide_job *job, const struct shot_design *shot,
                              int quantity)
{
	enum rail rails[BALL_ROLES][RAIL_READINGS];
	struct quantity contact = quantity_at(quantity);
	const char *why;

	if (contact.kind != QUANTITY_RAIL ||
	    !stroke_design_rails(shot, &job->measurement.session, rails, &why))
		return RAIL_COUNT;
	return rails[contact.ball][contact.number - 1];
}

/* Plays the shot at hand for its range, anew when more is known. */
static void make_range(struct guide_job *job, const struct shot_design *shot)
{
	const struct guide_known *known = guide_worker_known(&job->worker);

	if (job->range.design == shot && job->range_of == job->worker.fits)
		return;
	stroke_range_free(&job->range);
	stroke_range_make(&job->range, shot, &job->measurement.session,
	                  guide_row(&job->guide)->ball, known != NULL ? &known->fit : NULL);
	job->range_of = job->worker.fits;
}

void guide_accept(struct guide_job *job, int quantity, const struct reading *reading)
{
	struct text words = {0};

	text_add(&words, "    = ");
	guide_words_reading(quantity, reading, &words);
	text_add(&words, "\n");
	guide_say(job, &words);
	text_free(&words);
	guide_follow(job, guide_put(&job->guide, quantity, reading));
}

/* Doubts a reading that no stroke of the shot gives; false when there is no reason to. */
static bool doubt(struct guide_job *job, const struct stroke_row *row, int quantity)
{
	const struct shot_design *shot = guide_ask(&job->guide).shot;
	const struct reading *reading = &row->readings[quantity];
	struct reading_judgement judgement;
	struct text words = {0};

	make_range(job, shot);
	judgement = stroke_range_judge(&job->range, &job->measurement.session, row, quantity,
	                               guide_designed_rail(job, shot, quantity));
	if (judgement.doubt == DOUBT_NONE)
		return false;
	text_add(&words, "    = ");
	guide_words_reading(quantity, reading, &words);
	text_add(&words, "\n");
	guide_words_doubt(quantity, reading, &judgement, &words);
	guide_say(job, &words);
	text_free(&words);
	job->doubtful = *reading;
	job->doubtful_quantity = quantity;
	job->doubted = true;
	return true;
}

static bool same_reading(const struct reading *first, const struct reading *second)
{
	return first->kind == second->kind && first->value == second->value &&
	       first->frozen == second->frozen && first->rail_named == second->rail_named &&
	       (!first->rail_named || first->rail == second->rail);
}

/* A word that is nearly one of those that are understood. */
static void tell_nearest(const struct guide_job *job, const char *line)
{
	struct nearest nearest;

	nearest_start(&nearest, line, strcspn(line, " \t"));
	for (size_t i = 0; guide_words[i] != NULL; i++)
		nearest_offer(&nearest, guide_words[i]);
	if (nearest.best != NULL && strspn(line, "0123456789.,") == 0)
		guide_tell(job, "  Did you mean %s?\n", nearest.best);
}

/* Reads a text as that reading, into a copy of the row. A rail contact without a name is on the rail
 * that the design strikes, and the name is kept. */
static bool read_reading(struct guide_job *job, int quantity, const char *line,
                         struct stroke_row *row)
{
	const struct shot_design *shot = guide_ask(&job->guide).shot;
	enum rail rail = guide_designed_rail(job, shot, quantity);
	const struct session *session = &job->measurement.session;
	struct text named = {0}, words = {0};
	struct fault_list faults;
	enum status status = fault_list_create(&faults);

	if (status == STATUS_OK)
		status = measurement_reading_read(session, shot, quantity, line, row, &faults);
	if (status == STATUS_OK && quantity_at(quantity).kind == QUANTITY_RAIL &&
	    row->readings[quantity].kind == READING_VALUE && !row->readings[quantity].rail_named &&
	    rail != RAIL_COUNT) {
		text_print(&named, "%s %s", rail_name(rail), line);
		status = measurement_reading_read(session, shot, quantity, text_bytes(&named), row,
		                                  &faults);
		text_free(&named);
	}
	if (faults.count > 0)
		guide_words_refusal(&faults.items[0], &words);
	else if (status != STATUS_OK)
		job->status = command_memory_out(job->invocation);
	guide_say(job, &words);
	if (faults.count > 0)
		tell_nearest(job, line);
	text_free(&words);
	fault_list_free(&faults);
	return status == STATUS_OK;
}

void guide_take_reading(struct guide_job *job, int quantity, const char *line)
{
	struct stroke_row row = *guide_row(&job->guide);
	const struct reading *reading = &row.readings[quantity];
	bool again = job->doubted && job->doubtful_quantity == quantity;

	if (!read_reading(job, quantity, line, &row))
		return;
	if (quantity_at(quantity).kind == QUANTITY_RAIL && reading->kind == READING_VALUE &&
	    !reading->rail_named) {
		guide_tell(job, "  The shot as designed does not meet that rail: name it, as in "
		                "right 5.6.\n");
		return;
	}
	if (reading->kind == READING_VALUE || reading->kind == READING_POCKET) {
		if (again && same_reading(reading, &job->doubtful))
			job->doubted = false;
		else if (doubt(job, &row, quantity))
			return;
	}
	guide_accept(job, quantity, reading);
}
