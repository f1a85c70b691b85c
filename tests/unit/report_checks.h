/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_REPORT_CHECKS_H
#define RESTPOINT_TESTS_REPORT_CHECKS_H

#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* Compares a whole text and gives it back. */
static inline void check_text(struct text *text, const char *wanted)
{
	ck_assert(!text->failed);
	ck_assert_str_eq(text_bytes(text), wanted);
	text_free(text);
}

static inline void check_contains(const struct text *text, const char *part)
{
	ck_assert_msg(strstr(text_bytes(text), part) != NULL, "\"%s\" is not in:\n%s", part,
	              text_bytes(text));
}

/* Adds the text with every run of blanks and line ends as one blank. */
static inline void collapse(const char *bytes, struct text *out)
{
	while (*bytes != '\0') {
		size_t blanks = strspn(bytes, " \n"), word = strcspn(bytes + blanks, " \n");

		if (blanks > 0)
			text_add(out, " ");
		text_add_bytes(out, bytes + blanks, word);
		bytes += blanks + word;
	}
}

/* The same wherever the lines break. */
static inline void check_says(const struct text *text, const char *words)
{
	struct text flat = {0};

	collapse(text_bytes(text), &flat);
	check_contains(&flat, words);
	text_free(&flat);
}

static inline void check_lacks(const struct text *text, const char *part)
{
	ck_assert_msg(strstr(text_bytes(text), part) == NULL, "\"%s\" is in:\n%s", part,
	              text_bytes(text));
}

/* Every line has at most 80 columns, and none ends in a blank. */
static inline void check_columns(const struct text *text)
{
	const char *line = text_bytes(text);

	while (*line != '\0') {
		size_t length = strcspn(line, "\n");
		char copy[400];

		ck_assert_uint_lt(length, sizeof(copy));
		memcpy(copy, line, length);
		copy[length] = '\0';
		ck_assert_msg(text_columns(copy) <= 80, "more than 80 columns: %s", copy);
		ck_assert_msg(length == 0 || copy[length - 1] != ' ', "a blank ends: %s|", copy);
		line += length + (line[length] == '\n');
	}
}

/* Runs one suite; the exit status of its program. */
static inline int run_suite(Suite *suite)
{
	SRunner *runner = srunner_create(suite);
	int failed;

	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#endif
