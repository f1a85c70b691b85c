/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include <stdlib.h>
#include <string.h>

#include "advise/shot_card.h"
#include "advise/table_draws.h"
#include "cli/card_files.h"
#include "cli/inputs.h"
#include "cli/nearest.h"
#include "cli/output.h"
#include "files/profile_file.h"
#include "report/card.h"
#include "report/card_json.h"

/* One call of the command. */
struct job {
	struct invocation *invocation;
	struct library library; /* its arena owns the strings made here too */
	struct fault_list faults;
	const struct protocol *protocol;
	const char *output, *shot, *constants_file, *preset; /* as given; all but output may be NULL */
	enum canvas_format format;
	struct session session;
	struct constant_draws constants;
	struct shot_card *shots;
	struct card_set set;
	struct card_files files;
	bool told; /* why the system refused something was said already */
};

static enum status read_paper(struct job *job)
{
	const char *value = options_value(&job->invocation->options, "paper");

	job->set.paper = value != NULL && strcmp(value, "letter") == 0 ? CARD_LETTER : CARD_A4;
	if (value != NULL && job->set.paper == CARD_A4 && strcmp(value, "a4") != 0)
		return command_complain(job->invocation, "option --paper: found \"%s\"; accepted: a4, "
		                                         "letter",
		                        value);
	return STATUS_OK;
}

static enum status read_options(struct job *job)
{
	const struct options *options = &job->invocation->options;
	enum status status = command_read_seed(job->invocation, &job->set.seed);

	job->output = options_value(options, "output");
	job->shot = options_value(options, "shot");
	job->constants_file = options_value(options, "constants");
	job->preset = options_value(options, "table");
	if (status == STATUS_OK && job->output == NULL)
		status = command_complain(job->invocation, "option --output is missing; name a file that "
		                                           "ends in .pdf, .svg or .png");
	else if (status == STATUS_OK && !card_files_format(job->output, &job->format))
		status = command_complain(job->invocation,
		                          "option --output: found \"%s\"; accepted: a file whose name ends "
		                          "in .pdf, .svg or .png",
		                          job->output);
	return status == STATUS_OK ? read_paper(job) : status;
}

/* The nearest of the words offered, or all of them. */
static void add_choices(struct text *words, const struct nearest *nearest, const char *const *all,
                        size_t count)
{
	if (nearest->best != NULL) {
		text_print(words, "; did you mean %s?", nearest->best);
		return;
	}
	for (size_t i = 0; i < count; i++)
		text_print(words, "%s%s", i == 0 ? "; accepted: " : ", ", all[i]);
}

/* Complains about a word, with the nearest one or all that there are. */
static enum status refuse_word(struct job *job, const char *option, const char *word,
                               const char *const *all, size_t count)
{
	struct text words = {0};
	struct nearest nearest;

	nearest_start(&nearest, word, strlen(word));
	for (size_t i = 0; i < count; i++)
		nearest_offer(&nearest, all[i]);
	text_print(&words, "option --%s: found \"%s\"", option, word);
	add_choices(&words, &nearest, all, count);
	command_complain(job->invocation, "%s", text_bytes(&words));
	text_free(&words);
	return STATUS_USAGE;
}

static enum status take_preset(struct job *job)
{
	size_t count;
	const struct table *presets = table_presets(&count), *found;
	const char **names;
	enum status status;

	if (job->preset == NULL)
		return STATUS_OK;
	found = table_find_preset(job->preset, strlen(job->preset));
	if (found != NULL) {
		job->session.table = *found;
		return STATUS_OK;
	}
	names = calloc(count, sizeof *names);
	if (names == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < count; i++)
		names[i] = presets[i].preset;
	status = refuse_word(job, "table", job->preset, names, count);
	free(names);
	return status;
}

/* The constants of the file, and, of a profile, its table and its intervals. */
static enum status take_constants(struct job *job)
{
	struct constants constants;
	struct profile profile;
	struct fault_list unheard;
	enum status status;

	job->constants = constant_draws_prior();
	job->set.constants_words = "the constants of a table that nobody has measured (the priors)";
	if (job->constants_file == NULL)
		return STATUS_OK;
	status = constants_file_read(job->constants_file, &constants, &job->faults);
	if (status != STATUS_OK)
		return status;
	job->constants = constant_draws_exact(&constants);
	job->set.constants_words = "the constants given";
	status = fault_list_create(&unheard);
	if (status != STATUS_OK)
		return status;
	if (profile_file_read(job->constants_file, &profile, &unheard) == STATUS_OK) {
		struct table_draws draws = table_draws_profile(&profile, NULL);

		job->constants = table_draws_constants(&draws);
		job->session.table = profile.table;
		job->set.constants_words = "what the profile given knows of this table";
		profile_free(&profile);
	}
	fault_list_free(&unheard);
	return STATUS_OK;
}

static enum status refuse_shot(struct job *job)
{
	const struct protocol *protocol = job->protocol;
	const char **names = calloc(protocol->shot_count, sizeof *names);
	enum status status;

	if (names == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < protocol->shot_count; i++)
		names[i] = protocol->shots[i].key;
	status = refuse_word(job, "shot", job->shot, names, protocol->shot_count);
	free(names);
	return status;
}

/* Every shot that cannot be played is told. */
static enum status make_shot(struct job *job, const struct shot_design *design)
{
	struct shot_card *card = &job->shots[job->set.count++];
	const char *why = "";
	enum status status = shot_card_make(design, &job->session, &job->constants, job->set.seed,
	                                    (uint64_t)(design - job->protocol->shots), 0, card, &why);
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = job->protocol->file,
	                      .shot = design->key,
	                      .what = "no card of it on this table",
	                      .found = why,
	                      .next = "choose another table with --table, or another shot with --shot"};

	if (status == STATUS_INPUT)
		fault_list_add(&job->faults, &fault);
	return status;
}

