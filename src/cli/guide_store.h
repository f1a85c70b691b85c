/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_GUIDE_STORE_H
#define RESTPOINT_CLI_GUIDE_STORE_H

#include <stdbool.h>

#include "base/status.h"
#include "base/text.h"
#include "cli/inputs.h"
#include "cli/messages.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* The measurement file of a guided session on the disk: at every moment a whole, valid file. */
struct guide_store {
	const char *path;
	bool exists;      /* the file was there at the start, or was written since */
	bool unsaved;     /* the last writing failed: what is in memory is more than the file has */
	char sha256[65];  /* of the file as it was read or written last */
	struct text text; /* the same, as written last */
};

/* Reads the file where there is one, by that protocol, into *measurement; else makes an empty
 * measurement. A file that has faults or names another protocol is refused after a message, and
 * left alone.
 *   name  the protocol as a new file names it */
enum status guide_store_open(struct guide_store *store, const char *path,
                             const struct messages *messages, struct library *library,
                             const struct protocol *protocol, const char *name,
                             struct measurement *measurement);
void guide_store_free(struct guide_store *store);

/* Replaces the file whole, to the disk and back. STATUS_OK; STATUS_SYSTEM after a message, when it
 * may be tried again; STATUS_INPUT after a message when another program changed the file since: it
 * is left alone. */
enum status guide_store_save(struct guide_store *store, const struct messages *messages,
                             const struct measurement *measurement);

#endif
