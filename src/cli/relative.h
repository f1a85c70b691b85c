/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_RELATIVE_H
#define RESTPOINT_CLI_RELATIVE_H

#include "base/arena.h"

/* The path of an existing file as it is written inside another one, relative to that one's folder.
 *   path  from the current folder
 *   file  the file that will hold it, in an existing folder; NULL: the current folder
 * The result holds '/' or ends in .json, so that it is read as a path. NULL when memory is out or a
 * folder cannot be resolved. */
const char *relative_path(struct arena *arena, const char *path, const char *file);

#endif
