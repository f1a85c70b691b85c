/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/disk.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "files/refusal.h"

#define READ_STEP ((size_t)64 * 1024)

/* Adds the fault and returns its status. */
static enum status refuse(struct fault_list *faults, enum status status, const char *path,
                          const char *what, const char *found, const char *next)
{
	struct fault fault = {
	    .status = status, .file = path, .what = what, .found = found, .next = next};
	fault_list_add(faults, &fault);
	return status;
}

static const char *advice_for_open(int error)
{
	if (error == ENOENT || error == ENOTDIR)
		return "check the spelling of the path";
	if (error == EACCES || error == EPERM)
		return "ask the owner of the file for the right to read it";
	return "check the file and try again";
}

static enum status open_file(const char *path, int *file, struct stat *about,
                             struct fault_list *faults)
{
	*file = open(path, O_RDONLY | O_CLOEXEC);
	if (*file < 0) {
		int error = errno;
		return refuse(faults, STATUS_INPUT, path, "opening", strerror(error),
		              advice_for_open(error));
	}
	if (fstat(*file, about) != 0)
		return refuse(faults, STATUS_INPUT, path, "reading", strerror(errno),
		              "check the file and try again");
	if (S_ISDIR(about->st_mode))
		return refuse(faults, STATUS_INPUT, path, "opening", "a folder",
		              "name a file inside it");
	return STATUS_OK;
}

/* Reads until the end into a growing buffer; a pipe has no size to ask for. */
static enum status read_all(int file, const char *path, struct text *content,
                            struct fault_list *faults)
{
	char step[READ_STEP];
	for (;;) {
		ssize_t count = read(file, step, sizeof step);
		if (count < 0 && errno == EINTR)
			continue;
		if (count < 0)
			return refuse(faults, STATUS_INPUT, path, "reading", strerror(errno),
			              "check the file and try again");
		if (count == 0)
			return STATUS_OK;
		if ((size_t)count > DISK_FILE_LIMIT - content->length)
			return refuse(faults, STATUS_INPUT, path, "reading", "more than 64 MiB",
			              "check that this is the file you mean");
		text_add_bytes(content, step, (size_t)count);
		if (content->failed)
			return refusal_memory(path, faults);
	}
}

enum status disk_read(const char *path, struct arena *arena, const char **bytes, size_t *length,
                      struct fault_list *faults)
{
	int file = -1;
	struct stat about;
	struct text content = {0};
	enum status status = open_file(path, &file, &about, faults);
	if (status == STATUS_OK)
		status = read_all(file, path, &content, faults);
	if (file >= 0)
		close(file);
	if (status == STATUS_OK) {
		*bytes = arena_copy(arena, text_bytes(&content), content.length);
		*length = content.length;
		if (*bytes == NULL)
			status = refusal_memory(path, faults);
	}
	text_free(&content);
	return status;
}

/* What a replacement works with. */
struct replacement {
	const char *path; /* as the person gave it, for messages */
	char *target;     /* the file itself, symbolic links followed */
	char *folder;     /* where it lies */
	char *temporary;  /* written first, then renamed to the target */
	bool exists;
	struct stat old; /* of the target, when it exists */
	struct fault_list *faults;
};

static enum status refuse_writing(const struct replacement *work, const char *found,
                                  const char *next)
{
	return refuse(work->faults, STATUS_SYSTEM, work->path, "writing", found, next);
}

static const char *advice_for_write(int error)
{
	switch (error) {
	case ENOSPC:
	case EDQUOT:
	case EFBIG:
		return "make room on the disk or choose another folder";
	case EACCES:
	case EPERM:
	case EROFS:
		return "choose a folder you may write to";
	case ENOENT:
	case ENOTDIR:
		return "check that the folder exists";
	default:
		return "check the disk or choose another folder";
	}
}

static enum status refuse_errno(const struct replacement *work, int error)
{
	return refuse_writing(work, strerror(error), advice_for_write(error));
}

