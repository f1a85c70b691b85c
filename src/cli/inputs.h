/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_INPUTS_H
#define RESTPOINT_CLI_INPUTS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/fault.h"
#include "cli/command.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* The files that a command works on: protocols, each read once, and measurements. */

/* Protocols by their path. */
struct library {
	struct arena *arena;
	size_t count, capacity;
	struct protocol **protocols; /* each allocated for itself, so that pointers stay */
};

enum status library_create(struct library *library);
void library_free(struct library *library);

/* The protocol of that name or path (see locate_protocol for `file`), or NULL with its faults. */
const struct protocol *library_find(struct library *library, const char *name, const char *file,
                                    struct fault_list *faults);

/* Reads every installed protocol besides. One that cannot be read is passed over in silence: nobody
 * asked for it. False when memory is out. */
bool library_fill(struct library *library);

/* Measurement files with their protocols. */
struct inputs {
	struct library library;
	size_t count;
	struct measurement *measurements;
	const struct protocol **protocols;
};

/* Reads every file that the command line names (its operands), with --protocol where given; every
 * fault of every file is told. STATUS_OK only when there was none. Release with inputs_free in
 * any case. */
enum status inputs_read(const struct invocation *invocation, struct inputs *inputs);
void inputs_free(struct inputs *inputs);

#endif
