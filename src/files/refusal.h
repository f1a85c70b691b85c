/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_REFUSAL_H
#define RESTPOINT_FILES_REFUSAL_H

#include <stddef.h>

#include "base/fault.h"
#include "base/status.h"

/* Adds the fault that says memory is out; returns STATUS_SYSTEM. */
enum status refusal_memory(const char *file, struct fault_list *faults);

/* How a reading ended whose faults begin at number `first` of the list: STATUS_SYSTEM when one of
 * them is of that status or memory ran out, else STATUS_INPUT when there is one, else STATUS_OK. */
enum status refusal_status(const struct fault_list *faults, size_t first);

#endif
