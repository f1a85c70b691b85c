/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include <stdlib.h>
#include <string.h>

#include "advise/assess.h"
#include "cli/help.h"
#include "cli/inputs.h"
#include "cli/made.h"
#include "cli/output.h"
#include "cli/progress_bar.h"
#include "cli/signals.h"
#include "estimate/fit.h"
#include "estimate/next_shots.h"
#include "files/profile_file.h"
#include "report/fit_text.h"

/* One call of the command, all that is known before the fit begins. */
struct job {
	struct invocation *invocation;
	struct inputs inputs;
	struct fit_input *pairs;
	uint64_t seed;
	char made[MADE_SIZE];
	const char *output; /* NULL: no profile is written */
};

static enum status read_options(struct job *job)
{
	struct invocation *invocation = job->invocation;
	enum status status = command_read_seed(invocation, &job->seed);

	if (status == STATUS_OK && !made_now(job->made))
		status = command_complain(invocation, "the variable SOURCE_DATE_EPOCH is not a number of "
		                                      "seconds since 1970; correct or unset it");
	job->output = options_value(&invocation->options, "output");
	if (status == STATUS_OK && options_has(&invocation->options, "nap") &&
	    options_has(&invocation->options, "slope"))
		status = command_complain(invocation,
		                          "--nap and --slope are not told apart by how balls roll; leave "
		                          "--slope out where the table was levelled, --nap where the "
		                          "cloth has none");
	return status;
}

/* Refuses to write over what is read. */
static enum status check_output(const struct job *job)
{
	if (job->output == NULL)
		return STATUS_OK;
	for (size_t i = 0; i < job->inputs.count; i++) {
		const char *protocol = job->inputs.protocols[i]->file;

		if (output_same_file(job->output, job->inputs.measurements[i].file) ||
		    (protocol != NULL && output_same_file(job->output, protocol)))
			return command_complain(job->invocation,
			                        "%s is read by this fit and would be lost; name another file "
			                        "for --output",
			                        job->output);
	}
	return output_check(&job->invocation->messages, job->output);
}

static enum status prepare(struct job *job)
{
	enum status status = read_options(job);

	if (status == STATUS_OK)
		status = inputs_read(job->invocation, &job->inputs);
	if (status == STATUS_OK)
		status = check_output(job);
	if (status != STATUS_OK)
		return status;
	job->pairs = calloc(job->inputs.count, sizeof(*job->pairs));
	if (job->pairs == NULL)
		return command_memory_out(job->invocation);
	for (size_t i = 0; i < job->inputs.count; i++)
		job->pairs[i] =
		    (struct fit_input){&job->inputs.measurements[i], job->inputs.protocols[i]};
	return STATUS_OK;
}

/* What to play next, of the protocols of the files and all installed ones. False when memory is
 * out. */
static bool choose_next(struct job *job, const struct fit_result *fit, struct next_shots *next)
{
	struct library *library = &job->inputs.library;
	struct next_candidate *candidates;
	size_t count = 0;
	bool done;

	if (!library_fill(library))
		return false;
	for (size_t i = 0; i < library->count; i++)
		count += library->protocols[i]->shot_count;
	candidates = calloc(count + 1, sizeof(*candidates));
	if (candidates == NULL)
		return false;
	count = 0;
	for (size_t i = 0; i < library->count; i++)
		for (size_t k = 0; k < library->protocols[i]->shot_count; k++)
			candidates[count++] = (struct next_candidate){library->protocols[i],
			                                              &library->protocols[i]->shots[k]};
	done = next_shots_choose(job->pairs, job->inputs.count, fit, candidates, count, next) ==
	       STATUS_OK;
	free(candidates);
	return done;
}

static void print_answer(const struct job *job, enum status ending, const struct fit_result *fit,
                         const struct profile *profile, const struct next_shots *next,
                         const struct text *json)
{
	struct text *answer = &job->invocation->answer;

	if (job->invocation->messages.json)
		fit_json_print(ending, fit, profile, next, text_bytes(json), answer);
	else
		fit_text_print(ending, fit, profile, next, answer);
	answer->failed = answer->failed || json->failed;
}

/* Says why no profile was written. */
static void tell_ending(const struct job *job, enum status ending, const struct fit_result *fit)
{
	const struct messages *messages = &job->invocation->messages;
	const char *unwritten = job->output != NULL ? "; no profile was written" : "";

	switch (ending) {
	case STATUS_INTERRUPTED:
		messages_error(messages, ending, "interrupted%s", unwritten);
		break;
	case STATUS_UNDETERMINED:
		messages_error(messages, ending,
		               "these shots determine no constant, not even roughly%s; play the shots "
		               "that the answer names and fit all files together",
		               unwritten);
		break;
	case STATUS_NOT_CONVERGED:
		messages_error(messages, ending,
		               "the fit did not converge (%s)%s; look at the rows with restpoint check, or "
		               "try another --seed",
		               fit->stop_reason, unwritten);
		break;
	default:
		break;
	}
}

/* Writes the profile, then the answer, then says how it went: an answer that cannot be printed
 * does not cost the profile, and the last words stand at the end of a terminal. */
