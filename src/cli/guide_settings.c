/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/guide_job.h"

#include <math.h>
#include <string.h>

#include "cli/made.h"
#include "files/measurement_file.h"
#include "files/setting_print.h"
#include "files/utf8.h"
#include "report/guide_words.h"
#include "table/notation_amount.h"

#define DATE_LENGTH 10 /* of an RFC 3339 date and time, the date */

/* What is asked at the start, in this order. */
static const struct question {
	const char *key;    /* of the setting */
	const char *option; /* NULL: by --set alone */
	const char *prompt;
	int note; /* the session note that says whether it was given; -1: another */
} questions[] = {
    {"table", "table", "Table (Enter: pool-9ft): ", -1},
    {"table_name", "table-name", "Name of the table: ", NOTE_TABLE_NAME},
    {"player", "player", "Player: ", NOTE_PLAYER},
    {"ball_set", "ball-set", "Set of balls: ", NOTE_BALL_SET},
    {"cloth", "cloth", "Cloth: ", NOTE_CLOTH},
    {"microphone_long", NULL, "The phone lies at long (Enter: unknown): ", -1},
    {"microphone_short", NULL, "The phone lies at short: ", -1},
};

#define QUESTIONS (sizeof questions / sizeof questions[0])

/* Applies KEY=VALUE of --set to a session. */
static enum status apply_set(struct guide_job *job, struct session *session, const char *pair,
                             struct fault_list *faults)
{
	size_t length = strcspn(pair, "=");
	const char *key = arena_copy(job->measurement.arena, pair, length);

	if (length == 0 || pair[length] == '\0')
		return command_complain(
		    job->invocation,
		    "option --set: found \"%s\"; accepted: KEY=VALUE, a setting of "
		    "a measurement file without its #",
		    pair);
	if (key == NULL)
		return STATUS_SYSTEM;
	return measurement_setting_apply(session, job->measurement.arena, key, pair + length + 1,
	                                 faults);
}

/* Whether a session is one that exists and the option only says who strikes from now on. */
static bool is_new_player(const struct guide_job *job, const char *option)
{
	return job->store.exists && strcmp(option, "player") == 0;
}

/* Applies the option of a question; a new player is only looked at. */
static enum status apply_option(struct guide_job *job, struct session *session,
                                const struct question *question, const char *value,
                                struct fault_list *faults)
{
	struct session other = *session;

	/* A cell is stricter than a setting. */
	if (is_new_player(job, question->option) &&
	    (utf8_first_bad(value, strlen(value)) < strlen(value) || !utf8_is_plain(value)))
		return command_complain(job->invocation,
		                        "option --player: found a character that cannot be shown; "
		                        "accepted: a text of one line without tabs");
	return measurement_setting_apply(is_new_player(job, question->option) ? &other : session,
	                                 job->measurement.arena, question->key, value, faults);
}

static enum status apply_all(struct guide_job *job, struct session *session,
                             struct fault_list *faults)
{
	const struct options *options = &job->invocation->options;
	enum status worst = STATUS_OK;

	for (size_t i = 0; i < options->given_count; i++) {
		const struct option_given *given = &options->given[i];
		enum status status = STATUS_OK;

		if (strcmp(given->rule->name, "set") == 0)
			status = apply_set(job, session, given->value, faults);
		for (size_t k = 0; k < QUESTIONS; k++)
			if (questions[k].option != NULL &&
			    strcmp(given->rule->name, questions[k].option) == 0)
				status = apply_option(job, session, &questions[k], given->value, faults);
		if (status != STATUS_OK)
			worst = status == STATUS_SYSTEM ? status : STATUS_USAGE;
	}
	return worst;
}

/* Whether two sessions have the same settings, as a file writes them. */
static bool are_alike(const struct session *first, const struct session *second)
{
	struct text a = {0}, b = {0};
	bool alike;

	setting_print_all(&a, first);
	setting_print_all(&b, second);
	alike = strcmp(text_bytes(&a), text_bytes(&b)) == 0;
	text_free(&a);
	text_free(&b);
	return alike;
}

