/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_GUIDE_JOB_H
#define RESTPOINT_CLI_GUIDE_JOB_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

#include "advise/guide.h"
#include "advise/guide_goal.h"
#include "cli/command.h"
#include "cli/guide_store.h"
#include "cli/guide_worker.h"
#include "cli/inputs.h"
#include "cli/line_input.h"
#include "estimate/stroke_range.h"

/* One call of the command guide. The parts: settings (guide_settings.c), the dialogue about strokes
 * (guide_dialogue.c), its commands (guide_commands.c), one reading (guide_reading.c), what the fits
 * find (guide_news.c). */
struct guide_job {
	const struct invocation *invocation;
	struct library library;
	const struct protocol *protocol;
	const char *protocol_name; /* as given */
	struct guide_goal goal;
	bool adapt, no_fit;
	uint64_t seed;
	FILE *talk; /* where prompts and echoes go */
	struct line_input *input;
	struct measurement measurement;
	struct guide_store store;
	struct guide guide;
	struct guide_worker worker;

	struct stroke_range range; /* of the shot at hand */
	size_t range_of;           /* number of the fit that it was made with */
	bool doubted;              /* a reading waits for a yes */
	struct reading doubtful;
	int doubtful_quantity;
	bool *shown;           /* shots that were shown in full */
	size_t announced_shot; /* of the heading told last; shot_count: one is due */
	size_t told_lines[64]; /* lines whose doubt was told */
	size_t told_count;
	const char *ended; /* NULL while it goes on */
	enum status status;
};

/* Writes to the talk, at once. */
void guide_say(const struct guide_job *job, const struct text *words);
void guide_tell(const struct guide_job *job, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Applies --table, --player and the like and --set to the session of the measurement. On a file that
 * exists they must say what it says. STATUS_OK, or another after a message. */
enum status guide_settings_apply(struct guide_job *job);

/* Asks for the settings that a new file has not been given. job->ended is set when the input ends.
 * STATUS_OK, or another after a message. */
enum status guide_settings_ask(struct guide_job *job);

/* Saves, and tells a failure. False when the session cannot go on. */
bool guide_save(struct guide_job *job);

/* Asks stroke after stroke until the input ends or the person ends it. */
void guide_dialogue(struct guide_job *job);

/* Obeys a line that begins with a command; false when it is none. */
bool guide_command(struct guide_job *job, const char *line);

/* Draws the shot at hand and tells it in full. */
void guide_show(struct guide_job *job);

/* The rail that the design strikes at a contact, or RAIL_COUNT. */
enum rail guide_designed_rail(const struct guide_job *job, const struct shot_design *shot,
                              int quantity);

/* Reads a line as that reading of the stroke at hand; refuses it, doubts it or accepts it. */
void guide_take_reading(struct guide_job *job, int quantity, const char *line);

/* Accepts a reading: says how it was understood, and what follows. */
void guide_accept(struct guide_job *job, int quantity, const struct reading *reading);

/* Asks for a fit of what was written. */
void guide_ask_fit(struct guide_job *job);

/* Tells what is known; in few lines what a fit that just ended has found. */
void guide_tell_known(struct guide_job *job);
void guide_tell_news(struct guide_job *job);

/* What was told of the rows from the last one on may be told again: they are typed anew. */
void guide_forget_doubts(struct guide_job *job);

/* Lets what is known choose the next shot, where that was asked for. */
void guide_adapt(struct guide_job *job);

/* What follows from a change: saving, a new fit, the next shot. */
void guide_follow(struct guide_job *job, enum guide_change change);

/* The words that Tab completes, ended by NULL. */
extern const char *const guide_words[];

#endif
