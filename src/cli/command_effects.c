/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include <string.h>

#include "base/number.h"
#include "files/profile_file.h"
#include "report/effects_json.h"
#include "report/effects_text.h"

#define GRIP_LEAST 0.1
#define GRIP_MOST 3.0
#define SPEED_LEAST 0.5 /* [m/s] */
#define SPEED_MOST 10.0

/* One call of the command. */
struct job {
	struct invocation *invocation;
	struct fault_list faults;
	struct profile profiles[2];
	struct table_draws draws[2];
	struct effects_task task;
	struct effects effects;
	struct effects_report report;
};

static enum status read_draws(struct job *job)
{
	return command_read_count(job->invocation, "draws", EFFECTS_DRAWS_LEAST, EFFECTS_DRAWS_MOST,
	                          EFFECTS_DRAWS, &job->report.draws);
}

static enum status read_grip(struct job *job)
{
	const char *value = options_value(&job->invocation->options, "grip");

	job->report.grip = 1.0;
	if (value != NULL && (!number_read(value, strlen(value), &job->report.grip) ||
	                      !(job->report.grip >= GRIP_LEAST && job->report.grip <= GRIP_MOST)))
		return command_complain(job->invocation,
		                        "option --grip: found \"%s\"; accepted: a number from %g to %g, "
		                        "0.7 for a ball that grips by 30 %% less",
		                        value, GRIP_LEAST, GRIP_MOST);
	return STATUS_OK;
}

static enum status read_speed(struct job *job)
{
	const char *value = options_value(&job->invocation->options, "speed");

	if (value != NULL && (!number_read(value, strlen(value), &job->report.speed) ||
	                      !(job->report.speed >= SPEED_LEAST && job->report.speed <= SPEED_MOST)))
		return command_complain(job->invocation,
		                        "option --speed: found \"%s\"; accepted: m/s, a number from %g "
		                        "to %g (soft 1.5, medium 2.5, firm 4)",
		                        value, SPEED_LEAST, SPEED_MOST);
	return STATUS_OK;
}

/* What changes must be said once: by a second profile, a grip or another ball. */
static enum status check_change(struct job *job)
{
	const struct options *options = &job->invocation->options;
	bool grip = options_has(options, "grip"), ball = options_has(options, "ball");

	job->report.all_balls = options_has(options, "all-balls");
	job->report.ball = options_value(options, "ball");
	job->report.brief = options_has(options, "brief");
	if (options->operand_count == 2 && (grip || ball || job->report.all_balls))
		return command_complain(job->invocation,
		                        "two profiles are the change themselves; leave out --grip, --ball "
		                        "and --all-balls, or give one profile");
	if (options->operand_count == 1 && grip == ball)
		return command_complain(job->invocation,
		                        "one profile needs %s: a second profile, --grip=G or --ball=LABEL",
		                        grip ? "only one change" : "a change");
	if (job->report.all_balls && !grip)
		return command_complain(job->invocation,
		                        "option --all-balls: goes with --grip=G, which it applies to "
		                        "all balls");
	return STATUS_OK;
}

static enum status read_options(struct job *job)
{
	enum status status = command_read_seed(job->invocation, &job->report.seed);

	if (status == STATUS_OK)
		status = read_draws(job);
	if (status == STATUS_OK)
		status = read_grip(job);
	if (status == STATUS_OK)
		status = read_speed(job);
	return status == STATUS_OK ? check_change(job) : status;
}

static enum status read_profiles(struct job *job)
{
	const struct options *options = &job->invocation->options;
	enum status result = STATUS_OK;

	for (size_t i = 0; i < options->operand_count; i++) {
		enum status status =
		    profile_file_read(options->operands[i], &job->profiles[i], &job->faults);

		if (status != STATUS_OK)
			result = status;
	}
	job->report.before = &job->profiles[0];
	job->report.before_file = options->operands[0];
	if (options->operand_count == 2) {
		job->report.after = &job->profiles[1];
		job->report.after_file = options->operands[1];
	}
	return result;
}

static enum status check_ball(struct job *job)
{
	const struct profile *profile = &job->profiles[0];
	struct text words = {0};

