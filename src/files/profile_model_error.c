/* SPDX-License-Identifier: GPL-3.0-or-later */

/* "model_error" in a profile: constants with what the model of the fit leaves out. */
#include "files/profile_read.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static void read_one(struct json_reader *reader, const struct json_node *node,
                     struct profile_model_error *out)
{
	static const char *const keys[] = {"standard_error", "low95", "high95", "because"};
	static const struct json_rule error = {"standard_error", JSON_REQUIRED, 0, JSON_ANY, false};
	static const struct json_rule low = {"low95", JSON_REQUIRED, -JSON_ANY, JSON_ANY, false};
	static const struct json_rule high = {"high95", JSON_REQUIRED, -JSON_ANY, JSON_ANY, false};
	bool both;
	if (!json_read_object(reader, node, keys, COUNT_OF(keys)))
		return;
	out->named = true;
	json_read_number(reader, node, &error, &out->standard_error);
	both = json_read_number(reader, node, &low, &out->low95);
	both = json_read_number(reader, node, &high, &out->high95) && both;
	if (both && out->low95 > out->high95)
		json_read_refuse(reader, json_tree_member(node, "high95"),
		                 "a number not below low95", "exchange low95 and high95");
	json_read_text(reader, node, "because", JSON_REQUIRED, false, &out->because);
}

void profile_read_model_errors(struct json_reader *reader, const struct json_node *root,
                               struct profile *profile)
{
	const struct json_node *node = json_tree_member(root, "model_error");
	const char *names[CONSTANT_COUNT];
	if (node == NULL)
		return;
	for (int id = 0; id < CONSTANT_COUNT; id++)
		names[id] = constant_prior((enum constant_id)id)->name;
	if (!json_read_object(reader, node, names, CONSTANT_COUNT))
		return;
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct json_node *member = json_tree_member(node, names[id]);
		if (member != NULL)
			read_one(reader, member, &profile->model_errors[id]);
	}
}
