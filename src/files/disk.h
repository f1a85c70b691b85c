/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_DISK_H
#define RESTPOINT_FILES_DISK_H

#include <stddef.h>

#include "base/arena.h"
#include "base/fault.h"
#include "base/status.h"

/* Largest file that is read [bytes]. */
#define DISK_FILE_LIMIT ((size_t)64 * 1024 * 1024)

/* Reads a whole file into the arena (a zero byte is added behind the last). STATUS_INPUT with a
 * fault when it is missing, a folder, unreadable or too large. */
enum status disk_read(const char *path, struct arena *arena, const char **bytes, size_t *length,
                      struct fault_list *faults);

/* Replaces a file whole: a temporary file in the same folder, written, checked, fsync, given the
 * old file's mode, renamed, fsync of the folder. On failure nothing is left behind, the old file
 * is untouched, and a fault with STATUS_SYSTEM names the cause. */
enum status disk_replace(const char *path, const char *bytes, size_t length,
                         struct fault_list *faults);

/* SHA-256 of bytes as 64 hexadecimal digits and a zero. */
void disk_sha256(const char *bytes, size_t length, char out[65]);

#endif
