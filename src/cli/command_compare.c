/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "cli/card_files.h"
#include "cli/output.h"
#include "files/profile_file.h"
#include "report/compare_card.h"
#include "report/compare_json.h"
#include "report/compare_text.h"

/* One call of the command. */
struct job {
	struct invocation *invocation;
	struct fault_list faults;
	struct profile home, here;
	struct compare_set set;
	struct adjustment_change *changes;
	const char *output; /* as given; NULL: no card */
	enum canvas_format format;
	bool told; /* why the system refused something was said already */
};

/* An option that is a number from lowest to highest; *value stays where it is not given. */
static enum status read_number(const struct job *job, const char *name, const char *unit,
                               double lowest, double highest, double *value)
{
	const char *given = options_value(&job->invocation->options, name);
	double number;

	if (given == NULL)
		return STATUS_OK;
	if (!number_read(given, strlen(given), &number) || !(number >= lowest && number <= highest))
		return command_complain(job->invocation,
		                        "option --%s: found \"%s\"; accepted: a number%s from %g to %g",
		                        name, given, unit, lowest, highest);
	*value = number;
	return STATUS_OK;
}

static enum status read_draws(struct job *job)
{
	return command_read_count(job->invocation, "draws", ADJUSTMENTS_DRAWS_LEAST, ADJUSTMENTS_DRAWS_MOST,
	                          ADJUSTMENTS_DRAWS, &job->set.draws);
}

static enum status read_unit(struct job *job)
{
	static const char *const names[] = {"usual", "diamonds", "tips", "balls"};
	const char *value = options_value(&job->invocation->options, "unit");

	job->set.unit = COMPARE_USUAL;
	if (value == NULL)
		return STATUS_OK;
	for (int i = COMPARE_USUAL; i <= COMPARE_BALLS; i++)
		if (strcmp(value, names[i]) == 0) {
			job->set.unit = (enum compare_unit)i;
			return STATUS_OK;
		}
	return command_complain(job->invocation,
	                        "option --unit: found \"%s\"; accepted: usual, diamonds, tips, balls",
	                        value);
}

static enum status read_cue(struct job *job)
{
	double millimetres = 1000.0 * COMPARE_TIP_WIDTH;
	enum status status = read_number(job, "tip-width", " of millimetres", 5.0, 20.0, &millimetres);

	job->set.tip_given = options_has(&job->invocation->options, "tip-width");
	job->set.tip_width = millimetres / 1000.0;
	if (status == STATUS_OK)
		status = read_number(job, "end-mass-ratio", "", 1.0, 1000.0, &job->set.end_mass_ratio);
	if (status == STATUS_OK)
		status = read_number(job, "elevation", " of degrees", 0.0, 30.0,
		                     &job->set.elevation_deg);
	return status;
}

static enum status read_output(struct job *job)
{
	const char *const *files = job->invocation->options.operands;
	enum status status;

	job->output = options_value(&job->invocation->options, "output");
	if (job->output == NULL)
		return STATUS_OK;
	if (!card_files_format(job->output, &job->format))
		return command_complain(job->invocation,
		                        "option --output: found \"%s\"; accepted: a file whose name "
		                        "ends in .pdf, .svg or .png",
		                        job->output);
	for (int i = 0; i < 2; i++)
		if (output_same_file(job->output, files[i]))
			return command_complain(job->invocation,
			                        "%s is read for this comparison and would be lost; name "
			                        "another file for --output",
			                        job->output);
	status = output_check(&job->invocation->messages, job->output);
	job->told = status != STATUS_OK;
	return status;
}

static enum status read_options(struct job *job)
{
	enum status status = command_read_seed(job->invocation, &job->set.seed);

	job->set.elevation_deg = 3.0;
	if (status == STATUS_OK)
		status = read_draws(job);
	if (status == STATUS_OK)
		status = read_unit(job);
	if (status == STATUS_OK)
		status = read_cue(job);
	return status == STATUS_OK ? read_output(job) : status;
}

