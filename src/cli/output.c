/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/output.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/fault.h"
#include "cli/signals.h"
#include "files/disk.h"

void output_prepare(void)
{
	for (int number = 0; number <= 2; number++) {
		if (fcntl(number, F_GETFD) == -1 && errno == EBADF &&
		    open("/dev/null", number == 0 ? O_WRONLY : O_RDONLY) != number)
			return; /* no descriptor is to be had: later errors will say so */
	}
}

static enum status output_failed(const struct messages *messages, int cause)
{
	if (cause == EPIPE)
		signals_end_by_pipe();
	messages_error(messages, STATUS_SYSTEM,
	               "standard output could not be written: %s; make room there or choose another "
	               "place",
	               strerror(cause));
	return STATUS_SYSTEM;
}

static enum status write_answer(const struct messages *messages, const struct text *answer)
{
	if (answer->failed) {
		messages_error(messages, STATUS_SYSTEM, "memory is out; close other programs");
		return STATUS_SYSTEM;
	}
	if (answer->length == 0)
		return STATUS_OK;
	if (fwrite(answer->bytes, 1, answer->length, stdout) != answer->length)
		return output_failed(messages, errno);
	if (answer->bytes[answer->length - 1] != '\n' && putc('\n', stdout) == EOF)
		return output_failed(messages, errno);
	if (fflush(stdout) != 0 || fclose(stdout) != 0)
		return output_failed(messages, errno);
	return STATUS_OK;
}

enum status output_answer(const struct messages *messages, struct text *answer)
{
	enum status status = write_answer(messages, answer);

	text_free(answer);
	return status;
}

enum status output_file(const struct messages *messages, const char *path,
                        const struct text *contents)
{
	struct fault_list faults;
	enum status status = fault_list_create(&faults);

	if (status == STATUS_OK && contents->failed)
		status = STATUS_SYSTEM;
	if (status != STATUS_OK) {
		messages_error(messages, status, "memory is out; close other programs");
		return status;
	}
	status = disk_replace(path, text_bytes(contents), contents->length, &faults);
	messages_faults(messages, &faults);
	fault_list_free(&faults);
	return status;
}

bool output_same_file(const char *first, const char *second)
{
	struct stat a, b;

	return stat(first, &a) == 0 && stat(second, &b) == 0 && a.st_dev == b.st_dev &&
	       a.st_ino == b.st_ino;
}

/* The folder of a path, "." for a name alone; NULL when memory is out. */
static char *folder_of(const char *path)
{
	const char *slash = strrchr(path, '/');

	if (slash == NULL)
		return strdup(".");
	return strndup(path, slash == path ? 1 : (size_t)(slash - path));
}

enum status output_check(const struct messages *messages, const char *path)
{
	char *folder = folder_of(path);
	struct stat place;
	enum status status = STATUS_OK;

	if (folder != NULL && access(folder, W_OK | X_OK) != 0) {
		messages_error(messages, STATUS_SYSTEM,
		               "%s cannot be written: folder %s: %s; choose another place", path, folder,
		               strerror(errno));
		status = STATUS_SYSTEM;
	} else if (stat(path, &place) == 0 && S_ISDIR(place.st_mode)) {
		messages_error(messages, STATUS_SYSTEM, "%s is a folder; name a file in it", path);
		status = STATUS_SYSTEM;
	}
	free(folder);
	return status;
}
