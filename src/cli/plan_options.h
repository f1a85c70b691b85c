/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_CLI_PLAN_OPTIONS_H
#define RESTPOINT_CLI_PLAN_OPTIONS_H

#include "advise/plan.h"
#include "base/arena.h"
#include "base/fault.h"
#include "cli/command.h"

/* The options of `plan` that say what is asked, by whom, with what. */

/* Fills wants, stops, kit, minutes, strokes, spreads, candidates and seed of the request.
 * STATUS_OK, or STATUS_USAGE after a complaint. */
enum status plan_options_read(const struct invocation *invocation, struct plan_request *request);

/* Fills the session by --table and --set, in the order given; strings live in the arena. Where the
 * kit has no tape and --set says nothing else, rests are read by the diamonds alone. STATUS_OK;
 * STATUS_USAGE with faults or after a complaint; STATUS_SYSTEM. */
enum status plan_options_session(const struct invocation *invocation, struct arena *arena,
                                 struct plan_request *request, struct fault_list *faults);

/* The name of the protocol: --name, else the file's name without .json, else "plan". NULL after a
 * complaint, or when memory is out (then *status is STATUS_SYSTEM). */
const char *plan_options_name(const struct invocation *invocation, const char *output,
                              struct arena *arena, enum status *status);

#endif
