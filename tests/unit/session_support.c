/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "session_support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "files/measurement_file.h"
#include "files/profile_file.h"
#include "files/protocol_file.h"

#define PATHS 4
#define PATH_SIZE 4096

const char *session_support_path(const char *relative)
{
	static char paths[PATHS][PATH_SIZE];
	static int next;
	const char *top = getenv("abs_top_srcdir");
	char *path = paths[next++ % PATHS];

	if (top == NULL)
		top = getenv("top_srcdir");
	snprintf(path, PATH_SIZE, "%s/%s", top != NULL ? top : ".", relative);
	return path;
}

void session_support_print(const struct fault_list *faults)
{
	for (size_t i = 0; i < faults->count; i++) {
		struct text text = {0};

		fault_format(&faults->items[i], &text);
		fprintf(stderr, "%s\n", text_bytes(&text));
		text_free(&text);
	}
}

static void demand(enum status status, const char *what, struct fault_list *faults)
{
	if (status != STATUS_OK) {
		session_support_print(faults);
		fprintf(stderr, "%s: %s\n", what, status_name(status));
		exit(EXIT_FAILURE);
	}
	fault_list_free(faults);
}

void session_support_protocol(const char *path, struct protocol *protocol)
{
	struct fault_list faults;

	if (fault_list_create(&faults) != STATUS_OK)
		exit(EXIT_FAILURE);
	demand(protocol_file_read(path, protocol, &faults), path, &faults);
}

void session_support_parse(const char *json, struct protocol *protocol)
{
	struct fault_list faults;

	if (fault_list_create(&faults) != STATUS_OK)
		exit(EXIT_FAILURE);
	demand(protocol_file_parse("test.json", json, strlen(json), protocol, &faults), "test.json",
	       &faults);
}

static const struct protocol *find_given(void *context, const char *file, const char *name,
                                         struct fault_list *faults)
{
	(void)file;
	(void)name;
	(void)faults;
	return context;
}

void session_support_measurement(const char *path, const struct protocol *protocol,
                                 struct measurement *measurement)
{
	/* The finder hands back what it was given and writes nothing. */
	struct protocol_finder finder = {find_given, (void *)(size_t)protocol};
	const struct protocol *found;
	struct fault_list faults;

	if (fault_list_create(&faults) != STATUS_OK)
		exit(EXIT_FAILURE);
	demand(measurement_file_read(path, &finder, measurement, &found, &faults), path, &faults);
}

void session_support_constants(const char *path, struct constants *constants)
{
	struct fault_list faults;

	if (fault_list_create(&faults) != STATUS_OK)
		exit(EXIT_FAILURE);
	demand(constants_file_read(path, constants, &faults), path, &faults);
}
