/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/refusal.h"

enum status refusal_memory(const char *file, struct fault_list *faults)
{
	struct fault fault = {.status = STATUS_SYSTEM,
	                      .file = file,
	                      .what = "reading",
	                      .found = "no memory left",
	                      .next = "close other programs and try again"};
	fault_list_add(faults, &fault);
	return STATUS_SYSTEM;
}

enum status refusal_status(const struct fault_list *faults, size_t first)
{
	enum status status = STATUS_OK;
	if (faults->memory_out != 0)
		return STATUS_SYSTEM;
	for (size_t i = first; i < faults->count; i++) {
		if (faults->items[i].status == STATUS_SYSTEM)
			return STATUS_SYSTEM;
		status = STATUS_INPUT;
	}
	return status;
}
