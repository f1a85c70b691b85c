/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include <string.h>

#include "cli/inputs.h"
#include "cli/locate.h"
#include "cli/output.h"
#include "cli/relative.h"
#include "cli/trace_option.h"
#include "estimate/simulate.h"
#include "files/measurement_file.h"
#include "files/profile_file.h"
#include "report/simulation_text.h"

/* Digits after the point that a person would write. */
#define DECIMALS_POSITION 2
#define DECIMALS_TIME 3

/* One call of the command. */
struct job {
	struct invocation *invocation;
	struct library library; /* its arena owns the strings made here too */
	struct fault_list *faults;
	const struct protocol *protocol;
	const char *protocol_name, *constants_file, *output; /* as given; output may be NULL */
	struct constants constants;
	struct session session;
	uint64_t seed;
	bool noise;
	struct trace_option trace;
	bool told; /* why the system refused something was said already */
};

static enum status read_noise(struct job *job)
{
	const char *value = options_value(&job->invocation->options, "noise");

	job->noise = value == NULL || strcmp(value, "yes") == 0;
	if (!job->noise && strcmp(value, "no") != 0)
		return command_complain(job->invocation, "option --noise: found \"%s\"; accepted: yes, no",
		                        value);
	return STATUS_OK;
}

static enum status read_options(struct job *job)
{
	const struct options *options = &job->invocation->options;
	enum status status = command_read_seed(job->invocation, &job->seed);

	job->protocol_name = options_value(options, "protocol");
	job->constants_file = options_value(options, "constants");
	job->output = options_value(options, "output");
	if (status == STATUS_OK && (job->protocol_name == NULL || job->constants_file == NULL))
		status = command_complain(job->invocation, "option --%s is missing",
		                          job->protocol_name == NULL ? "protocol" : "constants");
	if (status == STATUS_OK)
		status = read_noise(job);
	return status == STATUS_OK ? trace_option_read(job->invocation, &job->trace) : status;
}

/* A file of constants that is a profile also tells the table. */
static void take_table(struct job *job)
{
	struct profile profile;
	struct fault_list unheard;

	if (fault_list_create(&unheard) != STATUS_OK)
		return;
	if (profile_file_read(job->constants_file, &profile, &unheard) == STATUS_OK) {
		job->session.table = profile.table;
		profile_free(&profile);
	}
	fault_list_free(&unheard);
}

/* Applies --set KEY=VALUE in the order given. */
static enum status apply_settings(struct job *job)
{
	const struct options *options = &job->invocation->options;
	enum status status = STATUS_OK;

	for (size_t i = 0; i < options->given_count; i++) {
		const struct option_given *given = &options->given[i];
		size_t length;
		const char *key;

		if (strcmp(given->rule->name, "set") != 0)
			continue;
		length = strcspn(given->value, "=");
		if (length == 0 || given->value[length] == '\0')
			return command_complain(job->invocation,
			                        "option --set: found \"%s\"; accepted: KEY=VALUE, a setting of "
			                        "a measurement file without its #",
			                        given->value);
		key = arena_copy(job->library.arena, given->value, length);
		if (key == NULL)
			return STATUS_SYSTEM;
		if (measurement_setting_apply(&job->session, job->library.arena, key,
		                              given->value + length + 1, job->faults) != STATUS_OK)
			status = STATUS_USAGE;
	}
	return status;
}

/* The file says how it was made, behind the person's own note. */
static enum status add_note(struct job *job)
{
	const char *own = job->session.notes[NOTE_NOTE];
	struct text words = {0};

	if (own != NULL)
		text_print(&words, "%s; ", own);
	simulation_note(&job->constants, job->seed, job->noise, &words);
	job->session.notes[NOTE_NOTE] =
	    arena_copy(job->library.arena, text_bytes(&words), words.length);
	text_free(&words);
	return job->session.notes[NOTE_NOTE] != NULL ? STATUS_OK : STATUS_SYSTEM;
}

/* What #protocol of the new file says: the name, or the path from where the file will stand. */
static enum status name_protocol(struct job *job)
{
	if (!locate_is_path(job->protocol_name))
		job->session.protocol = job->protocol_name;
	else
		job->session.protocol =
		    relative_path(job->library.arena, job->protocol_name, job->output);
	return job->session.protocol != NULL ? STATUS_OK : STATUS_SYSTEM;
}

static struct trace_task trace_task(const struct job *job)
{
	return (struct trace_task){.protocol = job->protocol,
	                           .session = &job->session,
	                           .constants = &job->constants,
	                           .constants_file = job->constants_file,
	                           .output = job->output};
}

/* Marks a status of the system that a message went with. */
static enum status tell(struct job *job, enum status status)
{
	job->told = job->told || status == STATUS_SYSTEM;
	return status;
}

static enum status check_output(struct job *job)
{
	if (job->output == NULL)
		return STATUS_OK;
	if (output_same_file(job->output, job->constants_file) ||
	    output_same_file(job->output, job->protocol->file))
		return command_complain(job->invocation,
		                        "%s is read by this simulation and would be lost; name another "
		                        "file for --output",
		                        job->output);
	return tell(job, output_check(&job->invocation->messages, job->output));
}

