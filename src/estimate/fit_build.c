/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "estimate/fit_problem.h"
#include "physics/cushion.h"

/* Builds a fit problem from files: which rows are used, what they share, what is wrong. */

static bool tables_agree(const struct session *a, const struct session *b)
{
	const struct table *s = &a->table, *t = &b->table;

	return s->length == t->length && s->width == t->width && s->nose_height == t->nose_height &&
	       s->sight_setback == t->sight_setback && s->corner_mouth == t->corner_mouth &&
	       s->side_mouth == t->side_mouth && s->pockets == t->pockets &&
	       s->ball_diameter == t->ball_diameter && s->ball_mass == t->ball_mass;
}

static void check_tables(const struct fit_input *inputs, size_t count, struct fault_list *faults)
{
	for (size_t i = 1; i < count; i++) {
		struct fault fault = {
		    .status = STATUS_INPUT,
		    .file = inputs[i].measurement->file,
		    .what = "table and balls",
		    .found = "other dimensions than in the first file",
		    .accepted = "files of one table played with one kind of ball",
		    .next = "fit the files of each table separately, or correct the settings"};

		if (!tables_agree(&inputs[0].measurement->session, &inputs[i].measurement->session))
			fault_list_add(faults, &fault);
	}
}

static void add_design_fault(const struct fit_input *input, const struct stroke_row *row,
                             const char *why, struct fault_list *faults)
{
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = input->measurement->file,
	                      .line = row->line,
	                      .shot = row->shot,
	                      .what = "the shot on this table",
	                      .found = why,
	                      .accepted = "a shot that can be set up and played",
	                      .next = "check the table's settings, or use another protocol"};

	fault_list_add(faults, &fault);
}

static void add_rail_fault(const struct fit_input *input, const struct stroke_row *row, int number,
                           struct fault_list *faults)
{
	struct fault fault = {
	    .status = STATUS_INPUT,
	    .file = input->measurement->file,
	    .line = row->line,
	    .column = row->columns[number],
	    .shot = row->shot,
	    .what = quantity_name(number),
	    .found = "a number without a rail, for a contact that the shot as designed does not make",
	    .accepted = "the rail's name before the number, e.g. right 5.6",
	    .next = "write which rail was struck, or move the reading to its column"};

	fault_list_add(faults, &fault);
}

static void add_range_fault(const struct fit_input *input, const struct stroke_row *row,
                            int number, enum rail rail, struct fault_list *faults)
{
	char found[64];
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = input->measurement->file,
	                      .line = row->line,
	                      .column = row->columns[number],
	                      .shot = row->shot,
	                      .what = quantity_name(number),
	                      .found = found,
	                      .accepted = "0 to 4 diamonds along the head and the foot rail",
	                      .next = "name the rail that was struck before the number"};
	char value[NUMBER_SIZE];

	number_print(row->readings[number].value, value);
	snprintf(found, sizeof found, "%s diamonds on the %s rail", value, rail_name(rail));
	fault_list_add(faults, &fault);
}

/* The outer unknown that is shared by these strokes; made on first use. -1 when memory is out. */
static int shared_parameter(struct fit_problem *problem, struct shared_parameter wanted)
{
	struct shared_parameter *grown;

	for (size_t i = 0; i < problem->shared_count; i++) {
		const struct shared_parameter *have = &problem->shared[i];

		if (have->kind == wanted.kind && have->input == wanted.input &&
		    strcmp(have->player, wanted.player) == 0 && strcmp(have->shot, wanted.shot) == 0)
			return (int)(CONSTANT_COUNT + i);
	}
	grown = arena_grow(problem->arena, problem->shared, problem->shared_count,
	                   &problem->shared_capacity, sizeof *grown);
	if (grown == NULL)
		return -1;
	problem->shared = grown;
	grown[problem->shared_count++] = wanted;
	return (int)(CONSTANT_COUNT + problem->shared_count - 1);
}

