/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_FILES_SUPPORT_H
#define RESTPOINT_TESTS_FILES_SUPPORT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/fault.h"
#include "base/status.h"
#include "files/measurement_file.h"

/* What the tests of src/files share. Every function stops the test program, with a message, when
 * the surroundings fail it (a file of the corpus that cannot be read, no memory). */

/* Path of a file below the top of the source tree, in a buffer that lasts until the next call. */
const char *support_path(const char *relative);

/* A file of tests/unit/corpus, byte for byte in a block of its exact size, so that a read beyond
 * the end shows under the address sanitizer. Release with free. */
char *support_corpus(const char *name, size_t *length);

/* A file at any path, the same way. */
char *support_read(const char *path, size_t *length);

/* The faults from number `first` on, one sentence a line. Release with free. */
char *support_sentences(const struct fault_list *faults, size_t first);

/* A finder that looks for protocols in the corpus; it keeps the last one it found. */
struct support_finder {
	struct protocol protocol;
	char name[64];      /* of the protocol held, or "" */
	unsigned calls;     /* how often it was asked */
	bool asked_by_name; /* at the last call */
};
struct protocol_finder support_finder(struct support_finder *finder);
void support_finder_free(struct support_finder *finder);

/* Reads a file of the corpus by the kind that its name tells (see corpus/README.md); good or bad,
 * everything read is given back. */
enum status support_parse(const char *name, const char *bytes, size_t length,
                          struct fault_list *faults);

#endif
