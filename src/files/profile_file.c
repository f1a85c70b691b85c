/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "files/profile_file.h"

#include <string.h>

#include "files/disk.h"
#include "files/profile_read.h"
#include "files/refusal.h"

enum status profile_file_parse(const char *file, const char *bytes, size_t length,
                               struct profile *profile, struct fault_list *faults)
{
	memset(profile, 0, sizeof *profile);
	profile->arena = arena_create();
	enum status status = json_read_document(file, bytes, length, profile->arena,
	                                        profile_read_root, profile, faults);
	if (status != STATUS_OK)
		profile_free(profile);
	return status;
}

enum status profile_file_read(const char *path, struct profile *profile, struct fault_list *faults)
{
	const char *bytes = NULL;
	size_t length = 0;
	memset(profile, 0, sizeof *profile);
	struct arena *content = arena_create();
	enum status status = content == NULL ? refusal_memory(path, faults)
	                                     : disk_read(path, content, &bytes, &length, faults);
	if (status == STATUS_OK)
		status = profile_file_parse(path, bytes, length, profile, faults);
	arena_free(content);
	return status;
}
