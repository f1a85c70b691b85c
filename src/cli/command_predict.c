/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include <stdlib.h>
#include <string.h>

#include "cli/card_files.h"
#include "cli/output.h"
#include "cli/shot_choice.h"
#include "files/profile_file.h"
#include "report/prediction_drawing.h"
#include "report/prediction_json.h"
#include "report/prediction_text.h"

/* One call of the command. */
struct job {
	struct invocation *invocation;
	struct library library; /* its arena owns the strings made here too */
	struct fault_list faults;
	struct profile profile;
	struct shot_choice choice;
	struct session session;
	struct table_draws table;
	struct player_draws player;
	const char *output; /* as given; NULL: no drawing */
	enum canvas_format format;
	struct card_files files;
	struct prediction *shots;
	struct prediction_set set;
	bool told; /* why the system refused something was said already */
};

static enum status read_draws(struct job *job)
{
	return command_read_count(job->invocation, "draws", PREDICTION_DRAWS_LEAST, PREDICTION_DRAWS_MOST,
	                          PREDICTION_DRAWS, &job->set.draws);
}

static enum status read_options(struct job *job)
{
	const struct options *options = &job->invocation->options;
	enum status status = command_read_seed(job->invocation, &job->set.seed);

	job->output = options_value(options, "output");
	job->set.player = options_has(options, "player");
	job->player = job->set.player ? player_draws_anybody() : player_draws_exact();
	if (status == STATUS_OK && job->output != NULL &&
	    !card_files_format(job->output, &job->format))
		status = command_complain(job->invocation,
		                          "option --output: found \"%s\"; accepted: a file whose name "
		                          "ends in .pdf, .svg or .png",
		                          job->output);
	return status == STATUS_OK ? read_draws(job) : status;
}

static bool has_ball(const struct profile *profile, const char *label)
{
	for (size_t i = 0; i < profile->ball_count; i++)
		if (strcmp(profile->balls[i].label, label) == 0)
			return true;
	return false;
}

static enum status refuse_ball(struct job *job, const char *option, const char *label)
{
	struct text words = {0};

	text_print(&words, "option --%s: found \"%s\"; accepted: a ball of the profile", option, label);
	for (size_t i = 0; i < job->profile.ball_count; i++)
		text_print(&words, "%s%s", i == 0 ? ": " : ", ", job->profile.balls[i].label);
	command_complain(job->invocation, "%s", text_bytes(&words));
	text_free(&words);
	return STATUS_USAGE;
}

/* Which balls of the profile play. */
static enum status take_table(struct job *job)
{
	static const char *const names[BALL_ROLES] = {"cue-ball", "object-ball", "object2-ball"};
	const char *labels[BALL_ROLES];

	for (int i = 0; i < BALL_ROLES; i++) {
		labels[i] = options_value(&job->invocation->options, names[i]);
		if (labels[i] != NULL && !has_ball(&job->profile, labels[i]))
			return refuse_ball(job, names[i], labels[i]);
	}
	job->table = table_draws_profile(&job->profile, labels);
	job->session.table = job->profile.table;
	return STATUS_OK;
}

static enum status check_path(struct job *job, const char *path)
{
	const char *const used[] = {job->choice.protocol->file, job->set.profile_file};
	enum status status;

	for (size_t i = 0; i < sizeof(used) / sizeof(used[0]); i++)
		if (used[i] != NULL && output_same_file(path, used[i]))
			return command_complain(job->invocation,
			                        "%s is read for this prediction and would be lost; name "
			                        "another file for --output",
			                        path);
	status = output_check(&job->invocation->messages, path);
	job->told = job->told || status != STATUS_OK;
	return status;
}

static enum status check_output(struct job *job)
{
	size_t sheets = job->choice.shot != NULL ? 1 : job->choice.protocol->shot_count;
	enum status status = STATUS_OK;

	if (job->output == NULL)
		return STATUS_OK;
	if (!card_files_name(job->library.arena, job->output, job->format, sheets, &job->files))
		return STATUS_SYSTEM;
	for (size_t i = 0; i < job->files.count && status == STATUS_OK; i++)
		status = check_path(job, job->files.paths[i]);
	return status;
}

static enum status prepare(struct job *job)
{
	const struct options *options = &job->invocation->options;
	enum status status, other;

	job->session = session_default();
	job->set.profile_file = options->operands[0];
	status = profile_file_read(job->set.profile_file, &job->profile, &job->faults);
	other = shot_choice_find(job->invocation, &job->library, options_value(options, "protocol"),
	                         options_value(options, "shot"), &job->faults, &job->choice);
	if (other == STATUS_USAGE)
		return other;
	if (status == STATUS_OK)
		status = other;
	if (status == STATUS_OK)
		status = take_table(job);
	return status == STATUS_OK ? check_output(job) : status;
}

