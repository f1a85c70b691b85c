/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_BASE_STATUS_H
#define RESTPOINT_BASE_STATUS_H

/* How a piece of work ended. Every function that can fail returns one; none prints, exits or
 * aborts. The values fall in four families, each with one exit status (see status_exit_code). */
enum status {
	STATUS_OK = 0,
	STATUS_USAGE,         /* the command line is wrong */
	STATUS_INPUT,         /* a file was refused; the faults say where and why */
	STATUS_UNDETERMINED,  /* the data cannot tell any constant */
	STATUS_NOT_CONVERGED, /* the fit did not reach a minimum */
	STATUS_SYSTEM,        /* the operating system refused (file, memory, terminal) */
	STATUS_INTERNAL,      /* a defect of this program */
	STATUS_INTERRUPTED    /* the person stopped it */
};

/* One word for a status, for messages and tests; never NULL. */
const char *status_name(enum status status);

/* Exit status of the program: 0 ok, 2 usage, 3 input, 4 undetermined or not converged,
 * 5 system or internal, 130 interrupted. */
int status_exit_code(enum status status);

#endif