static enum status check_trace(struct job *job)
{
	struct trace_task task = trace_task(job);

	return tell(job, trace_option_check(job->invocation, &job->trace, &task));
}

static enum status write_trace(struct job *job)
{
	struct trace_task task = trace_task(job);

	return tell(job, trace_option_write(job->invocation, &job->trace, &task, job->faults));
}

static enum status prepare(struct job *job)
{
	enum status status;

	job->protocol = library_find(&job->library, job->protocol_name, NULL, job->faults);
	status = constants_file_read(job->constants_file, &job->constants, job->faults);
	if (job->protocol == NULL)
		return job->faults->count > 0 ? job->faults->items[0].status : STATUS_SYSTEM;
	if (status != STATUS_OK)
		return status;
	job->session = session_default();
	take_table(job);
	status = apply_settings(job);
	if (status == STATUS_OK)
		status = check_output(job);
	if (status == STATUS_OK)
		status = check_trace(job);
	if (status == STATUS_OK)
		status = name_protocol(job);
	return status == STATUS_OK ? add_note(job) : status;
}

/* Prints the measurement, or writes it and says so. */
static enum status finish(struct job *job, const struct measurement *measurement)
{
	struct text *answer = &job->invocation->answer;
	struct text csv = {0};
	enum status status = STATUS_OK;

	measurement_file_print(measurement, job->noise ? DECIMALS_POSITION : -1,
	                       job->noise ? DECIMALS_TIME : -1, &csv);
	if (job->output != NULL) {
		status = tell(job, output_file(&job->invocation->messages, job->output, &csv));
		if (status == STATUS_OK)
			messages_note(&job->invocation->messages, "%zu strokes written to %s, seed %llu",
			              measurement->row_count, job->output, (unsigned long long)job->seed);
	}
	if (job->invocation->messages.json)
		simulation_json_print(job->protocol, &job->constants, job->seed, job->noise,
		                      measurement->row_count, job->output, job->trace.path,
		                      text_bytes(&csv), answer);
	else if (job->output == NULL)
		text_add_bytes(answer, text_bytes(&csv), csv.length);
	answer->failed = answer->failed || csv.failed;
	text_free(&csv);
	return status;
}

static enum status simulate(struct job *job)
{
	struct measurement measurement;
	enum status status = prepare(job);

	if (status == STATUS_OK)
		status = write_trace(job);
	if (status == STATUS_OK)
		status = simulate_session(job->protocol, &job->session, &job->constants, job->seed,
		                          job->noise, &measurement);
	if (status == STATUS_OK) {
		status = finish(job, &measurement);
		measurement_free(&measurement);
	}
	return status;
}

static enum status run(struct invocation *invocation)
{
	struct job job = {.invocation = invocation};
	struct fault_list faults = {0};
	enum status status = read_options(&job);

	if (status != STATUS_OK)
		return status;
	job.faults = &faults;
	status = library_create(&job.library);
	if (status == STATUS_OK)
		status = fault_list_create(&faults);
	if (status == STATUS_OK) {
		status = simulate(&job);
		messages_faults(&invocation->messages, &faults);
	}
	if (status == STATUS_SYSTEM && faults.count == 0 && !job.told)
		command_memory_out(invocation);
	fault_list_free(&faults);
	library_free(&job.library);
	return status;
}

static const struct option_rule rules[] = {
	{0, "protocol", "P", "the protocol to play, a name or a path (needed)", false},
	{0, "constants", "FILE.json",
	 "the constants, {\"sliding_friction\": 0.2, ...}, or a profile, which also gives the table "
	 "(needed)",
	 false},
	{0, "seed", "N", "seed of the player and of the readings (default 1)", false},
	{0, "noise", "no", "every stroke as designed, readings exact and written in full", false},
	{0, "set", "KEY=VALUE", "a setting of the measurement file, e.g. table=pool-8ft; repeat it for "
	                        "more", true},
	{'o', "output", "FILE.csv", "write to this file, replacing it whole, not to standard output",
	 false},
	{0, "trace", "FILE", "besides write the path of every ball and every event of the shots as "
	                     "designed to this file: rows (.csv), an object (.json), or one shot as a "
	                     "drawing (.svg, .png)",
	 false},
	{0, "shot", "NAME", "the shot that --trace shows (default: all; needed for a drawing)", false},
	{0, NULL, NULL, NULL, false},
};

const struct command command_simulate = {
	.name = "simulate",
	.summary = "makes a measurement file from known constants",
	.usage = "restpoint simulate --protocol=P --constants=FILE.json [--seed=N] [--noise=no] "
			 "[--set=KEY=VALUE]... [-o FILE.csv] [--trace=FILE [--shot=NAME]] [--json]",
	.purpose = "Plays a protocol like a person on a table of known constants and makes the "
			   "measurement file that person would write: to try a protocol, and to see what a "
			   "fit finds again. The file says in #note that it is simulated, with the seed.",
	.options = rules,
	.operands_least = 0,
	.operands_most = 0,
	.run = run,
};
