/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_TRACE_OPTION_H
#define RESTPOINT_CLI_TRACE_OPTION_H

#include "base/fault.h"
#include "cli/command.h"
#include "model/constants.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* The options --trace and --shot of simulate: shots as designed, with every path and event, in a
 * file of their own. */

enum trace_form { TRACE_CSV, TRACE_JSON, TRACE_SVG, TRACE_PNG };

struct trace_option {
	const char *path; /* NULL: no trace is wanted */
	const char *shot; /* key as given; NULL: every shot */
	enum trace_form form;
};

/* What a trace is made of, and the files that must not be lost by it (each may be NULL). */
struct trace_task {
	const struct protocol *protocol;
	const struct session *session;
	const struct constants *constants;
	const char *constants_file, *output; /* as given */
};

/* Takes both options from the command line. STATUS_OK, or STATUS_USAGE after a message. */
enum status trace_option_read(const struct invocation *invocation, struct trace_option *option);

/* Before any work: the shot is there, a drawing has one shot, the file can be written and is none
 * that is read or written besides. STATUS_OK; STATUS_USAGE or STATUS_SYSTEM after a message. */
enum status trace_option_check(const struct invocation *invocation,
                               const struct trace_option *option, const struct trace_task *task);

/* Plays, and replaces the file whole; does nothing where no trace is wanted. A shot that cannot be
 * played on the table of the session is a fault with STATUS_INPUT, and nothing is written.
 * STATUS_SYSTEM after a message, or without one when memory is out. */
enum status trace_option_write(const struct invocation *invocation,
                               const struct trace_option *option, const struct trace_task *task,
                               struct fault_list *faults);

#endif
