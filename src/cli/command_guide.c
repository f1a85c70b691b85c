/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/guide_job.h"
#include "cli/locate.h"
#include "cli/output.h"
#include "cli/relative.h"
#include "estimate/stroke_model.h"
#include "report/guide_text.h"

static enum status read_goal(struct guide_job *job)
{
	const struct options *options = &job->invocation->options;
	const char *accepted;

	for (size_t i = 0; i < options->given_count; i++) {
		const char *value = options->given[i].value;

		if (strcmp(options->given[i].rule->name, "want") == 0 &&
		    !guide_goal_read(value, &job->goal, &accepted))
			return command_complain(job->invocation, "option --want: found \"%s\"; accepted: %s",
			                        value, accepted);
	}
	return STATUS_OK;
}

static enum status read_options(struct guide_job *job)
{
	const struct options *options = &job->invocation->options;
	enum status status = command_read_seed(job->invocation, &job->seed);

	job->protocol_name = options->operands[0];
	job->adapt = options_has(options, "adapt");
	job->no_fit = options_has(options, "no-fit");
	job->store.path = options_value(options, "output");
	if (status == STATUS_OK && job->adapt && job->no_fit)
		return command_complain(job->invocation, "--adapt chooses by the fits that --no-fit "
		                                         "leaves out; give one of them");
	if (status == STATUS_OK && job->store.path == NULL)
		return command_complain(job->invocation, "option --output is missing: it names the "
		                                         "measurement file, as in -o session.csv");
	return status == STATUS_OK ? read_goal(job) : status;
}

static enum status find_protocol(struct guide_job *job)
{
	struct fault_list faults;
	enum status status = fault_list_create(&faults);

	if (status != STATUS_OK)
		return status;
	job->protocol = library_find(&job->library, job->protocol_name, NULL, &faults);
	if (job->protocol == NULL)
		status = faults.count > 0 ? faults.items[0].status : STATUS_SYSTEM;
	messages_faults(&job->invocation->messages, &faults);
	fault_list_free(&faults);
	return status;
}

/* Every shot must be able to stand on the table, or the session could not be played. */
static enum status check_shots(struct guide_job *job)
{
	enum status status = STATUS_OK;

	for (size_t i = 0; i < job->protocol->shot_count; i++) {
		const struct shot_design *shot = &job->protocol->shots[i];
		struct stroke_scene scene;
		const char *why;

		if (stroke_scene_make(&scene, shot, &job->measurement.session, NULL, shot->measure,
		                      &why))
			continue;
		status = STATUS_INPUT;
		messages_error(&job->invocation->messages, status,
		               "shot %s cannot be played on table %s: %s; name another table or "
		               "protocol",
		               shot->key, job->measurement.session.table.preset, why);
	}
	return status;
}

static enum status open_file(struct guide_job *job)
{
	const struct messages *messages = &job->invocation->messages;
	const char *path = job->store.path, *name = job->protocol_name;
	enum status status;

	if (output_same_file(path, job->protocol->file))
		return command_complain(job->invocation, "%s is the protocol; name another file for "
		                                         "--output",
		                        path);
	status = output_check(messages, path);
	if (status != STATUS_OK)
		return status;
	if (locate_is_path(name))
		name = relative_path(job->library.arena, name, path);
	if (name == NULL)
		return command_memory_out(job->invocation);
	status = guide_store_open(&job->store, path, messages, &job->library, job->protocol, name,
	                          &job->measurement);
	return status == STATUS_OK ? guide_settings_apply(job) : status;
}

static enum status prepare(struct guide_job *job)
{
	enum status status = read_options(job);

	if (status == STATUS_OK)
		status = find_protocol(job);
	if (status == STATUS_OK)
		status = open_file(job);
	if (status != STATUS_OK)
		return status;
	job->talk = job->invocation->messages.json ? stderr : stdout;
	job->input = line_input_open(job->talk, guide_words);
	job->shown = calloc(job->protocol->shot_count + 1, sizeof *job->shown);
	job->announced_shot = job->protocol->shot_count;
	if (job->input == NULL || job->shown == NULL ||
	    guide_worker_start(&job->worker, job->protocol, &job->goal, job->seed) != STATUS_OK)
		return command_memory_out(job->invocation);
	return STATUS_OK;
}

static void greet(const struct guide_job *job)
{
	guide_tell(job, "%s: %s\n", job->protocol->name, job->protocol->title);
	if (job->measurement.row_count > 0)
		guide_tell(job, "%s holds %zu strokes; it goes on from there.\n", job->store.path,
		           job->measurement.row_count);
	guide_tell(job, "Every answer is written to %s at once. Type help at any prompt.\n",
	           job->store.path);
}

/* Who strikes from now on, where the file was begun by another. */
static void take_player(struct guide_job *job)
{
	const char *player = options_value(&job->invocation->options, "player");

	if (player == NULL)
		return;
	job->guide.player = player;
	if (!job->guide.open)
		job->guide.draft.player = player;
}

