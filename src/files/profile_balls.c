/* SPDX-License-Identifier: GPL-3.0-or-later */

/* "balls" and "correlation" in a profile: formats.md 5. */
#include <math.h>
#include <string.h>

#include "files/profile_read.h"
#include "files/refusal.h"
#include "files/utf8.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))
#define GRIP_HIGHEST 100
#define GRIP_PREFIX "grip:"

static void read_ball(struct json_reader *reader, const struct json_node *node,
                      struct profile_ball *ball)
{
	static const char *const keys[] = {"reference", "grip"};
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	json_read_truth(reader, node, "reference", JSON_REQUIRED, &ball->reference);
	const struct json_node *grip =
	    json_read_member(reader, node, "grip", JSON_REQUIRED, "an object with the key value");
	if (grip == NULL)
		return;
	struct estimate_rule rule = {.lowest = 0,
	                             .highest = GRIP_HIGHEST,
	                             .open = true,
	                             .learned = true,
	                             .held_by_itself = ball->reference};
	profile_read_estimate(reader, grip, &rule, &ball->grip);
	bool number = grip->kind == JSON_OBJECT && json_tree_member(grip, "value") != NULL;
	if (ball->reference && number && ball->grip.best.value != 1)
		json_read_refuse(reader, json_tree_member(grip, "value"),
		                 "1 for the reference ball (the others are measured by it)",
		                 "write 1");
}

void profile_read_balls(struct json_reader *reader, const struct json_node *node,
                        struct profile *profile)
{
	const struct json_node *reference = NULL;
	if (node->kind != JSON_OBJECT) {
		json_read_refuse(reader, node, "an object with a key for each ball",
		                 "write an object in curly brackets");
		return;
	}
	profile->balls = arena_allocate(reader->arena, node->count * sizeof *profile->balls);
	if (profile->balls == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	for (const struct json_node *member = node->first; member; member = member->next) {
		struct profile_ball *ball = &profile->balls[profile->ball_count++];
		ball->label = arena_copy(reader->arena, member->key, strlen(member->key));
		if (ball->label == NULL)
			refusal_memory(reader->file, reader->faults);
		else if (!utf8_is_plain(ball->label) ||
		         ball->label[strspn(ball->label, " ")] == '\0')
			json_read_refuse_found(reader, member, "that label",
			                       "a label of one line that is not blank",
			                       "give the ball another label");
		read_ball(reader, member, ball);
		if (ball->reference && reference != NULL)
			json_read_refuse_found(reader, member, "a second reference ball",
			                       "one ball with \"reference\": true",
			                       "write false for all but one");
		if (ball->reference)
			reference = member;
	}
}

/* Whether the text names a constant or the grip of one of the profile's balls. */
static bool is_fitted_name(const struct profile *profile, const char *name)
{
	enum constant_id id;
	size_t prefix = strlen(GRIP_PREFIX);
	if (constant_from_name(name, strlen(name), &id))
		return true;
	if (strncmp(name, GRIP_PREFIX, prefix) != 0)
		return false;
	for (size_t i = 0; i < profile->ball_count; i++)
		if (profile->balls[i].label != NULL &&
		    strcmp(name + prefix, profile->balls[i].label) == 0)
			return true;
	return false;
}

static void read_order(struct json_reader *reader, const struct json_node *order,
                       struct profile *profile)
{
	const char *accepted =
	    "the name of a constant, or grip: and the label of a ball, each once";
	profile->correlation_order =
	    arena_allocate(reader->arena, order->count * sizeof *profile->correlation_order);
	if (profile->correlation_order == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	size_t count = 0;
	for (const struct json_node *item = order->first; item != NULL; item = item->next) {
		const char *name = json_read_string(reader, item, false, accepted);
		bool good = name == NULL || is_fitted_name(profile, name);
		for (size_t i = 0; i < count && name != NULL; i++)
			good = good && strcmp(name, profile->correlation_order[i]) != 0;
		if (!good)
			json_read_refuse(reader, item, accepted, "correct the name");
		if (name != NULL)
			profile->correlation_order[count++] = name;
	}
	profile->correlation_count = count;
}

static void read_matrix_row(struct json_reader *reader, const struct json_node *row, size_t count,
                            double *out)
{
	if (!json_read_array(reader, row, count, count))
		return;
	size_t i = 0;
	for (const struct json_node *item = row->first; item != NULL; item = item->next, i++) {
		/* Rounding may carry a correlation just past 1. */
		if (item->kind == JSON_NUMBER && fabs(item->number) <= 1 + 1e-9)
			out[i] = item->number;
		else
			json_read_refuse(reader, item, "a number from -1 to 1",
			                 "correct the number");
	}
}

static void check_matrix(struct json_reader *reader, const struct json_node *matrix,
                         const struct profile *profile)
{
	size_t count = profile->correlation_count;
	for (size_t i = 0; i < count; i++) {
		bool good = fabs(profile->correlation[i * count + i] - 1) <= 1e-6;
		for (size_t k = 0; k < i; k++)
			good = good && fabs(profile->correlation[i * count + k] -
			                    profile->correlation[k * count + i]) <= 1e-6;
		if (good)
			continue;
		json_read_refuse(reader, matrix,
		                 "a symmetric matrix with 1 along its diagonal, a row for each of "
		                 "\"order\"",
		                 "correct the matrix");
		return;
	}
}

static void read_matrix(struct json_reader *reader, const struct json_node *matrix,
                        struct profile *profile)
{
	size_t count = profile->correlation_count, before = reader->faults->count;
	if (!json_read_array(reader, matrix, count, count))
		return;
	profile->correlation =
	    arena_allocate(reader->arena, count * count * sizeof *profile->correlation);
	if (profile->correlation == NULL) {
		refusal_memory(reader->file, reader->faults);
		return;
	}
	double *row = profile->correlation;
	for (const struct json_node *item = matrix->first; item != NULL; item = item->next) {
		read_matrix_row(reader, item, count, row);
		row += count;
	}
	if (reader->faults->count == before)
		check_matrix(reader, matrix, profile);
}

void profile_read_correlation(struct json_reader *reader, const struct json_node *node,
                              struct profile *profile)
{
	static const char *const keys[] = {"order", "matrix"};
	size_t before = reader->faults->count;
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	const struct json_node *order =
	    json_read_member(reader, node, "order", JSON_REQUIRED, "a list of names");
	const struct json_node *matrix =
	    json_read_member(reader, node, "matrix", JSON_REQUIRED, "a list of lists of numbers");
	if (order == NULL ||
	    !json_read_array(reader, order, 0, CONSTANT_COUNT + profile->ball_count))
		return;
	read_order(reader, order, profile);
	if (matrix != NULL && reader->faults->count == before)
		read_matrix(reader, matrix, profile);
}