static enum status deliver(const struct job *job, enum status ending, const struct fit_result *fit,
                           const struct text *json)
{
	const struct messages *messages = &job->invocation->messages;
	enum status printed;
	bool written = false;

	if (ending == STATUS_OK && *signals_flag() != 0)
		ending = STATUS_INTERRUPTED;
	if (ending == STATUS_OK && job->output != NULL) {
		ending = output_file(messages, job->output, json);
		written = ending == STATUS_OK;
	}
	printed = output_answer(messages, &job->invocation->answer);
	if (written)
		messages_note(messages, "profile written to %s", job->output);
	else
		tell_ending(job, ending, fit);
	return ending == STATUS_OK ? printed : ending;
}

/* A fit that reached a point, good or not: prints it, and writes it when it is an answer. */
static enum status finish(struct job *job, enum status ending, const struct fit_result *fit)
{
	bool advise = ending == STATUS_OK || ending == STATUS_UNDETERMINED;
	struct profile profile;
	struct next_shots next;
	struct text json = {0};
	enum status status;

	if (advise && !choose_next(job, fit, &next))
		return command_memory_out(job->invocation);
	status = assess_fit(job->pairs, job->inputs.count, fit, job->seed, job->made,
	                    help_version_number(), &profile);
	if (status != STATUS_OK)
		return command_memory_out(job->invocation);
	profile_file_print(&profile, &json);
	print_answer(job, ending, fit, &profile, advise ? &next : NULL, &json);
	status = deliver(job, ending, fit, &json);
	text_free(&json);
	profile_free(&profile);
	return status;
}

/* What is to be fitted besides the constants. */
static struct fit_wants read_wants(const struct job *job)
{
	const struct options *options = &job->invocation->options;

	return (struct fit_wants){
		.slope = options_has(options, "slope"),
		.liveliness_with_speed = options_has(options, "liveliness-with-speed"),
		.grips = options_has(options, "grips"),
		.per_rail = options_has(options, "per-rail"),
		.player = options_has(options, "player"),
		.nap = options_has(options, "nap"),
	};
}

static enum status fit(struct job *job)
{
	const struct messages *messages = &job->invocation->messages;
	struct progress_bar bar;
	struct progress progress;
	struct fit_options options = {
	    .seed = job->seed, .progress = &progress, .wants = read_wants(job)};
	struct fit_result result;
	struct fault_list faults;
	enum status status = fault_list_create(&faults);

	if (status != STATUS_OK)
		return command_memory_out(job->invocation);
	progress_bar_start(&bar, &progress);
	status = fit_run(job->pairs, job->inputs.count, &options, &result, &faults);
	progress_bar_clear(&bar);
	messages_faults(messages, &faults);
	if (status == STATUS_INTERNAL)
		messages_error(messages, status, "a defect of this program stopped the fit");
	else if (status == STATUS_SYSTEM && faults.count == 0)
		command_memory_out(job->invocation);
	else if (status != STATUS_INPUT && status != STATUS_SYSTEM) {
		status = finish(job, status, &result);
		fit_result_free(&result);
	}
	fault_list_free(&faults);
	return status;
}

static enum status run(struct invocation *invocation)
{
	struct job job = {.invocation = invocation};
	enum status status = prepare(&job);

	if (status == STATUS_OK)
		status = fit(&job);
	free(job.pairs);
	inputs_free(&job.inputs);
	return status;
}

static const struct option_rule rules[] = {
	{0, "protocol", "P", "read by this protocol (a name or a path) in place of the file's", false},
	{'o', "output", "PROFILE.json", "write the profile to this file, replacing it whole", false},
	{0, "slope", NULL, "fit how the bed is tilted, too", false},
	{0, "liveliness-with-speed", NULL, "fit what the cushions lose with speed, too (trial)", false},
	{0, "grips", NULL, "fit the grip of each ball label but the reference's, too", false},
	{0, "per-rail", NULL, "fit how each rail differs from the mean of the four, too (trial)", false},
	{0, "nap", NULL, "fit how the nap of the cloth pushes rolling balls, too", false},
	{0, "player", NULL, "tell how well the players repeat and how far off they strike", false},
	{0, "seed", "N", "seed of the search (default 1)", false},
	{0, NULL, NULL, NULL, false},
};

const struct command command_fit = {
	.name = "fit",
	.summary = "estimates the constants of a table from measurement files",
	.usage = "restpoint fit FILE.csv... [--protocol=P] [-o PROFILE.json] [--slope] "
			 "[--liveliness-with-speed] [--grips] [--per-rail] [--nap] [--player] [--seed=N] [--json]",
	.purpose = "Estimates the physical constants of a table and its balls from measurement files; "
			   "several files of one table are fitted together. Prints how the table plays in "
			   "players' terms, then the constants, each with its 95 % interval, and for what is "
			   "not known the shot that would settle it. Ctrl-C prints the best point so far, "
			   "marked incomplete, and writes no file.",
	.options = rules,
	.operands_least = 1,
	.operands_most = SIZE_MAX,
	.run = run,
};