/* A shot that cannot be played is told. */
static enum status predict_shot(struct job *job, const struct shot_design *design)
{
	struct prediction_task task = {.session = &job->session,
	                               .table = &job->table,
	                               .player = &job->player,
	                               .draws = job->set.draws,
	                               .seed = job->set.seed};
	const struct protocol *protocol = job->choice.protocol;
	const char *why = "";
	enum status status = prediction_make(design, &task, (uint64_t)(design - protocol->shots),
	                                     &job->shots[job->set.count++], &why);
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = protocol->file,
	                      .shot = design->key,
	                      .what = "no prediction of it on the table of the profile",
	                      .found = why,
	                      .next = "choose another shot with --shot, or the profile of another "
	                              "table"};

	if (status == STATUS_INPUT)
		fault_list_add(&job->faults, &fault);
	return status;
}

static enum status predict_shots(struct job *job)
{
	const struct protocol *protocol = job->choice.protocol;
	enum status result = STATUS_OK;

	job->shots = calloc(protocol->shot_count, sizeof *job->shots);
	if (job->shots == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < protocol->shot_count; i++) {
		enum status status;

		if (job->choice.shot != NULL && job->choice.shot != &protocol->shots[i])
			continue;
		status = predict_shot(job, &protocol->shots[i]);
		if (status == STATUS_SYSTEM)
			return status;
		if (status != STATUS_OK)
			result = status;
	}
	job->set.profile = &job->profile;
	job->set.protocol = protocol;
	job->set.session = &job->session;
	job->set.shots = job->shots;
	return result;
}

static enum status write_drawings(struct job *job)
{
	enum status status = STATUS_OK;

	for (size_t i = 0; i < job->files.count && status == STATUS_OK; i++) {
		bool all = job->files.count == 1;
		struct text contents = {0};

		status = prediction_drawing_print(&job->set, i, all ? job->set.count : 1, job->format,
		                                  &contents);
		if (status == STATUS_OK) {
			status = output_file(&job->invocation->messages, job->files.paths[i], &contents);
			job->told = job->told || status != STATUS_OK;
		}
		text_free(&contents);
		if (status == STATUS_OK)
			messages_note(&job->invocation->messages, "drawing written to %s, seed %llu",
			              job->files.paths[i], (unsigned long long)job->set.seed);
	}
	return status;
}

static enum status answer(struct job *job)
{
	enum status status = write_drawings(job);
	struct text *out = &job->invocation->answer;

	if (status != STATUS_OK)
		return status;
	if (job->invocation->messages.json)
		prediction_json_print(&job->set, job->files.paths, job->files.count, out);
	else
		prediction_text_print(&job->set, out);
	return STATUS_OK;
}

static enum status predict(struct job *job)
{
	enum status status = prepare(job);

	if (status == STATUS_OK)
		status = predict_shots(job);
	if (status == STATUS_OK)
		status = answer(job);
	messages_faults(&job->invocation->messages, &job->faults);
	for (size_t i = 0; i < job->set.count; i++)
		prediction_free(&job->shots[i]);
	free(job->shots);
	profile_free(&job->profile);
	return status;
}

static enum status run(struct invocation *invocation)
{
	struct job job = {.invocation = invocation};
	enum status status = read_options(&job);

	if (status != STATUS_OK)
		return status;
	status = library_create(&job.library);
	if (status == STATUS_OK)
		status = fault_list_create(&job.faults);
	if (status == STATUS_OK)
		status = predict(&job);
	if (status == STATUS_SYSTEM && job.faults.count == 0 && !job.told)
		command_memory_out(invocation);
	fault_list_free(&job.faults);
	library_free(&job.library);
	return status;
}

static const struct option_rule rules[] = {
	{0, "shot", "FILE|NAME",
	 "the shots: a protocol file, the name of an installed protocol, or a shot of one; with "
	 "--protocol a shot of that protocol",
	 false},
	{0, "protocol", "P", "the protocol of the shot, a name or a path (all its shots without --shot)",
	 false},
	{0, "player", NULL, "strokes as a person plays them, not exactly as designed", false},
	{'o', "output", "FILE", "besides draw the spread of the rests to this file: .pdf with all "
	                        "sheets, or .svg or .png, a numbered file for each shot",
	 false},
	{0, "draws", "N", "how often each shot is played, 100 to 100000 (default 4000)", false},
	{0, "seed", "N", "seed of the plays (default 1)", false},
	{0, "cue-ball", "LABEL", "the ball of the profile that is struck (default: its reference ball)",
	 false},
	{0, "object-ball", "LABEL", "the ball of the profile that is the object ball (default: O)",
	 false},
	{0, "object2-ball", "LABEL", "the second object ball (default: O)", false},
	{0, NULL, NULL, NULL, false},
};

const struct command command_predict = {
	.name = "predict",
	.summary = "tells where balls stop and touch on a measured table",
	.usage = "restpoint predict PROFILE.json --shot=FILE|NAME [--protocol=P] [--player] "
			 "[-o FILE] [--draws=N] [--seed=N] [--cue-ball=LABEL] [--object-ball=LABEL] "
			 "[--object2-ball=LABEL] [--json]",
	.purpose = "Plays shots many times on tables as a profile allows and tells where the balls stop "
			   "and touch, each with the interval in which the next ball really played falls in "
			   "95 of 100 tries, and how often it happens at all.",
	.options = rules,
	.operands_least = 1,
	.operands_most = 1,
	.run = run,
};