static enum status make_shots(struct job *job)
{
	enum status result = STATUS_OK;

	job->shots = calloc(job->protocol->shot_count, sizeof *job->shots);
	if (job->shots == NULL)
		return STATUS_SYSTEM;
	for (size_t i = 0; i < job->protocol->shot_count; i++) {
		const struct shot_design *design = &job->protocol->shots[i];
		enum status status;

		if (job->shot != NULL && strcmp(job->shot, design->key) != 0)
			continue;
		status = make_shot(job, design);
		if (status == STATUS_SYSTEM)
			return status;
		if (status != STATUS_OK)
			result = status;
	}
	job->set.protocol = job->protocol;
	job->set.session = &job->session;
	job->set.shots = job->shots;
	return result;
}

static enum status check_output(struct job *job, const char *path)
{
	const char *const used[] = {job->protocol->file, job->constants_file};
	enum status status;

	for (size_t i = 0; i < sizeof(used) / sizeof(used[0]); i++)
		if (used[i] != NULL && output_same_file(path, used[i]))
			return command_complain(job->invocation,
			                        "%s is read for this card and would be lost; name another "
			                        "file for --output",
			                        path);
	status = output_check(&job->invocation->messages, path);
	job->told = job->told || status != STATUS_OK;
	return status;
}

static enum status prepare(struct job *job)
{
	enum status status, other;

	job->session = session_default();
	job->protocol = library_find(&job->library, job->invocation->options.operands[0], NULL,
	                             &job->faults);
	status = take_constants(job);
	if (job->protocol == NULL)
		return job->faults.count > 0 ? job->faults.items[0].status : STATUS_SYSTEM;
	if (status != STATUS_OK)
		return status;
	other = take_preset(job);
	if (other != STATUS_OK)
		return other;
	if (job->shot != NULL && protocol_find_shot(job->protocol, job->shot) == NULL)
		return refuse_shot(job);
	return check_output(job, job->output);
}

static enum status write_files(struct job *job)
{
	enum status status = card_arrange(&job->set);
	size_t sheets = job->set.leaf_count;

	if (status != STATUS_OK)
		return status;
	if (!card_files_name(job->library.arena, job->output, job->format, sheets, &job->files))
		return STATUS_SYSTEM;
	for (size_t i = 0; i < job->files.count && status == STATUS_OK; i++)
		status = check_output(job, job->files.paths[i]);
	if (status == STATUS_OK)
		status = card_files_write(&job->invocation->messages, &job->set, &job->files,
		                          &job->told);
	if (status != STATUS_OK)
		return status;
	if (job->files.count == 1)
		messages_note(&job->invocation->messages, "%zu %s written to %s, seed %llu", sheets,
		              sheets == 1 ? "sheet" : "sheets", job->files.paths[0],
		              (unsigned long long)job->set.seed);
	else
		messages_note(&job->invocation->messages, "%zu sheets written to %s to %s, seed %llu",
		              sheets, job->files.paths[0], job->files.paths[sheets - 1],
		              (unsigned long long)job->set.seed);
	if (job->invocation->messages.json)
		card_json_print(&job->set, job->files.paths, job->files.count,
		                &job->invocation->answer);
	return STATUS_OK;
}

static enum status make_card(struct job *job)
{
	enum status status = prepare(job);

	if (status == STATUS_OK)
		status = make_shots(job);
	if (status == STATUS_OK)
		status = write_files(job);
	messages_faults(&job->invocation->messages, &job->faults);
	for (size_t i = 0; i < job->set.count; i++)
		shot_card_free(&job->shots[i]);
	card_arrange_free(&job->set);
	free(job->shots);
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
		status = make_card(&job);
	if (status == STATUS_SYSTEM && job.faults.count == 0 && !job.told)
		command_memory_out(invocation);
	fault_list_free(&job.faults);
	library_free(&job.library);
	return status;
}

static const struct option_rule rules[] = {
	{'o', "output", "FILE", "the file to write, replaced whole: .pdf with all sheets, or .svg or "
	                        ".png, a numbered file for each sheet (needed)", false},
	{0, "shot", "NAME", "only this shot of the protocol (default: all)", false},
	{0, "paper", "a4", "the paper, a4 (default) or letter", false},
	{0, "table", "PRESET", "the table (default: that of a profile given, else pool-9ft)", false},
	{0, "constants", "FILE.json",
	 "constants of the table, {\"sliding_friction\": 0.2, ...}, or its profile (default: a table "
	 "that nobody has measured)",
	 false},
	{0, "seed", "N", "seed of the plays that make the areas (default 1)", false},
	{0, NULL, NULL, NULL, false},
};

const struct command command_card = {
	.name = "card",
	.summary = "makes sheets of a protocol to print and take to the table",
	.usage = "restpoint card PROTOCOL -o FILE [--shot=NAME] [--paper=a4] [--table=PRESET] "
			 "[--constants=FILE.json] [--seed=N] [--json]",
	.purpose = "Draws a sheet for each shot of a protocol: where the balls stand, the aim, the hit, the "
			   "speed in table lengths, the path and the area in which the ball should stop, and the "
			   "boxes to fill in; and a sheet for each ramp, how to make and place it. In black on "
			   "white, for A4 or letter.",
	.options = rules,
	.operands_least = 1,
	.operands_most = 1,
	.run = run,
};
