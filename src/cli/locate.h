/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_LOCATE_H
#define RESTPOINT_CLI_LOCATE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/fault.h"

/* Where protocols are found. */

/* True for a path (it ends in .json or holds '/'), false for the name of an installed protocol. */
bool locate_is_path(const char *name);

/* The folder of installed protocols: $RESTPOINT_DATA/protocols where that variable is set, else
 * ../share/restpoint/protocols beside the folder of the running program where that exists, else the
 * one set when the program was built. NULL when memory is out. */
const char *locate_folder(struct arena *arena);

/* The names of the protocols in a folder (files that end in .json, without that end), sorted by
 * bytes. STATUS_OK; STATUS_SYSTEM with a fault when the folder cannot be read. */
enum status locate_names(struct arena *arena, const char *folder, const char ***names,
                         size_t *count, struct fault_list *faults);

/* The path of a protocol.
 *   name  as the person gave it
 *   file  a path is relative to the folder of this file; NULL: to the current folder
 * NULL with a fault that lists the installed ones when there is none of that name. */
const char *locate_protocol(struct arena *arena, const char *name, const char *file,
                            struct fault_list *faults);

/* "a, b, c": the installed protocols, or "none in FOLDER". NULL when memory is out. */
const char *locate_list(struct arena *arena);

#endif
