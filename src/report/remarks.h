/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_REMARKS_H
#define RESTPOINT_REPORT_REMARKS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/text.h"
#include "files/json_text.h"
#include "model/measurement.h"
#include "model/profile.h"
#include "model/protocol.h"

/* What an expert would say on looking at a file or a profile, each a whole sentence. The same list
 * is shown as text and as JSON. */
struct remarks {
	struct arena *arena; /* owns the sentences */
	const char **items;
	size_t count;
	size_t capacity;
	bool failed; /* memory ran out: a sentence is missing */
};

/* Starts an empty list; false when memory is out. Release with remarks_free. */
bool remarks_create(struct remarks *remarks);
void remarks_free(struct remarks *remarks);

/* Adds a sentence made by printf rules. */
void remarks_add(struct remarks *remarks, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* A table that rests on assumed numbers. */
void remarks_table(struct remarks *remarks, const struct table *table);

/* A table whose cloth has a nap, where none was fitted. */
void remarks_nap(struct remarks *remarks, const struct table *table);

/* A profile: its table, balls of which the grip was held. */
void remarks_profile(struct remarks *remarks, const struct profile *profile);

/* A measurement against its protocol: its table; shots not played or played less often than
 * designed; nothing timed; sounds without the microphone's place; side without the cue's end mass;
 * tries on different rails; rows that repeat each other; rows without a reading; several balls. */
void remarks_measurement(struct remarks *remarks, const struct measurement *measurement,
                         const struct protocol *protocol);

/* The sentences as indented text, each begun by "- ", or as an array of strings of that key. */
void remarks_print(const struct remarks *remarks, struct text *out);
void remarks_json(const struct remarks *remarks, const char *key, struct json_writer *writer);

#endif