/* Both are read, so that the faults of both are told. */
static enum status read_profiles(struct job *job)
{
	const char *const *files = job->invocation->options.operands;
	enum status first, second;

	job->set.home_file = files[0];
	job->set.here_file = files[1];
	first = profile_file_read(files[0], &job->home, &job->faults);
	second = profile_file_read(files[1], &job->here, &job->faults);
	job->set.home = &job->home;
	job->set.here = &job->here;
	return first != STATUS_OK ? first : second;
}

static enum status solve(struct job *job)
{
	struct adjustments_task task = {.home = &job->home,
	                                .here = &job->here,
	                                .end_mass_ratio = job->set.end_mass_ratio,
	                                .elevation_deg = job->set.elevation_deg,
	                                .draws = job->set.draws,
	                                .seed = job->set.seed};

	adjustment_list(&job->set.count);
	job->changes = calloc(job->set.count, sizeof *job->changes);
	if (job->changes == NULL)
		return STATUS_SYSTEM;
	job->set.changes = job->changes;
	job->set.same = adjustments_same(&job->home, &job->here);
	return adjustments_find(&task, job->changes);
}

static enum status write_card(struct job *job)
{
	struct text contents = {0};
	enum status status;

	if (job->output == NULL)
		return STATUS_OK;
	status = compare_card_print(&job->set, job->format, &contents);
	if (status == STATUS_OK) {
		status = output_file(&job->invocation->messages, job->output, &contents);
		job->told = status != STATUS_OK;
	}
	text_free(&contents);
	if (status == STATUS_OK)
		messages_note(&job->invocation->messages, "table card written to %s, seed %llu",
		              job->output, (unsigned long long)job->set.seed);
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
		status = read_profiles(&job);
	if (status == STATUS_OK)
		status = solve(&job);
	if (status == STATUS_OK)
		status = write_card(&job);
	if (status == STATUS_OK && invocation->messages.json)
		compare_json_print(&job.set, &invocation->answer);
	else if (status == STATUS_OK)
		compare_text_print(&job.set, &invocation->answer);
	messages_faults(&invocation->messages, &job.faults);
	if (status == STATUS_SYSTEM && job.faults.count == 0 && !job.told)
		command_memory_out(invocation);
	free(job.changes);
	profile_free(&job.home);
	profile_free(&job.here);
	fault_list_free(&job.faults);
	return status;
}

static const struct option_rule rules[] = {
	{'o', "output", "FILE", "besides write a card to carry, one sheet of A5, to this file: .pdf, .svg "
	                        "or .png",
	 false},
	{0, "unit", "UNIT",
	 "what lengths are told in: diamonds, tips, balls (ball widths), or usual: aims in diamonds, "
	 "tip offsets in tips (the default)",
	 false},
	{0, "tip-width", "MM", "width of the cue's tip in mm (default 13)", false},
	{0, "end-mass-ratio", "M", "ball mass over the cue's end mass (default: no squirt)", false},
	{0, "elevation", "DEG", "of the cue's butt, for aim with side (default 3)", false},
	{0, "draws", "N", "pairs of tables drawn, 100 to 10000 (default 400)", false},
	{0, "seed", "N", "seed of the draws (default 1)", false},
	{0, NULL, NULL, NULL, false},
};

const struct command command_compare = {
	.name = "compare",
	.summary = "tells how two tables differ and what to change in the stroke",
	.usage = "restpoint compare HOME.json HERE.json [-o FILE] [--unit=UNIT] [--tip-width=MM] "
			 "[--end-mass-ratio=M] [--elevation=DEG] [--draws=N] [--seed=N] [--json]",
	.purpose = "Puts two profiles side by side, and solves for the strokes that give on the second "
			   "table what the home stroke gives on the first: pace of a lag, where to aim a kick, "
			   "how low to strike, how much side, how much to allow for throw; each with its 95 % "
			   "interval, or no change worth making.",
	.options = rules,
	.operands_least = 2,
	.operands_most = 2,
	.run = run,
};
