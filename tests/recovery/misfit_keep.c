/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "misfit_keep.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINE_MOST 4096
#define NAME_MOST 260

static void make_name(const struct misfit_wish *wish, char name[NAME_MOST])
{
	snprintf(name, NAME_MOST, "%.60s%s%.100s\t%s\t%llu\t%zu\t", wish->protocol,
	         wish->with[0] != '\0' ? "+" : "", wish->with, misfit_rule(wish->number)->name,
	         (unsigned long long)wish->seed, wish->session);
}

bool misfit_keep_append(const char *file, const struct misfit_wish *wish,
                        const struct misfit_outcome *outcome)
{
	FILE *stream = fopen(file, "a");
	double numbers[MISFIT_NUMBERS];
	char name[NAME_MOST];

	if (stream == NULL)
		return false;
	memcpy(numbers, outcome, sizeof numbers);
	make_name(wish, name);
	fputs(name, stream);
	for (size_t i = 0; i < MISFIT_NUMBERS; i++)
		fprintf(stream, "%.9g%c", numbers[i], i + 1 < MISFIT_NUMBERS ? '\t' : '\n');
	return fclose(stream) == 0;
}

static bool read_numbers(const char *text, struct misfit_outcome *outcome)
{
	double numbers[MISFIT_NUMBERS];
	char *end;

	if (strchr(text, '\n') == NULL)
		return false;
	for (size_t i = 0; i < MISFIT_NUMBERS; i++) {
		numbers[i] = strtod(text, &end);
		if (end == text)
			return false;
		text = end;
	}
	memcpy(outcome, numbers, sizeof numbers);
	return true;
}

bool misfit_keep_find(const char *file, const struct misfit_wish *wish,
                      struct misfit_outcome *outcome)
{
	FILE *stream = fopen(file, "r");
	char name[NAME_MOST], line[LINE_MOST];
	bool found = false;

	if (stream == NULL)
		return false;
	make_name(wish, name);
	while (!found && fgets(line, sizeof line, stream) != NULL)
		found = strncmp(line, name, strlen(name)) == 0 &&
		        read_numbers(line + strlen(name), outcome);
	fclose(stream);
	return found;
}
