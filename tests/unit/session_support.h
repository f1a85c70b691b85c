/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_SESSION_SUPPORT_H
#define RESTPOINT_TESTS_SESSION_SUPPORT_H

#include <stddef.h>

#include "base/fault.h"
#include "model/constants.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* Sessions for tests of the fit. Every function stops the test program, with the faults found, when
 * a file cannot be read. */

/* A path below the top of the source tree, in one of a few buffers that are used in turn. */
const char *session_support_path(const char *relative);

/* Reads a protocol, a measurement of it, and constants. */
void session_support_protocol(const char *path, struct protocol *protocol);
void session_support_measurement(const char *path, const struct protocol *protocol,
                                 struct measurement *measurement);
void session_support_constants(const char *path, struct constants *constants);

/* The protocol in a text; session_support_parse stops the program when it is refused. */
void session_support_parse(const char *json, struct protocol *protocol);

/* Prints the faults on standard error, one sentence a line. */
void session_support_print(const struct fault_list *faults);

#endif