static void date_session(struct guide_job *job)
{
	const char **date = &job->measurement.session.notes[NOTE_DATE];
	char now[MADE_SIZE];

	if (*date == NULL && made_now(now))
		*date = arena_copy(job->measurement.arena, now, DATE_LENGTH);
}

enum status guide_settings_apply(struct guide_job *job)
{
	struct session session = job->measurement.session;
	struct fault_list faults;
	enum status status = fault_list_create(&faults);

	if (status != STATUS_OK)
		return status;
	status = apply_all(job, &session, &faults);
	messages_faults(&job->invocation->messages, &faults);
	fault_list_free(&faults);
	if (status != STATUS_OK)
		return status;
	if (job->store.exists && !are_alike(&session, &job->measurement.session))
		return command_complain(
		    job->invocation,
		    "%s was begun with other settings than the options say; leave "
		    "them out, or name another file with --output",
		    job->store.path);
	job->measurement.session = session;
	if (!job->store.exists)
		date_session(job);
	return STATUS_OK;
}

static bool was_given(const struct guide_job *job, const struct question *question)
{
	const struct options *options = &job->invocation->options;

	if (question->note >= 0)
		return job->measurement.session.notes[question->note] != NULL;
	if (strcmp(question->key, "table") == 0) {
		for (size_t i = 0; i < options->given_count; i++)
			if (strcmp(options->given[i].rule->name, "set") == 0 &&
			    strncmp(options->given[i].value, "table=", strlen("table=")) == 0)
				return true;
		return job->store.exists || options_has(options, "table");
	}
	return job->measurement.session.microphone_known || (job->protocol->kit & KIT_SOUND) == 0;
}

static void list_tables(const struct guide_job *job)
{
	size_t count;
	const struct table *presets = table_presets(&count);

	guide_tell(job, "  Tables: ");
	for (size_t i = 0; i < count; i++)
		guide_tell(job, "%s%s", i > 0 ? ", " : "", presets[i].preset);
	guide_tell(job, "\n");
}

/* Takes an answer; false when it was refused and is to be asked for again. */
static bool take_answer(struct guide_job *job, const struct question *question, const char *line)
{
	struct span answer = span_trim((struct span){line, strlen(line)});
	const char *value = arena_copy(job->measurement.arena, answer.bytes, answer.length);
	struct text words = {0};
	struct fault_list faults;
	bool taken = false;

	if (value == NULL || fault_list_create(&faults) != STATUS_OK) {
		job->status = command_memory_out(job->invocation);
		return false;
	}
	if (answer.length == 0)
		taken = true;
	else if (measurement_setting_apply(&job->measurement.session, job->measurement.arena,
	                                   question->key, value, &faults) == STATUS_OK)
		taken = guide_save(job);
	else if (faults.count > 0)
		guide_words_refusal(&faults.items[0], &words);
	guide_say(job, &words);
	text_free(&words);
	fault_list_free(&faults);
	return taken;
}

/* Waits for the answer to one question. */
static void ask_one(struct guide_job *job, const struct question *question)
{
	const char *line;

	while (job->ended == NULL && job->status == STATUS_OK) {
		switch (line_input_read(job->input, question->prompt, -1, &line)) {
		case LINE_READ:
			if (take_answer(job, question, line))
				return;
			break;
		case LINE_END:
			job->ended = "end of input";
			break;
		case LINE_STOPPED:
			job->ended = "interrupted";
			break;
		case LINE_CALLED:
			break;
		case LINE_FAILED:
			job->status = command_memory_out(job->invocation);
			break;
		}
	}
}

enum status guide_settings_ask(struct guide_job *job)
{
	bool begun = false;

	for (size_t i = 0; i < QUESTIONS && job->ended == NULL && job->status == STATUS_OK; i++) {
		bool short_alone = strcmp(questions[i].key, "microphone_short") == 0 &&
		                   !isnan(job->measurement.session.microphone_short);

		if (was_given(job, &questions[i]) || short_alone)
			continue;
		if (!begun)
			guide_tell(job, "Settings of the session; Enter leaves one out.\n");
		begun = true;
		if (strcmp(questions[i].key, "table") == 0)
			list_tables(job);
		ask_one(job, &questions[i]);
	}
	return job->status;
}
