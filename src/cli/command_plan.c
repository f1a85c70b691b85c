/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include <string.h>

#include "advise/plan.h"
#include "cli/output.h"
#include "cli/plan_options.h"
#include "cli/progress_bar.h"
#include "cli/signals.h"
#include "files/profile_file.h"
#include "files/protocol_file.h"
#include "report/plan_text.h"

/* One call of the command. */
struct job {
	struct invocation *invocation;
	struct arena *arena;
	struct fault_list faults;
	struct plan_request request;
	const char *output, *knowing, *name; /* as given; output and knowing may be NULL */
	bool told;                           /* why the system refused something was said already */
};

/* What an earlier profile tells, its table with it. */
static enum status take_profile(struct job *job)
{
	struct profile profile;
	enum status status = profile_file_read(job->knowing, &profile, &job->faults);

	if (status != STATUS_OK)
		return status;
	job->request.session.table = profile.table;
	if (!plan_knowledge_take(&profile, &job->request.known)) {
		fault_list_add(
		    &job->faults,
		    &(struct fault){.status = STATUS_INPUT,
		                    .file = job->knowing,
		                    .what = "correlation",
		                    .found = "numbers that no estimates can have together",
		                    .accepted = "the correlations of one fit",
		                    .next = "make the profile anew with restpoint fit"});
		status = STATUS_INPUT;
	}
	profile_free(&profile);
	return status;
}

static enum status check_files(struct job *job)
{
	enum status status;

	if (job->output == NULL)
		return STATUS_OK;
	if (job->knowing != NULL && output_same_file(job->output, job->knowing))
		return command_complain(
		    job->invocation,
		    "%s is read by this plan and would be lost; name another file "
		    "for --output",
		    job->output);
	status = output_check(&job->invocation->messages, job->output);
	job->told = status == STATUS_SYSTEM;
	return status;
}

static enum status prepare(struct job *job)
{
	const struct options *options = &job->invocation->options;
	enum status status = plan_options_read(job->invocation, &job->request);

	if (status != STATUS_OK)
		return status;
	job->output = options_value(options, "output");
	job->knowing = options_value(options, "knowing");
	job->name = plan_options_name(job->invocation, job->output, job->arena, &status);
	if (job->name == NULL)
		return status;
	if (job->knowing != NULL && options_has(options, "table"))
		return command_complain(job->invocation,
		                        "--knowing takes the table from the profile; "
		                        "leave --table out");
	job->request.session = session_default();
	plan_knowledge_none(&job->request.known);
	if (job->knowing != NULL)
		status = take_profile(job);
	if (status == STATUS_OK)
		status =
		    plan_options_session(job->invocation, job->arena, &job->request, &job->faults);
	return status == STATUS_OK ? check_files(job) : status;
}

static void print_answer(const struct job *job, const struct plan *plan,
                         const struct protocol *protocol, const struct text *json)
{
	const struct plan_answer answer = {&job->request, plan, protocol, job->knowing};
	struct text *out = &job->invocation->answer;

	if (job->invocation->messages.json)
		plan_json_print(&answer, text_bytes(json), out);
	else
		plan_text_print(&answer, out);
	out->failed = out->failed || json->failed;
}

/* Writes the protocol, then the answer: an answer that cannot be printed does not cost the file. */
static enum status deliver(struct job *job, const struct plan *plan, struct protocol *protocol)
{
	const struct messages *messages = &job->invocation->messages;
	enum status status = STATUS_OK, printed;
	struct text json = {0};

	protocol_file_print(protocol, &json);
	print_answer(job, plan, protocol, &json);
	if (job->output != NULL)
		status = output_file(messages, job->output, &json);
	job->told = status == STATUS_SYSTEM;
	printed = output_answer(messages, &job->invocation->answer);
	job->told = job->told || printed == STATUS_SYSTEM;
	if (job->output != NULL && status == STATUS_OK)
		messages_note(messages, "protocol %s written to %s", protocol->name, job->output);
	text_free(&json);
	return status == STATUS_OK ? printed : status;
}

static enum status finish(struct job *job, const struct plan *plan)
{
	const struct messages *messages = &job->invocation->messages;
	struct protocol protocol;