/* Finds the file behind symbolic links, so that a link stays a link. */
static enum status find_target(struct replacement *work)
{
	struct stat link;
	if (lstat(work->path, &link) == 0 && S_ISLNK(link.st_mode)) {
		work->target = realpath(work->path, NULL);
		if (work->target == NULL)
			return refuse_errno(work, errno);
	} else {
		work->target = strdup(work->path);
	}
	if (work->target == NULL)
		return refuse_errno(work, ENOMEM);
	work->exists = stat(work->target, &work->old) == 0;
	if (!work->exists)
		return errno == ENOENT ? STATUS_OK : refuse_errno(work, errno);
	if (S_ISDIR(work->old.st_mode))
		return refuse_writing(work, "a folder of that name", "name a file inside it");
	if (!S_ISREG(work->old.st_mode))
		return refuse_writing(work, "a device or pipe of that name", "name a plain file");
	if (faccessat(AT_FDCWD, work->target, W_OK, AT_EACCESS) != 0)
		return refuse_writing(work, "a file that is protected against writing",
		                      "choose another name or lift the protection");
	return STATUS_OK;
}

static enum status find_folder(struct replacement *work)
{
	const char *slash = strrchr(work->target, '/');
	if (slash == NULL)
		work->folder = strdup(".");
	else if (slash == work->target)
		work->folder = strdup("/");
	else
		work->folder = strndup(work->target, (size_t)(slash - work->target));
	return work->folder != NULL ? STATUS_OK : refuse_errno(work, ENOMEM);
}

/* Creates the temporary file under a name that was free; -1 and errno on failure. */
static int create_temporary(struct replacement *work)
{
	for (unsigned number = 0; number < 1000; number++) {
		struct text name = {0};
		text_print(&name, "%s/.restpoint-%ld-%u", work->folder, (long)getpid(), number);
		if (name.failed) {
			text_free(&name);
			errno = ENOMEM;
			return -1;
		}
		int file = open(name.bytes, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
		if (file >= 0) {
			work->temporary = name.bytes;
			return file;
		}
		int error = errno;
		text_free(&name);
		errno = error;
		if (error != EEXIST)
			return -1;
	}
	return -1;
}

static bool write_all(int file, const char *bytes, size_t length)
{
	while (length > 0) {
		ssize_t count = write(file, bytes, length);
		if (count < 0 && errno == EINTR)
			continue;
		if (count < 0)
			return false;
		bytes += count;
		length -= (size_t)count;
	}
	return true;
}

/* Gives the new file the owner and the mode of the old one. Who may not give files away keeps the
 * new file as his own, as any editor does; the mode must succeed. */
static bool keep_mode(const struct replacement *work, int file)
{
	if (!work->exists)
		return true;
	struct stat now;
	if (fstat(file, &now) != 0)
		return false;
	bool other = now.st_uid != work->old.st_uid || now.st_gid != work->old.st_gid;
	if (other && fchown(file, work->old.st_uid, work->old.st_gid) != 0 && errno != EPERM)
		return false;
	return fchmod(file, work->old.st_mode & 07777) == 0;
}

/* Makes the rename last through a loss of power; some file systems cannot and say EINVAL. */
static enum status flush_folder(const struct replacement *work)
{
	int folder = open(work->folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
	if (folder < 0) /* a folder may be writable but not readable */
		return STATUS_OK;
	int error = fsync(folder) == 0 ? 0 : errno;
	close(folder);
	return error == 0 || error == EINVAL || error == ENOTSUP ? STATUS_OK
	                                                         : refuse_errno(work, error);
}

static enum status write_and_rename(struct replacement *work, const char *bytes, size_t length)
{
	int file = create_temporary(work);
	if (file < 0)
		return refuse_errno(work, errno);
	int error = 0;
	if (!write_all(file, bytes, length) || !keep_mode(work, file) || fsync(file) != 0)
		error = errno;
	if (close(file) != 0 && error == 0)
		error = errno;
	if (error == 0 && rename(work->temporary, work->target) != 0)
		error = errno;
	if (error == 0)
		return flush_folder(work);
	unlink(work->temporary);
	return refuse_errno(work, error);
}

enum status disk_replace(const char *path, const char *bytes, size_t length,
                         struct fault_list *faults)
{
	struct replacement work = {.path = path, .faults = faults};
	enum status status = find_target(&work);
	if (status == STATUS_OK)
		status = find_folder(&work);
	if (status == STATUS_OK)
		status = write_and_rename(&work, bytes, length);
	free(work.target);
	free(work.folder);
	free(work.temporary);
	return status;
}
