/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_SHOT_CHOICE_H
#define RESTPOINT_CLI_SHOT_CHOICE_H

#include "base/fault.h"
#include "cli/inputs.h"

/* Which shots the options --shot=FILE|NAME and --protocol=P mean. */

struct shot_choice {
	const struct protocol *protocol;
	const struct shot_design *shot; /* NULL: every shot of the protocol */
};

/* With a protocol: `shot` is the key of one of its shots, or NULL for all. Without: the path of a
 * protocol file, the name of an installed protocol, or the key of a shot of one.
 *   protocol, shot  as given; NULL where not
 * STATUS_OK; STATUS_USAGE after a message, also for a name that means several things, which are
 * listed; else a status with its faults. */
enum status shot_choice_find(const struct invocation *invocation, struct library *library,
                             const char *protocol, const char *shot, struct fault_list *faults,
                             struct shot_choice *choice);

#endif
