/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Constants for a simulation, from a plain object of numbers or from a profile. */
#include <math.h>
#include <string.h>

#include "files/disk.h"
#include "files/profile_file.h"
#include "files/profile_read.h"
#include "files/refusal.h"

/* What is read: the constants of a plain object, or a whole profile. */
struct target {
	struct constants constants;
	struct profile profile;
	bool is_profile;
};

/* The terms that the file holds; the others stay 0. */
static void read_terms(struct json_reader *reader, const struct json_node *root,
                       struct constants *constants)
{
	for (size_t i = 0; i < CONSTANT_TERMS; i++) {
		enum constant_term term = (enum constant_term)i;
		const struct constant_term_rule *limits = constant_term_rule(term);
		struct json_rule rule = {limits->name, JSON_OPTIONAL, limits->lowest,
		                         limits->highest, false};
		json_read_number(reader, root, &rule,
		                 constant_term_place(&constants->terms, term));
	}
}

/* The steeper of the two slopes is the one that is blamed. */
static void check_slope(struct json_reader *reader, const struct json_node *root,
                        const struct constants *constants)
{
	bool along = fabs(constants->terms.slope_long) >= fabs(constants->terms.slope_short);
	const struct json_node *steeper =
	    json_tree_member(root, along ? "slope_long" : "slope_short");
	if (steeper != NULL && constants->value[ROLLING_RESISTANCE] > 0 &&
	    !constants_ball_stops(constants))
		profile_refuse_steep(reader, steeper, constants);
}

/* Where no slope is to blame. */
static void check_nap(struct json_reader *reader, const struct json_node *root,
                      const struct constants *constants)
{
	const struct json_node *nap = json_tree_member(root, constant_term_rule(TERM_NAP_LONG)->name);
	if (nap != NULL && constants->value[ROLLING_RESISTANCE] > 0 &&
	    constants->terms.slope_long == 0 && constants->terms.slope_short == 0 &&
	    !constants_ball_stops(constants))
		profile_refuse_nap(reader, nap, constants);
}

static void read_plain(struct json_reader *reader, const struct json_node *root,
                       struct constants *constants)
{
	const char *names[CONSTANT_COUNT + CONSTANT_TERMS];
	for (size_t i = 0; i < CONSTANT_COUNT; i++)
		names[i] = constant_prior((enum constant_id)i)->name;
	for (size_t i = 0; i < CONSTANT_TERMS; i++)
		names[CONSTANT_COUNT + i] = constant_term_rule((enum constant_term)i)->name;
	if (!json_read_object(reader, root, names, CONSTANT_COUNT + CONSTANT_TERMS))
		return;
	for (size_t i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);
		struct json_rule rule = {prior->name, JSON_REQUIRED, prior->lowest, prior->highest,
		                         false};
		json_read_number(reader, root, &rule, &constants->value[i]);
	}
	read_terms(reader, root, constants);
	check_slope(reader, root, constants);
	check_nap(reader, root, constants);
}

static void read_root(struct json_reader *reader, const struct json_node *root, void *model)
{
	struct target *target = model;
	target->is_profile = root->kind == JSON_OBJECT && json_tree_member(root, "format") != NULL;
	if (target->is_profile)
		profile_read_root(reader, root, &target->profile);
	else
		read_plain(reader, root, &target->constants);
}

enum status constants_file_parse(const char *file, const char *bytes, size_t length,
                                 struct constants *constants, struct fault_list *faults)
{
	struct target target = {.is_profile = false};
	target.profile.arena = arena_create();
	enum status status = json_read_document(file, bytes, length, target.profile.arena,
	                                        read_root, &target, faults);
	memset(constants, 0, sizeof *constants);
	if (status == STATUS_OK)
		*constants =
		    target.is_profile ? profile_constants(&target.profile) : target.constants;
	profile_free(&target.profile);
	return status;
}

enum status constants_file_read(const char *path, struct constants *constants,
                                struct fault_list *faults)
{
	const char *bytes = NULL;
	size_t length = 0;
	memset(constants, 0, sizeof *constants);
	struct arena *content = arena_create();
	enum status status = content == NULL ? refusal_memory(path, faults)
	                                     : disk_read(path, content, &bytes, &length, faults);
	if (status == STATUS_OK)
		status = constants_file_parse(path, bytes, length, constants, faults);
	arena_free(content);
	return status;
}
