/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/protocol.h"

#include <string.h>

const struct shot_design *protocol_find_shot(const struct protocol *protocol, const char *key)
{
	for (size_t i = 0; i < protocol->shot_count; i++) {
		if (strcmp(protocol->shots[i].key, key) == 0)
			return &protocol->shots[i];
	}
	return NULL;
}

void protocol_free(struct protocol *protocol)
{
	arena_free(protocol->arena);
	*protocol = (struct protocol){0};
}
