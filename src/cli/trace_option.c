/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/trace_option.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "cli/nearest.h"
#include "cli/output.h"
#include "estimate/stroke_model.h"
#include "report/trace_drawing.h"
#include "report/trace_json.h"
#include "report/trace_text.h"
#include "shot/traced_shot.h"

/* How far a ball may be from its path [m]: a millimetre in files, for eyes less. */
#define TOLERANCE_FILE 0.001
#define TOLERANCE_DRAWING 0.0001

static bool find_form(const char *path, enum trace_form *form)
{
	static const char *const endings[] = {".csv", ".json", ".svg", ".png"};
	size_t length = strlen(path);

	for (size_t i = 0; i < sizeof(endings) / sizeof(endings[0]); i++) {
		size_t end = strlen(endings[i]);

		if (length > end && strcasecmp(path + length - end, endings[i]) == 0) {
			*form = (enum trace_form)i;
			return true;
		}
	}
	return false;
}

enum status trace_option_read(const struct invocation *invocation, struct trace_option *option)
{
	*option = (struct trace_option){.path = options_value(&invocation->options, "trace"),
	                                .shot = options_value(&invocation->options, "shot")};
	if (option->path == NULL && option->shot != NULL)
		return command_complain(invocation, "option --shot says which shot --trace shows; give "
		                                    "--trace=FILE too, or leave --shot out");
	if (option->path != NULL && !find_form(option->path, &option->form))
		return command_complain(invocation,
		                        "option --trace: found \"%s\"; accepted: a file whose name ends "
		                        "in .csv, .json, .svg or .png",
		                        option->path);
	return STATUS_OK;
}

static bool is_drawing(const struct trace_option *option)
{
	return option->form == TRACE_SVG || option->form == TRACE_PNG;
}

/* Complains about the shot, with the nearest one or all that there are. */
static enum status refuse_shot(const struct invocation *invocation,
                               const struct trace_option *option, const struct protocol *protocol)
{
	struct text words = {0};
	struct nearest nearest;

	if (option->shot != NULL)
		text_print(&words, "option --shot: protocol %s has no shot \"%s\"", protocol->name,
		           option->shot);
	else
		text_print(&words, "a drawing shows one shot, and protocol %s has %zu; choose one with "
		                   "--shot",
		           protocol->name, protocol->shot_count);
	nearest_start(&nearest, option->shot != NULL ? option->shot : "",
	              option->shot != NULL ? strlen(option->shot) : 0);
	for (size_t i = 0; i < protocol->shot_count; i++)
		nearest_offer(&nearest, protocol->shots[i].key);
	if (nearest.best != NULL)
		text_print(&words, "; did you mean %s?", nearest.best);
	else
		for (size_t i = 0; i < protocol->shot_count; i++)
			text_print(&words, "%s%s",
			           i > 0 ? ", " : option->shot != NULL ? "; accepted: " : ": ",
			           protocol->shots[i].key);
	command_complain(invocation, "%s", text_bytes(&words));
	text_free(&words);
	return STATUS_USAGE;
}

static const char *name_in_folder(const char *path)
{
	const char *slash = strrchr(path, '/');

	return slash != NULL ? slash + 1 : path;
}

/* The folder of a path without links, or NULL. Release with free. */
static char *real_folder(const char *path)
{
	const char *name = name_in_folder(path);
	char *folder = name == path ? strdup(".") : strndup(path, (size_t)(name - path));
	char *real = folder != NULL ? realpath(folder, NULL) : NULL;

	free(folder);
	return real;
}

/* Whether two paths lead to one file, which need not exist yet. */
static bool is_same_place(const char *first, const char *second)
{
	char *a = real_folder(first), *b = real_folder(second);
	bool same = a != NULL && b != NULL && strcmp(a, b) == 0 &&
	            strcmp(name_in_folder(first), name_in_folder(second)) == 0;

	free(a);
	free(b);
	return same || output_same_file(first, second);
}

/* Whether the file is one that is read, or that is written besides. */
static bool is_in_use(const struct trace_option *option, const struct trace_task *task)
{
	const char *const used[] = {task->protocol->file, task->constants_file, task->output};

	for (size_t i = 0; i < sizeof(used) / sizeof(used[0]); i++)
		if (used[i] != NULL && is_same_place(used[i], option->path))
			return true;
	return false;
}

