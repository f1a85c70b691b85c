/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/guide_job.h"

#include <string.h>

#include "files/utf8.h"
#include "report/guide_words.h"

const char *const guide_words[] = {"undo",   "skip",  "miscue", "repeat", "done",
                                   "note",   "leave", "shot",   "show",   "known",
                                   "enough", "help",  "quit",   "yes",    NULL};

/* Clears the reading asked for: it was not taken. */
static void pass_over(struct guide_job *job, const char *rest)
{
	struct reading missing = {.kind = READING_MISSING};

	(void)rest;
	if (guide_ask(&job->guide).shot != NULL)
		guide_tell(job, "    = not measured\n");
	guide_follow(job, guide_answer(&job->guide, &missing));
}

static void undo(struct guide_job *job, const char *rest)
{
	enum guide_change change;

	(void)rest;
	if (job->doubted) {
		job->doubted = false;
		guide_tell(job, "  Dropped; it was not kept yet.\n");
		return;
	}
	change = guide_undo(&job->guide);
	if (change == GUIDE_TAKEN_BACK)
		guide_tell(job, "  Taken back.\n");
	guide_follow(job, change);
}

/* Whether words can stand in a cell of the file; says so where they cannot. */
static bool is_plain(const struct guide_job *job, const char *words)
{
	if (utf8_first_bad(words, strlen(words)) == strlen(words) && utf8_is_plain(words))
		return true;
	guide_tell(job, "  Not understood: a note holds a character that cannot be shown; type it "
	                "again\n  without tabs.\n");
	return false;
}

static void miscue(struct guide_job *job, const char *rest)
{
	const char *reason =
	    rest[0] != '\0' ? arena_format(job->measurement.arena, "miscue: %s", rest) : "miscue";

	if (!is_plain(job, rest))
		return;
	if (reason == NULL) {
		job->status = command_memory_out(job->invocation);
		return;
	}
	if (guide_ask(&job->guide).shot != NULL)
		guide_tell(job, "  Set aside; play it again.\n");
	guide_follow(job, guide_set_aside(&job->guide, reason));
}

static void repeat(struct guide_job *job, const char *rest)
{
	enum guide_change change = guide_repeat(&job->guide);

	(void)rest;
	if (change == GUIDE_TAKEN_BACK)
		guide_tell(job, "  Its readings are dropped; play the stroke again.\n");
	guide_follow(job, change);
}

static void end_stroke(struct guide_job *job, const char *rest)
{
	(void)rest;
	guide_follow(job, guide_end_stroke(&job->guide));
}

static void note(struct guide_job *job, const char *rest)
{
	if (rest[0] == '\0') {
		guide_tell(job, "  A note needs words: note a hair off the line\n");
		return;
	}
	if (!is_plain(job, rest))
		return;
	guide_follow(job, guide_note(&job->guide, rest));
	if (job->guide.open || job->guide.answered != 0 || job->measurement.row_count == 0)
		guide_tell(job, "  Noted beside this stroke.\n");
	else
		guide_tell(job, "  Noted beside the stroke before.\n");
}

static void leave_out(struct guide_job *job, const char *rest)
{
	const struct shot_design *shot = guide_ask(&job->guide).shot;
	enum guide_change change = guide_leave_out(&job->guide);

	(void)rest;
	if (shot != NULL)
		guide_tell(job, "  Left out: %s (shot %s brings it back, or a new start).\n",
		           shot->key, shot->key);
	job->announced_shot = job->protocol->shot_count;
	if (change != GUIDE_STROKE_LOST)
		guide_follow(job, change);
}

static void list_shots(const struct guide_job *job)
{
	for (size_t i = 0; i < job->protocol->shot_count; i++) {
		const struct shot_design *shot = &job->protocol->shots[i];

		guide_tell(job, "  %-20s %d of %d played\n", shot->key, guide_count(&job->guide, i),
		           shot->tries);
	}
}

static void choose(struct guide_job *job, const char *rest)
{
	size_t shot = guide_find(&job->guide, rest);

	if (shot == job->protocol->shot_count) {
		if (rest[0] != '\0')
			guide_tell(
			    job, "  There is no shot \"%.40s\" in this protocol; its shots are:\n",
			    rest);
		list_shots(job);
	} else if (job->guide.open) {
		guide_tell(job,
		           "  The stroke at hand comes first: read it, or type done, miscue or "
		           "repeat.\n");
	} else {
		guide_follow(job, guide_choose(&job->guide, shot, 0));
	}
}

static void show(struct guide_job *job, const char *rest)
{
	(void)rest;
	guide_show(job);
}

static void known(struct guide_job *job, const char *rest)
{
	(void)rest;
	guide_tell_known(job);
}

static void enough(struct guide_job *job, const char *rest)
{
	(void)rest;
	job->ended = "enough";
}

static void help(struct guide_job *job, const char *rest)
{
	struct text words = {0};

	(void)rest;
	guide_words_help(&words);
	if (guide_ask(&job->guide).shot != NULL)
		guide_words_notation(guide_ask(&job->guide).quantity, &words);
	guide_say(job, &words);
	text_free(&words);
}

static const struct {
	const char *word;
	void (*obey)(struct guide_job *job, const char *rest);
	bool takes_words;
} commands[] = {
    {"-", pass_over, false},     {"skip", pass_over, false}, {"n/a", pass_over, false},
    {"undo", undo, false},       {"miscue", miscue, true},   {"repeat", repeat, false},
    {"done", end_stroke, false}, {"note", note, true},       {"leave", leave_out, false},
    {"shot", choose, true},      {"show", show, false},      {"known", known, false},
    {"enough", enough, false},   {"quit", enough, false},    {"exit", enough, false},
    {"help", help, false},       {"?", help, false},
};

/* "watch1 0.87": a reading by its name, also one that is not asked for. */
static bool take_named(struct guide_job *job, const char *line, size_t length, const char *rest)
{
	int quantity;

	if (!quantity_from_name(line, length, &quantity))
		return false;
	if (guide_ask(&job->guide).shot == NULL)
		return false;
	if (rest[0] == '\0')
		guide_tell(job, "  A reading stands behind its name: %s 2.5, or - to clear it.\n",
		           quantity_name(quantity));
	else
		guide_take_reading(job, quantity, rest);
	return true;
}

bool guide_command(struct guide_job *job, const char *line)
{
	size_t length = strcspn(line, " \t");
	const char *rest = line + length + strspn(line + length, " \t");

	for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
		if (strlen(commands[i].word) != length ||
		    strncmp(commands[i].word, line, length) != 0)
			continue;
		if (rest[0] != '\0' && !commands[i].takes_words)
			return false;
		commands[i].obey(job, rest);
		return true;
	}
	return take_named(job, line, length, rest);
}
