/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

/* Plays every file of the corpus of fuzz_shot.c, and every beginning of each, as any compiler builds
 * it. With arguments: those files alone, whole, e.g. what the fuzzer found. */

#define LONGEST 65536
#define LEAST_FILES 5 /* a corpus that was lost on the way would pass all else */

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static size_t read_file(const char *path, uint8_t *bytes)
{
	FILE *file = fopen(path, "rb");
	size_t length;

	if (file == NULL) {
		fprintf(stderr, "%s cannot be read\n", path);
		exit(EXIT_FAILURE);
	}
	length = fread(bytes, 1, LONGEST, file);
	fclose(file);
	return length;
}

static void play_file(const char *path, int beginnings)
{
	static uint8_t bytes[LONGEST];
	size_t length = read_file(path, bytes);

	fprintf(stderr, "%s: %zu bytes\n", path, length);
	LLVMFuzzerTestOneInput(bytes, length);
	for (size_t i = 0; beginnings && i < length; i++)
		LLVMFuzzerTestOneInput(bytes, i);
}

static int play_folder(const char *folder)
{
	DIR *entries = opendir(folder);
	struct dirent *entry;
	char path[4096];
	int files = 0;

	if (entries == NULL) {
		fprintf(stderr, "%s cannot be read\n", folder);
		return EXIT_FAILURE;
	}
	while ((entry = readdir(entries)) != NULL) {
		if (entry->d_name[0] == '.')
			continue;
		if (snprintf(path, sizeof path, "%s/%s", folder, entry->d_name) < (int)sizeof path)
			play_file(path, 1);
		files++;
	}
	closedir(entries);
	return files >= LEAST_FILES ? EXIT_SUCCESS : EXIT_FAILURE;
}

int main(int count, char **arguments)
{
	const char *top = getenv("abs_top_srcdir");
	char folder[4000];

	for (int i = 1; i < count; i++)
		play_file(arguments[i], 0);
	if (count > 1)
		return EXIT_SUCCESS;
	snprintf(folder, sizeof folder, "%s/tests/fuzz/corpus", top != NULL ? top : ".");
	return play_folder(folder);
}