enum status trace_option_check(const struct invocation *invocation,
                               const struct trace_option *option, const struct trace_task *task)
{
	const struct protocol *protocol = task->protocol;

	if (option->path == NULL)
		return STATUS_OK;
	if (option->shot != NULL ? protocol_find_shot(protocol, option->shot) == NULL
	                         : is_drawing(option) && protocol->shot_count > 1)
		return refuse_shot(invocation, option, protocol);
	if (is_in_use(option, task))
		return command_complain(invocation,
		                        "%s is read or written by this simulation and would be lost; "
		                        "name another file for --trace",
		                        option->path);
	return output_check(&invocation->messages, option->path);
}

static enum status refuse_design(const struct trace_task *task, const struct shot_design *design,
                                 const char *why, struct fault_list *faults)
{
	struct fault fault = {.status = STATUS_INPUT,
	                      .file = task->protocol->file,
	                      .shot = design->key,
	                      .what = "no trace of it on this table",
	                      .found = why,
	                      .next = "choose other constants, another table with --set, or another "
	                              "shot with --shot"};

	fault_list_add(faults, &fault);
	return STATUS_INPUT;
}

static enum status play(const struct trace_task *task, const struct shot_design *design,
                        double tolerance, struct traced_shot *shot, struct fault_list *faults)
{
	struct stroke_scene scene;
	enum status status;
	const char *why;

	if (!stroke_scene_make(&scene, design, task->session, NULL, 0, &why))
		return refuse_design(task, design, why, faults);
	status = traced_shot_play(design, &scene.setup, &task->session->table, task->constants,
	                          scene.end_mass_ratio, tolerance, shot);
	if (status == STATUS_INPUT)
		return refuse_design(task, design, "the balls do not come to rest", faults);
	return status;
}

static enum status print(const struct trace_option *option, const struct trace_set *set,
                         struct text *out)
{
	switch (option->form) {
	case TRACE_CSV:
		trace_text_print(set, out);
		break;
	case TRACE_JSON:
		trace_json_print(set, out);
		break;
	case TRACE_SVG:
		return trace_drawing_print(set, &set->shots[0], CANVAS_SVG, out);
	case TRACE_PNG:
		return trace_drawing_print(set, &set->shots[0], CANVAS_PNG, out);
	}
	return out->failed ? STATUS_SYSTEM : STATUS_OK;
}

/* Plays what is wanted; every shot that cannot be played is told. */
static enum status play_all(const struct trace_option *option, const struct trace_task *task,
                            struct traced_shot *shots, size_t *count, struct fault_list *faults)
{
	double tolerance = is_drawing(option) ? TOLERANCE_DRAWING : TOLERANCE_FILE;
	enum status result = STATUS_OK;

	*count = 0;
	for (size_t i = 0; i < task->protocol->shot_count; i++) {
		const struct shot_design *design = &task->protocol->shots[i];
		enum status status;

		if (option->shot != NULL && strcmp(option->shot, design->key) != 0)
			continue;
		status = play(task, design, tolerance, &shots[(*count)++], faults);
		if (status == STATUS_SYSTEM)
			return status;
		if (status != STATUS_OK)
			result = status;
	}
	return result;
}

static enum status print_and_write(const struct invocation *invocation,
                                   const struct trace_option *option, const struct trace_set *set)
{
	struct text contents = {0};
	enum status status = print(option, set, &contents);

	if (status != STATUS_OK)
		command_memory_out(invocation);
	else
		status = output_file(&invocation->messages, option->path, &contents);
	if (status == STATUS_OK && set->count == 1)
		messages_note(&invocation->messages, "the path of shot %s as designed written to %s",
		              set->shots[0].design->key, option->path);
	else if (status == STATUS_OK)
		messages_note(&invocation->messages, "the paths of %zu shots as designed written to %s",
		              set->count, option->path);
	text_free(&contents);
	return status;
}

enum status trace_option_write(const struct invocation *invocation,
                               const struct trace_option *option, const struct trace_task *task,
                               struct fault_list *faults)
{
	struct trace_set set = {.protocol = task->protocol,
	                        .table = &task->session->table,
	                        .constants = task->constants,
	                        .constants_source = task->constants_file};
	struct traced_shot *shots;
	enum status status;

	if (option->path == NULL)
		return STATUS_OK;
	shots = calloc(task->protocol->shot_count, sizeof *shots);
	if (shots == NULL)
		return command_memory_out(invocation);
	status = play_all(option, task, shots, &set.count, faults);
	set.shots = shots;
	if (status == STATUS_SYSTEM)
		command_memory_out(invocation);
	else if (status == STATUS_OK)
		status = print_and_write(invocation, option, &set);
	for (size_t i = 0; i < set.count; i++)
		traced_shot_free(&shots[i]);
	free(shots);
	return status;
}
