/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calibration_keep.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

struct record {
	char protocol[64];
	uint64_t seed;
	size_t number;
	struct calibration_outcome outcome;
};

static bool belongs(const struct record *record, const struct calibration_wish *wish)
{
	return strncmp(record->protocol, wish->protocol, sizeof record->protocol - 1) == 0 &&
	       record->seed == wish->seed && record->number >= wish->first &&
	       record->number - wish->first < wish->sessions;
}

bool calibration_keep_read(const struct calibration_wish *wish,
                           struct calibration_outcome *outcomes, bool *known)
{
	FILE *file = fopen(wish->keep, "rb");
	struct record record;
	bool well;

	memset(known, 0, wish->sessions * sizeof *known);
	if (file == NULL)
		return errno == ENOENT;
	while (fread(&record, sizeof record, 1, file) == 1) {
		if (!belongs(&record, wish))
			continue;
		outcomes[record.number - wish->first] = record.outcome;
		known[record.number - wish->first] = true;
	}
	well = ferror(file) == 0;
	fclose(file);
	return well;
}

bool calibration_keep_append(const struct calibration_wish *wish, size_t number,
                             const struct calibration_outcome *outcome)
{
	int file = open(wish->keep, O_RDWR | O_CREAT, 0666);
	struct record record;
	bool well = false;
	off_t end;

	if (file < 0)
		return false;
	memset(&record, 0, sizeof record);
	snprintf(record.protocol, sizeof record.protocol, "%s", wish->protocol);
	record.seed = wish->seed;
	record.number = number;
	record.outcome = *outcome;
	end = lseek(file, 0, SEEK_END);
	if (end >= 0) {
		end -= end % (off_t)sizeof record;
		well = pwrite(file, &record, sizeof record, end) == (ssize_t)sizeof record;
	}
	return close(file) == 0 && well;
}
