/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Estimates in a profile: "constants", "conditions" and each ball's "grip" (formats.md 5). */
#include <string.h>

#include "files/profile_read.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* value, standard_error, low95, high95 of an estimate or of its posterior. */
static void read_interval(struct json_reader *reader, const struct json_node *node,
                          enum json_presence presence, const struct estimate_rule *range,
                          struct interval *out)
{
	struct json_rule value = {"value", JSON_REQUIRED, range->lowest, range->highest,
	                          range->open};
	struct json_rule error = {"standard_error", presence, 0, JSON_ANY, false};
	struct json_rule low = {"low95", presence, -JSON_ANY, JSON_ANY, false};
	struct json_rule high = {"high95", presence, -JSON_ANY, JSON_ANY, false};
	json_read_number(reader, node, &value, &out->value);
	json_read_number(reader, node, &error, &out->standard_error);
	bool both = json_read_number(reader, node, &low, &out->low95);
	both = json_read_number(reader, node, &high, &out->high95) && both;
	if (both && out->low95 > out->high95)
		json_read_refuse(reader, json_tree_member(node, "high95"),
		                 "a number not below low95", "exchange low95 and high95");
}

/* The state; held where it is missing and may be. */
static bool read_state(struct json_reader *reader, const struct json_node *node,
                       const struct estimate_rule *rule, enum knowledge *out)
{
	const char *words[KNOWLEDGE_COUNT];
	size_t index;
	*out = KNOWLEDGE_HELD;
	if (rule->held_by_itself && json_tree_member(node, "state") == NULL)
		return true;
	for (size_t i = 0; i < KNOWLEDGE_COUNT; i++)
		words[i] = knowledge_name((enum knowledge)i);
	if (!json_read_word(reader, node, "state", words, KNOWLEDGE_COUNT, &index))
		return false;
	*out = (enum knowledge)index;
	return true;
}

static void read_posterior(struct json_reader *reader, const struct json_node *node,
                           const struct estimate_rule *rule, struct estimate *out)
{
	static const char *const keys[] = {"value", "standard_error", "low95", "high95"};
	const struct json_node *posterior = json_tree_member(node, "posterior");
	if (posterior == NULL)
		return;
	if (out->state != KNOWLEDGE_NOT_DETERMINED)
		json_read_refuse(reader, posterior, "posterior only where state is not-determined",
		                 "remove it or correct the state");
	if (!json_read_object(reader, posterior, keys, COUNT_OF(keys)))
		return;
	out->has_posterior = true;
	read_interval(reader, posterior, JSON_REQUIRED, rule, &out->posterior);
}

void profile_read_estimate(struct json_reader *reader, const struct json_node *node,
                           const struct estimate_rule *rule, struct estimate *out)
{
	static const char *const keys[] = {"value", "standard_error", "low95",  "high95",
	                                   "state", "posterior",      "learned"};
	static const struct json_rule learned = {"learned", JSON_OPTIONAL, -10, 1, false};
	if (!json_read_object(reader, node, keys, COUNT_OF(keys) - (rule->learned ? 0 : 1)))
		return;
	bool known = read_state(reader, node, rule, &out->state);
	bool any = json_tree_member(node, "standard_error") != NULL ||
	           json_tree_member(node, "low95") != NULL ||
	           json_tree_member(node, "high95") != NULL;
	out->has_interval = any || (known && out->state != KNOWLEDGE_HELD);
	read_interval(reader, node, out->has_interval ? JSON_REQUIRED : JSON_OPTIONAL, rule,
	              &out->best);
	if (rule->learned)
		out->has_learned = json_read_number(reader, node, &learned, &out->learned);
	read_posterior(reader, node, rule, out);
}

/* The member of that key as an estimate; it must be there. */
static void read_named(struct json_reader *reader, const struct json_node *object, const char *key,
                       const struct estimate_rule *rule, struct estimate *out)
{
	const struct json_node *member =
	    json_read_member(reader, object, key, JSON_REQUIRED, "an object with the key value");
	if (member != NULL)
		profile_read_estimate(reader, member, rule, out);
}

void profile_read_constants(struct json_reader *reader, const struct json_node *node,
                            struct profile *profile)
{
	const char *names[CONSTANT_COUNT];
	for (size_t i = 0; i < CONSTANT_COUNT; i++)
		names[i] = constant_prior((enum constant_id)i)->name;
	if (!json_read_object(reader, node, names, CONSTANT_COUNT))
		return;
	for (size_t i = 0; i < CONSTANT_COUNT; i++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)i);
		struct estimate_rule rule = {
		    .lowest = prior->lowest, .highest = prior->highest, .learned = true};
		read_named(reader, node, names[i], &rule, &profile->constants[i]);
	}
}

void profile_read_conditions(struct json_reader *reader, const struct json_node *node,
                             struct profile *profile)
{
	static const struct estimate_rule rule = {.lowest = -JSON_ANY, .highest = JSON_ANY};
	const char *names[CONDITION_COUNT];
	for (size_t i = 0; i < CONDITION_COUNT; i++)
		names[i] = condition_name((enum condition_id)i);
	if (!json_read_object(reader, node, names, CONDITION_COUNT))
		return;
	for (size_t i = 0; i < CONDITION_COUNT; i++)
		read_named(reader, node, names[i], &rule, &profile->conditions[i]);
}
