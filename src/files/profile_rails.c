/* SPDX-License-Identifier: GPL-3.0-or-later */

/* "rails" in a profile: how each rail differs from the mean of the four (formats.md 5). */
#include "files/profile_read.h"
#include "table/rail.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))
#define FACTOR_HIGHEST 10

/* 1 where it is not there. */
static void read_factor(struct json_reader *reader, const struct json_node *node, const char *key,
                        struct estimate *out)
{
	static const struct estimate_rule rule = {
	    .lowest = 0, .highest = FACTOR_HIGHEST, .open = true, .learned = true};
	const struct json_node *member = json_tree_member(node, key);
	if (member != NULL)
		profile_read_estimate(reader, member, &rule, out);
}

void profile_read_rails(struct json_reader *reader, const struct json_node *root,
                        struct profile *profile)
{
	static const char *const keys[] = {"liveliness", "grip"};
	const struct json_node *node = json_tree_member(root, "rails");
	const char *names[RAIL_COUNT];
	if (node == NULL)
		return;
	for (int i = 0; i < RAIL_COUNT; i++)
		names[i] = rail_name((enum rail)i);
	if (!json_read_object(reader, node, names, RAIL_COUNT))
		return;
	profile->has_rails = true;
	for (int i = 0; i < RAIL_COUNT; i++) {
		struct profile_rail *rail = &profile->rails.rail[i];
		const struct json_node *member = json_tree_member(node, names[i]);
		rail->liveliness = rail->grip = (struct estimate){.best = {.value = 1}};
		if (member == NULL || !json_read_object(reader, member, keys, COUNT_OF(keys)))
			continue;
		read_factor(reader, member, "liveliness", &rail->liveliness);
		read_factor(reader, member, "grip", &rail->grip);
	}
}