static bool share(struct fit_problem *problem, struct stroke_case *stroke, size_t input)
{
	const struct shot_design *design = stroke->scene.design;
	const char *player = stroke->row->player != NULL ? stroke->row->player : "";
	struct shared_parameter parameter = {.input = input, .player = player, .shot = ""};
	bool complete = true;

	for (int kind = 0; kind < SHARED_HABITS; kind++) {
		bool by_cue = kind == SHARED_SPEED || kind == SHARED_HEIGHT || kind == SHARED_SIDE;

		stroke->parameter[kind] = -1;
		parameter.kind = (enum shared_unknown)kind;
		parameter.player = kind == SHARED_RAMP || kind == SHARED_DELAY ? "" : player;
		parameter.shot = "";
		if (kind == SHARED_AIM)
			parameter.shot = design->key;
		if (kind == SHARED_RAMP && design->launch.by_ramp)
			parameter.shot = design->launch.ramp;
		if ((by_cue && design->launch.by_ramp) ||
		    (kind == SHARED_RAMP && !design->launch.by_ramp) ||
		    (kind == SHARED_DELAY &&
		     (stroke->scene.microphone.known || !stroke_readings_hear(&stroke->readings))))
			continue;
		stroke->parameter[kind] = shared_parameter(problem, parameter);
		complete = complete && stroke->parameter[kind] >= 0;
	}
	return complete;
}

static bool share_table_unknown(struct fit_problem *problem, struct stroke_case *stroke, int number,
                                struct shared_parameter parameter)
{
	stroke->parameter[number] = shared_parameter(problem, parameter);
	return stroke->parameter[number] >= 0;
}

/* A ball's grip goes with its label, whatever part it plays; that of the reference is 1. */
static bool share_grips(struct fit_problem *problem, struct stroke_case *stroke, size_t input)
{
	const char *reference = problem->inputs[input].measurement->session.reference_ball;
	struct shared_parameter parameter = {.kind = SHARED_GRIP, .player = ""};

	for (int ball = 0; ball < BALL_ROLES; ball++) {
		parameter.shot = stroke->row->ball[ball];
		if (!stroke->scene.setup.present[ball] || parameter.shot == NULL ||
		    strcmp(parameter.shot, reference) == 0)
			continue;
		if (!share_table_unknown(problem, stroke, SHARED_GRIP + ball, parameter))
			return false;
	}
	return true;
}

/* What the table and its balls have besides the constants, as far as it is asked for: the same in
 * all files. False when memory is out. */
static bool share_table(struct fit_problem *problem, struct stroke_case *stroke, size_t input)
{
	const struct fit_wants *wants = &problem->wants;

	for (int kind = SHARED_HABITS; kind < SHARED_UNKNOWNS; kind++) {
		struct shared_parameter parameter = {
		    .kind = (enum shared_unknown)kind, .player = "", .shot = ""};
		bool slope = kind == SHARED_SLOPE_LONG || kind == SHARED_SLOPE_SHORT;

		stroke->parameter[kind] = -1;
		if (((slope && wants->slope) ||
		     (kind == SHARED_FALL && wants->liveliness_with_speed) ||
		     (kind == SHARED_NAP && wants->nap) ||
		     (kind >= SHARED_RAIL_LIVELINESS && wants->per_rail)) &&
		    !share_table_unknown(problem, stroke, kind, parameter))
			return false;
	}
	return !wants->grips || share_grips(problem, stroke, input);
}

static void check_ranges(const struct fit_input *input, const struct stroke_case *stroke,
                         struct fault_list *faults)
{
	for (size_t i = 0; i < stroke->readings.count; i++) {
		const struct stroke_reading *item = &stroke->readings.items[i];

		if (item->rail != RAIL_COUNT && !rail_is_long(item->rail) &&
		    item->value > TABLE_DIAMONDS_SHORT)
			add_range_fault(input, stroke->row, item->number, item->rail, faults);
	}
}

/* Adds one row to the problem where it tells something. False when memory is out. */
static bool add_row(struct fit_problem *problem, size_t input, const struct stroke_row *row,
                    struct fault_list *faults)
{
	const struct fit_input *source = &problem->inputs[input];
	const struct session *session = &source->measurement->session;
	const struct shot_design *design = protocol_find_shot(source->protocol, row->shot);
	struct stroke_case *stroke = &problem->strokes[problem->stroke_count];
	enum rail rails[BALL_ROLES][RAIL_READINGS];
	const char *why = "the protocol has no shot of that key";
	int missing;

