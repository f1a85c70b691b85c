/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Every file of corpus/ against what a reader must say about it. The expected sentences were read
 * one by one against formats.md, sections 2 to 5, when they were added. */
#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "files_support.h"

#define NAMES_LIMIT 2000
#define EXPECTED ".expected"

static char *names[NAMES_LIMIT];
static int name_count;

static bool ends_with(const char *name, const char *ending)
{
	size_t length = strlen(name), size = strlen(ending);
	return length >= size && strcmp(name + length - size, ending) == 0;
}

static bool is_input(const char *name)
{
	return (strncmp(name, "good-", 5) == 0 || strncmp(name, "bad-", 4) == 0) &&
	       !ends_with(name, EXPECTED);
}

static int compare(const void *a, const void *b)
{
	return strcmp(*(char *const *)a, *(char *const *)b);
}

/* Fills names; false when the folder cannot be read. */
static bool list_corpus(void)
{
	DIR *folder = opendir(support_path("tests/unit/corpus"));
	if (folder == NULL)
		return false;
	for (struct dirent *entry; (entry = readdir(folder)) != NULL;)
		if (is_input(entry->d_name) && name_count < NAMES_LIMIT)
			names[name_count++] = strdup(entry->d_name);
	closedir(folder);
	qsort(names, (size_t)name_count, sizeof names[0], compare);
	return true;
}

static char *read_expected(const char *name)
{
	char expected[300];
	size_t length;
	snprintf(expected, sizeof expected, "%s" EXPECTED, name);
	char *bytes = support_corpus(expected, &length);
	char *text = calloc(length + 1, 1);
	ck_assert_ptr_nonnull(text);
	memcpy(text, bytes, length);
	free(bytes);
	return text;
}

START_TEST(file_is_read_or_refused_as_expected)
{
	const char *name = names[_i];
	bool good = strncmp(name, "good-", 5) == 0;
	struct fault_list faults;
	size_t length;
	char *bytes = support_corpus(name, &length);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	enum status status = support_parse(name, bytes, length, &faults);
	char *said = support_sentences(&faults, 0);
	char *expected = good ? strdup("") : read_expected(name);
	ck_assert_str_eq(said, expected);
	ck_assert_msg(status == (good ? STATUS_OK : STATUS_INPUT), "%s: %s", name,
	              status_name(status));
	ck_assert_msg(good || said[0] != '\0', "%s is refused without a word", name);
	free(said);
	free(expected);
	free(bytes);
	fault_list_free(&faults);
}
END_TEST

/* Every sentence tells where, what and what to do now. */
START_TEST(faults_are_complete)
{
	const char *name = names[_i];
	struct fault_list faults;
	size_t length;
	char *bytes = support_corpus(name, &length);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	support_parse(name, bytes, length, &faults);
	for (size_t i = 0; i < faults.count; i++) {
		const struct fault *fault = &faults.items[i];
		ck_assert_ptr_nonnull(fault->file);
		ck_assert_ptr_nonnull(fault->what);
		ck_assert_ptr_nonnull(fault->found);
		ck_assert_ptr_nonnull(fault->accepted);
		if (strcmp(fault->accepted, "a protocol of the corpus") == 0)
			continue; /* said by the test's own finder */
		ck_assert_ptr_nonnull(fault->next);
		ck_assert_msg(!ends_with(fault->next, "."), "%s", fault->next);
	}
	free(bytes);
	fault_list_free(&faults);
}
END_TEST

START_TEST(corpus_is_there)
{
	int good = 0, bad = 0;
	for (int i = 0; i < name_count; i++)
		*(strncmp(names[i], "good-", 5) == 0 ? &good : &bad) += 1;
	/* A corpus that was lost on the way would pass all else. */
	ck_assert_int_ge(good, 15);
	ck_assert_int_ge(bad, 150);
}
END_TEST

int main(void)
{
	if (!list_corpus()) {
		fprintf(stderr, "test_corpus: cannot read the folder tests/unit/corpus\n");
		return 99;
	}
	Suite *suite = suite_create("corpus");
	TCase *test_case = tcase_create("corpus");
	SRunner *runner = srunner_create(suite);
	suite_add_tcase(suite, test_case);
	tcase_add_test(test_case, corpus_is_there);
	tcase_add_loop_test(test_case, file_is_read_or_refused_as_expected, 0, name_count);
	tcase_add_loop_test(test_case, faults_are_complete, 0, name_count);
	srunner_run_all(runner, CK_NORMAL);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	for (int i = 0; i < name_count; i++)
		free(names[i]);
	return failed != 0;
}
