/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_PROFILE_READ_H
#define RESTPOINT_FILES_PROFILE_READ_H

#include <stdbool.h>

#include "files/json_read.h"
#include "model/constant_terms.h"
#include "model/profile.h"

/* The parts of the profile reader; only the profile files include this. Each reads one member of
 * the profile's object and adds a fault for everything that formats.md 5 refuses. */

/* What an estimate of one kind may look like. */
struct estimate_rule {
	double lowest, highest; /* of the value */
	bool open;              /* `lowest` itself is refused */
	bool learned;           /* the key "learned" is known */
	bool held_by_itself; /* "state" may be missing and then means held (a reference's grip) */
};

void profile_read_estimate(struct json_reader *reader, const struct json_node *node,
                           const struct estimate_rule *rule, struct estimate *out);

/* "constants", "conditions" */
void profile_read_constants(struct json_reader *reader, const struct json_node *node,
                            struct profile *profile);
void profile_read_conditions(struct json_reader *reader, const struct json_node *node,
                             struct profile *profile);

/* The optional terms: "slope", "nap", "liveliness_with_speed" at the root; after "constants", for a slope
 * on which a ball never stops is refused. */
void profile_read_terms(struct json_reader *reader, const struct json_node *root,
                        struct profile *profile);

/* "rails" at the root, if it is there */
void profile_read_rails(struct json_reader *reader, const struct json_node *root,
                        struct profile *profile);

/* "player" at the root, if it is there */
void profile_read_players(struct json_reader *reader, const struct json_node *root,
                          struct profile *profile);

/* "model_error" at the root, if it is there */
void profile_read_model_errors(struct json_reader *reader, const struct json_node *root,
                               struct profile *profile);

/* Refuses a slope, at the node of its number, on which a rolling ball never stops. */
void profile_refuse_steep(struct json_reader *reader, const struct json_node *node,
                          const struct constants *constants);

/* The same of a nap that pushes a rolling ball on for ever. */
void profile_refuse_nap(struct json_reader *reader, const struct json_node *node,
                        const struct constants *constants);

/* "table" */
void profile_read_table(struct json_reader *reader, const struct json_node *node,
                        struct profile *profile);

/* "balls"; "correlation" after it, for it names balls */
void profile_read_balls(struct json_reader *reader, const struct json_node *node,
                        struct profile *profile);
void profile_read_correlation(struct json_reader *reader, const struct json_node *node,
                              struct profile *profile);

/* "fit", "source" */
void profile_read_fit(struct json_reader *reader, const struct json_node *node,
                      struct profile *profile);
void profile_read_sources(struct json_reader *reader, const struct json_node *node,
                          struct profile *profile);

/* A whole profile at the root of a file; model is a struct profile. */
void profile_read_root(struct json_reader *reader, const struct json_node *root, void *model);

#endif
