/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_PROTOCOL_FILE_H
#define RESTPOINT_FILES_PROTOCOL_FILE_H

#include "base/fault.h"
#include "base/status.h"
#include "base/text.h"
#include "model/protocol.h"

/* Reads a protocol (formats.md 4) from disk, strictly: an unknown key, a key twice, a wrong type
 * or a value out of range is a fault with line and column; every fault is found in one pass.
 * STATUS_OK only when there was none; else *protocol is empty. Release with protocol_free. */
enum status protocol_file_read(const char *path, struct protocol *protocol,
                               struct fault_list *faults);

/* The same from bytes in memory. */
enum status protocol_file_parse(const char *file, const char *bytes, size_t length,
                                struct protocol *protocol, struct fault_list *faults);

/* Writes a protocol as such a file (its arena, file and digest apart). What is written reads back
 * to the same: the same strings and the same doubles. It must be one that the reader accepts. */
void protocol_file_print(const struct protocol *protocol, struct text *out);

#endif