	if (plan->count == 0) {
		messages_error(
		    messages, STATUS_UNDETERMINED,
		    "no shot of this kit tells anything of what is asked; no protocol was "
		    "made: add to --kit (the frictions of the cloth need watch or sound), or "
		    "allow more --minutes or --shots");
		return STATUS_UNDETERMINED;
	}
	if (!plan_text_protocol(&job->request, plan, job->name, job->arena, &protocol))
		return STATUS_SYSTEM;
	return deliver(job, plan, &protocol);
}

static enum status plan(struct job *job)
{
	const struct messages *messages = &job->invocation->messages;
	struct plan made;
	struct progress_bar bar;
	struct progress progress;
	enum status status;

	job->request.progress = &progress;
	progress_bar_start(&bar, &progress);
	status = plan_make(&job->request, &made);
	progress_bar_clear(&bar);
	if (status == STATUS_INTERRUPTED)
		messages_error(messages, status, "interrupted%s",
		               job->output != NULL ? "; no protocol was written" : "");
	else if (status == STATUS_INTERNAL)
		messages_error(messages, status, "a defect of this program stopped the plan");
	else if (status == STATUS_OK)
		status = finish(job, &made);
	plan_free(&made);
	return status;
}

static enum status run(struct invocation *invocation)
{
	struct job job = {.invocation = invocation, .arena = arena_create()};
	enum status status = STATUS_SYSTEM;

	if (job.arena != NULL && fault_list_create(&job.faults) == STATUS_OK) {
		status = prepare(&job);
		messages_faults(&invocation->messages, &job.faults);
		if (status == STATUS_OK)
			status = plan(&job);
	}
	if (status == STATUS_SYSTEM && job.faults.count == 0 && !job.told)
		command_memory_out(invocation);
	fault_list_free(&job.faults);
	arena_free(job.arena);
	return status;
}

static const struct option_rule rules[] = {
    {0, "want", "NAME=N%",
     "a constant or a condition and the error wanted of it, in percent of its "
     "value; repeat it for more (default: every constant determined)",
     true},
    {0, "for", "WHOM", "what a room, a player or a referee asks; --want adds to it", false},
    {0, "kit", "LIST", "what is at hand: of tape, watch, sound, ramp, or none (default tape)",
     false},
    {0, "minutes", "N", "how long it may take", false},
    {0, "shots", "N",
     "how many strokes it may have (default 12 where nothing is asked and no "
     "--minutes given)",
     false},
    {0, "table", "PRESET", "the kind of table (default pool-9ft)", false},
    {0, "set", "KEY=VALUE",
     "a setting of the measurement file, e.g. sound_error=0.002; repeat it "
     "for more",
     true},
    {0, "spread", "LIST",
     "how the player's strokes scatter, 1 standard deviation: "
     "speed=0.12,aim=0.3,height=0.05,side=0.05 (the defaults)",
     false},
    {0, "knowing", "PROFILE.json", "what an earlier profile of this table already tells", false},
    {0, "candidates", "N", "shots that are looked at (default 5000)", false},
    {0, "name", "NAME", "name of the protocol (default that of the file)", false},
    {0, "seed", "N", "seed of the worlds it is tried in (default 1)", false},
    {'o', "output", "FILE.json", "write the protocol to this file, replacing it whole", false},
    {0, NULL, NULL, NULL, false},
};

const struct command command_plan = {
    .name = "plan",
    .summary = "chooses the shots that will tell most of what is asked",
    .usage = "restpoint plan [--want=NAME=N%]... [--for=WHOM] [--kit=LIST] [--minutes=N] "
	     "[--shots=N] [--table=PRESET] [--set=KEY=VALUE]... [--spread=LIST] "
	     "[--knowing=PROFILE.json] [--candidates=N] [--name=NAME] [--seed=N] [-o FILE.json] "
	     "[--json]",
    .purpose =
	"Chooses shots for a session from thousands that players know: those after which what "
	"is asked is expected to be known best. Says what error is expected of every constant "
	"and condition after each shot, and what will remain unknown and why. With --output "
	"the shots are a protocol for the other commands.",
    .options = rules,
    .operands_least = 0,
    .operands_most = 0,
    .run = run,
};