	memset(stroke, 0, sizeof *stroke);
	if (design == NULL || !stroke_design_rails(design, session, rails, &why) ||
	    !stroke_scene_make(&stroke->scene, design, session, row->ball, 0, &why)) {
		add_design_fault(source, row, why, faults);
		return true;
	}
	missing = stroke_readings_take(row, design, session, &stroke->scene.setup, rails,
	                               &stroke->readings);
	if (missing > 0) {
		add_rail_fault(source, row, missing - 1, faults);
		return true;
	}
	stroke->file = source->measurement->file;
	stroke->row = row;
	check_ranges(source, stroke, faults);
	if (stroke->readings.count == 0)
		return true;
	stroke->scene.mask = stroke_readings_mask(&stroke->readings);
	observe_need(design, stroke->scene.mask, &stroke->scene.need);
	stroke->used = true;
	stroke->tolerance = CUSHION_TOLERANCE;
	stroke->stream = problem->stroke_count;
	problem->stroke_count++;
	return share(problem, stroke, input) && share_table(problem, stroke, input);
}

static size_t count_rows(const struct fit_input *inputs, size_t input_count)
{
	size_t count = 0;

	for (size_t i = 0; i < input_count; i++)
		count += inputs[i].measurement->row_count;
	return count;
}

static void add_empty_fault(const struct fit_input *input, struct fault_list *faults)
{
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = input->measurement->file,
	                      .what = "strokes",
	                      .found = "no valid row with a reading",
	                      .accepted = "at least one stroke with at least one filled cell",
	                      .next = "fill in where balls stopped or touched the rails"};

	fault_list_add(faults, &fault);
}

/* Tells the strokes how many they are. */
static void tell_many(struct fit_problem *problem)
{
	for (size_t i = 0; i < problem->stroke_count; i++)
		problem->strokes[i].of_many = problem->stroke_count > FIT_LARGE;
}

static bool add_rows(struct fit_problem *problem, struct fault_list *faults)
{
	for (size_t i = 0; i < problem->input_count; i++) {
		const struct measurement *measurement = problem->inputs[i].measurement;

		for (size_t k = 0; k < measurement->row_count; k++)
			if (measurement->rows[k].valid &&
			    !add_row(problem, i, &measurement->rows[k], faults))
				return false;
	}
	return true;
}

enum status fit_problem_create(struct fit_problem *problem, const struct fit_input *inputs,
                               size_t input_count, uint64_t seed, struct fault_list *faults)
{
	struct fit_options options = {.seed = seed};

	return fit_problem_create_with(problem, inputs, input_count, &options, faults);
}

enum status fit_problem_create_with(struct fit_problem *problem, const struct fit_input *inputs,
                                    size_t input_count, const struct fit_options *options,
                                    struct fault_list *faults)
{
	size_t rows = count_rows(inputs, input_count), before = faults->count;
	bool built;

	*problem = (struct fit_problem){.arena = arena_create(),
	                                .inputs = inputs,
	                                .input_count = input_count,
	                                .seed = options->seed,
	                                .wants = options->wants,
	                                .threads = options->threads,
	                                .progress_to = 1.0};
	problem->strokes = calloc(rows + 1, sizeof *problem->strokes);
	if (problem->arena == NULL || problem->strokes == NULL) {
		fit_problem_free(problem);
		return STATUS_SYSTEM;
	}
	check_tables(inputs, input_count, faults);
	built = add_rows(problem, faults);
	tell_many(problem);
	if (built && problem->stroke_count == 0 && faults->count == before)
		add_empty_fault(&inputs[0], faults);
	problem->latest = calloc(fit_problem_size(problem), sizeof *problem->latest);
	if (built && problem->latest != NULL && faults->count == before) {
		problem->latest[0] = HUGE_VAL; /* equal to no point */
		return STATUS_OK;
	}
	built = built && problem->latest != NULL;
	fit_problem_free(problem);
	return built ? STATUS_INPUT : STATUS_SYSTEM;
}

enum status fit_inputs_check(const struct fit_input *inputs, size_t input_count,
                             struct fault_list *faults)
{
	struct fit_problem problem;
	enum status status = fit_problem_create(&problem, inputs, input_count, 1, faults);

	if (status == STATUS_OK)
		fit_problem_free(&problem);
	return status;
}
