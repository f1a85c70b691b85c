/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_PROFILE_FILE_H
#define RESTPOINT_FILES_PROFILE_FILE_H

#include "base/fault.h"
#include "base/status.h"
#include "base/text.h"
#include "model/constants.h"
#include "model/profile.h"

/* Prints a profile as JSON (formats.md 5), two blanks of indent, every double so that it reads
 * back the same. */
void profile_file_print(const struct profile *profile, struct text *out);

/* Reads a profile strictly, every fault in one pass with line and column. A version larger than
 * 1 is refused by name. Release with profile_free. */
enum status profile_file_read(const char *path, struct profile *profile, struct fault_list *faults);
enum status profile_file_parse(const char *file, const char *bytes, size_t length,
                               struct profile *profile, struct fault_list *faults);

/* Reads constants for `simulate` from a file that is either an object with a number for every
 * constant, {"sliding_friction": 0.2, ...}, and for each optional term that is not 0, or a profile.
 * Each within its hard limits; a slope on which a rolling ball never stops is refused. */
enum status constants_file_read(const char *path, struct constants *constants,
                                struct fault_list *faults);
enum status constants_file_parse(const char *file, const char *bytes, size_t length,
                                 struct constants *constants, struct fault_list *faults);

#endif