	for (size_t i = 0; i < profile->ball_count; i++)
		if (strcmp(profile->balls[i].label, job->report.ball) == 0)
			return STATUS_OK;
	text_print(&words, "option --ball: found \"%s\"; accepted: a ball of the profile",
	           job->report.ball);
	for (size_t i = 0; i < profile->ball_count; i++)
		text_print(&words, "%s%s", i == 0 ? ": " : ", ", profile->balls[i].label);
	command_complain(job->invocation, "%s", text_bytes(&words));
	text_free(&words);
	return STATUS_USAGE;
}

static void set_task(struct job *job)
{
	const struct effects_report *report = &job->report;
	const char *labels[BALL_ROLES] = {[BALL_OBJECT2] = report->ball};
	struct effects_task *task = &job->task;

	task->count = report->draws;
	task->seed = report->seed;
	task->speed = report->speed;
	job->draws[0] = table_draws_profile(&job->profiles[0], labels);
	task->draws[0] = &job->draws[0];
	task->table[0] = task->table[1] = &job->profiles[0].table;
	if (report->after != NULL) {
		job->draws[1] = table_draws_profile(&job->profiles[1], NULL);
		task->draws[1] = &job->draws[1];
		task->table[1] = &job->profiles[1].table;
	}
	task->struck[1] = report->ball != NULL ? BALL_OBJECT2 : BALL_CUE;
	for (int i = 0; i < BALL_ROLES; i++) {
		bool changes = i == BALL_CUE || report->all_balls;

		task->grip[0][i] = 1.0;
		task->grip[1][i] = changes ? report->grip : 1.0;
	}
}

static enum status answer(struct job *job)
{
	enum status status = effects_make(&job->task, &job->effects);
	struct text *out = &job->invocation->answer;

	job->report.effects = &job->effects;
	if (status != STATUS_OK)
		return status;
	if (job->invocation->messages.json)
		effects_json_print(&job->report, out);
	else
		effects_text_print(&job->report, out);
	return STATUS_OK;
}

static enum status compare(struct job *job)
{
	enum status status = read_profiles(job);

	if (status == STATUS_OK && job->report.ball != NULL)
		status = check_ball(job);
	if (status == STATUS_OK) {
		set_task(job);
		status = answer(job);
	}
	messages_faults(&job->invocation->messages, &job->faults);
	effects_free(&job->effects);
	for (int i = 0; i < 2; i++)
		profile_free(&job->profiles[i]);
	return status;
}

static enum status run(struct invocation *invocation)
{
	struct job job = {.invocation = invocation};
	enum status status = read_options(&job);

	if (status != STATUS_OK)
		return status;
	status = fault_list_create(&job.faults);
	if (status == STATUS_OK)
		status = compare(&job);
	if (status == STATUS_SYSTEM && job.faults.count == 0)
		command_memory_out(invocation);
	fault_list_free(&job.faults);
	return status;
}

static const struct option_rule rules[] = {
	{0, "grip", "G", "one profile: what the grip of the cue ball is multiplied by, 0.1 to 3", false},
	{0, "all-balls", NULL, "with --grip: the grip of every ball, not of the cue ball alone", false},
	{0, "ball", "LABEL", "one profile: the ball of it that is struck in place of its reference ball",
	 false},
	{0, "speed", "V", "the pace of your own shots in m/s, 0.5 to 10: set-ups are played at it", false},
	{0, "brief", NULL, "the numbers alone, without set-ups and what practitioners say", false},
	{0, "draws", "N", "tables drawn from the profiles, 200 to 100000 (default 1000)", false},
	{0, "seed", "N", "seed of the draws (default 1)", false},
	{0, NULL, NULL, NULL, false},
};

const struct command command_effects = {
	.name = "effects",
	.summary = "tells what a change of balls or cloth does to stated shots",
	.usage = "restpoint effects BEFORE.json AFTER.json | BEFORE.json --grip=G [--all-balls] | "
			 "BEFORE.json --ball=LABEL [--speed=V] [--brief] [--draws=N] [--seed=N] [--json]",
	.purpose = "Plays stated set-ups before and after a change of conditions and tells for each the "
			   "value before, after and the change with its 95 % interval: draw, stun, side, "
			   "masse and jump on the cloth; kicks, banks and follow at a rail; throw between "
			   "balls. Beside each row stands what practitioners say of a more slippery ball, "
			   "whether it holds here, and in which shots it does not.",
	.options = rules,
	.operands_least = 1,
	.operands_most = 2,
	.run = run,
};