static enum status play(struct guide_job *job)
{
	greet(job);
	if (job->measurement.row_count == 0)
		job->status = guide_settings_ask(job);
	if (job->status == STATUS_OK)
		job->status = check_shots(job);
	if (job->status == STATUS_OK && !job->store.exists && job->ended == NULL)
		guide_save(job);
	if (job->status != STATUS_OK || job->ended != NULL)
		return job->status;
	if (!guide_start(&job->guide, job->protocol, &job->measurement))
		return command_memory_out(job->invocation);
	take_player(job);
	if (job->measurement.row_count > 0 && guide_save(job))
		guide_ask_fit(job);
	guide_dialogue(job);
	return job->status;
}

static void print_end(struct guide_job *job, struct text *answer)
{
	struct guide_end end = {.file = job->store.path,
	                        .protocol = job->protocol_name,
	                        .ended = job->ended,
	                        .known = guide_worker_known(&job->worker)};

	for (size_t i = 0; i < job->measurement.row_count; i++) {
		end.strokes += job->measurement.rows[i].valid;
		end.set_aside += !job->measurement.rows[i].valid;
	}
	for (size_t i = 0; i < job->protocol->shot_count && job->guide.protocol != NULL; i++) {
		int left = job->protocol->shots[i].tries - guide_count(&job->guide, i);

		end.missing += left > 0 ? left : 0;
	}
	if (job->invocation->messages.json)
		guide_json_end(&end, &job->goal, answer);
	else
		guide_text_end(&end, &job->goal, answer);
}

/* Tries once more to write what could not be written. */
static enum status save_rest(struct guide_job *job)
{
	const struct messages *messages = &job->invocation->messages;
	enum status status = STATUS_OK;

	if (job->store.unsaved)
		status = guide_store_save(&job->store, messages, &job->measurement);
	if (status == STATUS_SYSTEM)
		messages_error(messages, status, "%s holds less than was typed: the last answers could "
		                                 "not be written and must be typed again",
		               job->store.path);
	return status;
}

/* Sums up; waits for the last fit, where nobody is in a hurry. */
static enum status finish(struct guide_job *job, struct text *answer)
{
	const struct messages *messages = &job->invocation->messages;
	enum status status = save_rest(job);

	if (status != STATUS_OK)
		return status;
	if (strcmp(job->ended, "interrupted") == 0) {
		messages_error(messages, STATUS_INTERRUPTED,
		               "interrupted; every answer is in %s, and restpoint guide %s -o %s goes "
		               "on from there",
		               job->store.path, job->protocol_name, job->store.path);
		return STATUS_INTERRUPTED;
	}
	/* A stroke that is not complete was not fitted yet. */
	if (job->guide.open)
		guide_ask_fit(job);
	if (guide_worker_call(&job->worker) >= 0)
		guide_tell(job, "Fitting all strokes ...\n");
	guide_worker_finish(&job->worker);
	print_end(job, answer);
	return STATUS_OK;
}

static void release(struct guide_job *job)
{
	line_input_close(job->input);
	guide_worker_free(&job->worker);
	stroke_range_free(&job->range);
	guide_free(&job->guide);
	guide_store_free(&job->store);
	measurement_free(&job->measurement);
	library_free(&job->library);
	free(job->shown);
}

static enum status run(struct invocation *invocation)
{
	struct guide_job job = {.invocation = invocation};
	enum status status = library_create(&job.library);

	if (status != STATUS_OK)
		return command_memory_out(invocation);
	status = prepare(&job);
	if (status == STATUS_OK)
		status = play(&job);
	if (status == STATUS_OK)
		status = finish(&job, &invocation->answer);
	release(&job);
	return status;
}

static const struct option_rule rules[] = {
    {'o', "output", "FILE.csv", "the measurement file (needed): made where there is none, else "
                                "gone on with", false},
    {0, "want", "CONSTANT=PERCENT%", "how well a constant is to be known, e.g. "
                                     "sliding_friction=5%; repeat it for more (default: every "
                                     "constant as well as \"known\" means)", true},
    {0, "adapt", NULL, "choose the next shot by what the strokes so far have told", false},
    {0, "no-fit", NULL, "do not fit between the strokes: nothing is told of the constants", false},
    {0, "table", "PRESET", "the table, e.g. pool-8ft", false},
    {0, "table-name", "NAME", "what this table is called", false},
    {0, "player", "NAME", "who strikes", false},
    {0, "ball-set", "TEXT", "which balls", false},
    {0, "cloth", "TEXT", "which cloth", false},
    {0, "set", "KEY=VALUE", "any other setting of the measurement file; repeat it for more", true},
    {0, "seed", "N", "seed of the fits (default 1)", false},
    {0, NULL, NULL, NULL, false},
};

const struct command command_guide = {
    .name = "guide",
    .summary = "leads through a session at the table and writes its measurement file",
    .usage = "restpoint guide PROTOCOL -o FILE.csv [--want=CONSTANT=PERCENT%]... [--adapt] "
             "[--no-fit] [--table=PRESET] [--table-name=NAME] [--player=NAME] [--ball-set=TEXT] "
             "[--cloth=TEXT] [--set=KEY=VALUE]... [--seed=N] [--json]",
    .purpose = "Leads through a session: draws each shot, asks for each reading, doubts what no "
               "stroke of the shot can do, and tells what the strokes so far say of the "
               "constants and which shot would now say most. Every answer is written to the "
               "file at once; started again on the same file, it goes on from there. The words "
               "that are understood at a prompt: type help there.",
    .options = rules,
    .operands_least = 1,
    .operands_most = 1,
    .run = run,
};
