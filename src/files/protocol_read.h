/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_PROTOCOL_READ_H
#define RESTPOINT_FILES_PROTOCOL_READ_H

#include <stdbool.h>

#include "files/json_read.h"
#include "model/protocol.h"

/* The parts of the protocol reader; only the protocol files include this. Each reads one member of
 * a shot's object into the design and adds a fault for everything that formats.md 4 refuses. */

/* A whole shot. */
void protocol_read_shot(struct json_reader *reader, const struct json_node *node,
                        struct shot_design *shot);

/* "place": where each ball lies; later parts look at which balls are present. */
void protocol_read_place(struct json_reader *reader, const struct json_node *node,
                         struct shot_design *shot);

/* "aim" */
void protocol_read_aim(struct json_reader *reader, const struct json_node *node,
                       struct shot_design *shot);

/* "launch" */
void protocol_read_launch(struct json_reader *reader, const struct json_node *node,
                          struct shot_design *shot);

/* "watch" and "measure"; the second after the first, and both after "launch". */
void protocol_read_watch(struct json_reader *reader, const struct json_node *node,
                         struct shot_design *shot);
void protocol_read_measure(struct json_reader *reader, const struct json_node *node,
                           struct shot_design *shot);

/* {"long", "short"} as two numbers; false when one is missing or refused. */
bool protocol_read_point(struct json_reader *reader, const struct json_node *node, double *along,
                         double *across);

/* A member that names a ball which the shot places; false, with a fault, otherwise. */
bool protocol_read_ball(struct json_reader *reader, const struct json_node *object, const char *key,
                        const struct shot_design *shot, enum ball_role *ball);

#endif
