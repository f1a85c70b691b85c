/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/card_files.h"

#include <string.h>
#include <strings.h>

#include "cli/output.h"

bool card_files_format(const char *path, enum canvas_format *format)
{
	static const struct {
		const char *ending;
		enum canvas_format format;
	} known[] = {{".pdf", CANVAS_PDF}, {".svg", CANVAS_SVG}, {".png", CANVAS_PNG}};
	size_t length = strlen(path);

	for (size_t i = 0; i < sizeof(known) / sizeof(known[0]); i++) {
		size_t end = strlen(known[i].ending);

		if (length > end && path[length - end - 1] != '/' &&
		    strcasecmp(path + length - end, known[i].ending) == 0) {
			*format = known[i].format;
			return true;
		}
	}
	return false;
}

static int digits_of(size_t number)
{
	int digits = 1;

	for (; number >= 10; number /= 10)
		digits++;
	return digits;
}

bool card_files_name(struct arena *arena, const char *path, enum canvas_format format,
                     size_t sheets, struct card_files *files)
{
	size_t stem = strlen(path) - 4; /* every ending has four bytes */
	bool one = format == CANVAS_PDF || sheets == 1;

	files->format = format;
	files->count = one ? 1 : sheets;
	files->paths = arena_allocate(arena, files->count * sizeof *files->paths);
	if (files->paths == NULL)
		return false;
	files->paths[0] = path;
	for (size_t i = 0; i < files->count && !one; i++) {
		struct text name = {0};

		text_add_bytes(&name, path, stem);
		text_print(&name, "-%0*zu%s", digits_of(sheets), i + 1, path + stem);
		files->paths[i] =
		    name.failed ? NULL : arena_copy(arena, text_bytes(&name), name.length);
		text_free(&name);
		if (files->paths[i] == NULL)
			return false;
	}
	return true;
}

enum status card_files_write(const struct messages *messages, const struct card_set *set,
                             const struct card_files *files, bool *told)
{
	enum status status = STATUS_OK;

	for (size_t i = 0; i < files->count && status == STATUS_OK; i++) {
		struct text contents = {0};

		*told = false;
		status = files->format == CANVAS_PDF
		             ? card_print_pdf(set, &contents)
		             : card_print_sheet(set, i, files->format, &contents);
		if (status == STATUS_OK) {
			*told = true;
			status = output_file(messages, files->paths[i], &contents);
		}
		text_free(&contents);
	}
	return status;
}
