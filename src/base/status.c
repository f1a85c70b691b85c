/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/status.h"

const char *status_name(enum status status)
{
	switch (status) {
	case STATUS_OK:
		return "ok";
	case STATUS_USAGE:
		return "usage";
	case STATUS_INPUT:
		return "input";
	case STATUS_UNDETERMINED:
		return "undetermined";
	case STATUS_NOT_CONVERGED:
		return "not-converged";
	case STATUS_SYSTEM:
		return "system";
	case STATUS_INTERNAL:
		return "internal";
	case STATUS_INTERRUPTED:
		return "interrupted";
	}
	return "unknown";
}

int status_exit_code(enum status status)
{
	switch (status) {
	case STATUS_OK:
		return 0;
	case STATUS_USAGE:
		return 2;
	case STATUS_INPUT:
		return 3;
	case STATUS_UNDETERMINED:
	case STATUS_NOT_CONVERGED:
		return 4;
	case STATUS_SYSTEM:
	case STATUS_INTERNAL:
		return 5;
	case STATUS_INTERRUPTED:
		return 130;
	}
	return 5;
}
