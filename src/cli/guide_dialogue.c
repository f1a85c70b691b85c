/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/guide_job.h"

#include <stdarg.h>
#include <string.h>

#include "report/guide_words.h"
#include "report/table_sketch.h"
#include "table/notation_amount.h"

#define LONGEST_PROMPT 100

void guide_say(const struct guide_job *job, const struct text *words)
{
	fwrite(text_bytes(words), 1, words->length, job->talk);
	fflush(job->talk);
}

void guide_tell(const struct guide_job *job, const char *format, ...)
{
	va_list arguments;

	va_start(arguments, format);
	vfprintf(job->talk, format, arguments);
	va_end(arguments);
	fflush(job->talk);
}

/* Gives each row the line that it has in the file: the rows are its last lines. */
static void number_rows(struct guide_job *job)
{
	struct measurement *measurement = &job->measurement;
	const char *bytes = text_bytes(&job->store.text);
	size_t lines = 0;

	for (; *bytes != '\0'; bytes++)
		lines += *bytes == '\n';
	for (size_t i = 0; i < measurement->row_count; i++)
		measurement->rows[i].line = lines - measurement->row_count + i + 1;
}

bool guide_save(struct guide_job *job)
{
	enum status status =
	    guide_store_save(&job->store, &job->invocation->messages, &job->measurement);

	if (status == STATUS_INPUT) {
		job->status = status;
		return false;
	}
	if (status != STATUS_OK)
		guide_tell(job, "  Not written yet; it is tried again after the next answer.\n");
	else
		number_rows(job);
	return true;
}

void guide_show(struct guide_job *job)
{
	struct guide_question question = guide_ask(&job->guide);
	struct text words = {0};
	const char *why;

	if (question.shot == NULL)
		return;
	guide_words_heading(&job->guide, &question, &words);
	table_sketch_print(question.shot, &job->measurement.session, &words, &why);
	guide_words_shot(question.shot, &words);
	guide_say(job, &words);
	text_free(&words);
	job->shown[job->guide.shot] = true;
}

/* Says which stroke comes: in full at the first one of its shot, in a line at the others. */
static void announce(struct guide_job *job, const struct guide_question *question)
{
	struct text words = {0};

	if (job->announced_shot == job->guide.shot)
		return;
	job->announced_shot = job->guide.shot;
	guide_tell(job, "\n");
	if (!job->shown[job->guide.shot]) {
		guide_show(job);
		return;
	}
	guide_words_heading(&job->guide, question, &words);
	guide_say(job, &words);
	text_free(&words);
}

static void tell_stroke(struct guide_job *job)
{
	size_t count = 0;

	for (size_t i = 0; i < job->measurement.row_count; i++)
		count += job->measurement.rows[i].valid;
	guide_tell(job, "  Stroke kept in %s: %zu so far.\n", job->store.path, count);
}

/* Whether the last row was not set aside. */
static bool last_counts(const struct guide_job *job)
{
	const struct measurement *measurement = &job->measurement;

	return measurement->row_count > 0 && measurement->rows[measurement->row_count - 1].valid;
}

void guide_follow(struct guide_job *job, enum guide_change change)
{
	job->doubted = false;
	switch (change) {
	case GUIDE_NOTHING:
		guide_tell(job, "  There is nothing to do that to.\n");
		return;
	case GUIDE_MEMORY_OUT:
		job->status = command_memory_out(job->invocation);
		return;
	case GUIDE_STROKE_LOST:
		guide_tell(job, "  Nothing was read: no stroke was kept.\n");
		job->announced_shot = job->protocol->shot_count;
		return;
	default:
		break;
	}
	if (!guide_save(job) || change == GUIDE_GOES_ON)
		return;
	if (change == GUIDE_TAKEN_BACK)
		guide_forget_doubts(job);
	if (change == GUIDE_STROKE_DONE && last_counts(job) && !job->store.unsaved)
		tell_stroke(job);
	guide_ask_fit(job);
	job->announced_shot = job->protocol->shot_count;
	if (change == GUIDE_STROKE_DONE)
		guide_adapt(job);
}

static void take_line(struct guide_job *job, const char *bytes)
{
	struct span span = span_trim((struct span){bytes, strlen(bytes)});
	bool doubted = job->doubted;
	char *line = arena_copy(job->measurement.arena, span.bytes, span.length);

	if (line == NULL) {
		job->status = command_memory_out(job->invocation);
		return;
	}
	if (doubted && (strcmp(line, "yes") == 0 || strcmp(line, "y") == 0)) {
		struct reading reading = job->doubtful;

		job->doubted = false;
		guide_accept(job, job->doubtful_quantity, &reading);
	} else if (doubted && (strcmp(line, "no") == 0 || strcmp(line, "n") == 0)) {
		job->doubted = false;
	} else if (guide_command(job, line)) {
		return;
	} else if (guide_ask(&job->guide).shot == NULL) {
		guide_tell(job,
		           "  Everything is played. Type enough to end, shot NAME for one more "
		           "stroke, undo, or help.\n");
	} else if (line[0] == '\0') {
		guide_tell(job, "  Type the reading, - where it was not taken, or help.\n");
	} else {
		guide_take_reading(job, guide_ask(&job->guide).quantity, line);
	}
}

static void make_prompt(struct guide_job *job, char prompt[LONGEST_PROMPT])
{
	struct guide_question question = guide_ask(&job->guide);
	struct text words = {0};

	if (question.shot == NULL)
		text_add(&words, "All strokes are played (enough, shot NAME, undo, help): ");
	else if (job->doubted)
		text_add(&words, "Keep it? yes, or the right reading: ");
	else
		guide_words_prompt(&question,
		                   guide_designed_rail(job, question.shot, question.quantity),
		                   job->measurement.session.errors.frames_per_second > 0, &words);
	snprintf(prompt, LONGEST_PROMPT, "%s", text_bytes(&words));
	text_free(&words);
}

void guide_dialogue(struct guide_job *job)
{
	char prompt[LONGEST_PROMPT];
	const char *line;

	while (job->ended == NULL && job->status == STATUS_OK) {
		struct guide_question question = guide_ask(&job->guide);

		if (question.shot != NULL)
			announce(job, &question);
		make_prompt(job, prompt);
		switch (
		    line_input_read(job->input, prompt, guide_worker_call(&job->worker), &line)) {
		case LINE_READ:
			take_line(job, line);
			break;
		case LINE_CALLED:
			if (guide_worker_collect(&job->worker))
				guide_tell_news(job);
			break;
		case LINE_END:
			job->ended = "end of input";
			break;
		case LINE_STOPPED:
			job->ended = "interrupted";
			break;
		case LINE_FAILED:
			job->status = STATUS_SYSTEM;
			messages_error(
			    &job->invocation->messages, STATUS_SYSTEM,
			    "the input cannot be read; start the guide again: it goes on "
			    "from the last answer");
			break;
		}
	}
}
