/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Reading whole files and replacing them whole. */
#include <check.h>
#include <dirent.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "files/disk.h"
#include "files_support.h"

static char folder[512];
static struct arena *arena;
static struct fault_list faults;

static void setup(void)
{
	const char *base = getenv("TMPDIR");
	snprintf(folder, sizeof folder, "%s/restpoint-disk-XXXXXX", base != NULL ? base : "/tmp");
	ck_assert_ptr_nonnull(mkdtemp(folder));
	arena = arena_create();
	ck_assert_ptr_nonnull(arena);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
}

static const char *inside(const char *name)
{
	static char paths[4][1024];
	static unsigned next;
	char *path = paths[next++ % 4];
	snprintf(path, sizeof paths[0], "%s/%s", folder, name);
	return path;
}

/* Entries of the folder, `.` and `..` left out. */
static int count_entries(void)
{
	int count = 0;
	DIR *entries = opendir(folder);
	ck_assert_ptr_nonnull(entries);
	for (struct dirent *entry; (entry = readdir(entries)) != NULL;)
		count += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
	closedir(entries);
	return count;
}

static void teardown(void)
{
	DIR *entries = opendir(folder);
	ck_assert_ptr_nonnull(entries);
	for (struct dirent *entry; (entry = readdir(entries)) != NULL;)
		if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0)
			remove(inside(entry->d_name));
	closedir(entries);
	rmdir(folder);
	arena_free(arena);
	fault_list_free(&faults);
}

static void write_file(const char *path, const char *text)
{
	FILE *file = fopen(path, "wb");
	ck_assert_ptr_nonnull(file);
	ck_assert_int_ge(fputs(text, file), 0);
	ck_assert_int_eq(fclose(file), 0);
}

static void check_content(const char *path, const char *text)
{
	size_t length;
	char *bytes = support_read(path, &length);
	ck_assert_uint_eq(length, strlen(text));
	ck_assert_mem_eq(bytes, text, length);
	free(bytes);
}

static void check_said(const char *path, const char *sentence)
{
	char expected[2048];
	snprintf(expected, sizeof expected, "%s: %s\n", path, sentence);
	char *said = support_sentences(&faults, 0);
	ck_assert_str_eq(said, expected);
	free(said);
}

static mode_t mode_of(const char *path)
{
	struct stat about;
	ck_assert_int_eq(lstat(path, &about), 0);
	return about.st_mode;
}

/* --- Reading ------------------------------------------------------------------------------- */

static enum status read_file(const char *path, const char **bytes, size_t *length)
{
	return disk_read(path, arena, bytes, length, &faults);
}

START_TEST(file_is_read_to_the_last_byte)
{
	const char *bytes;
	size_t length;
	FILE *file = fopen(inside("a"), "wb");
	ck_assert_ptr_nonnull(file);
	for (int i = 0; i < 200001; i++) /* more than one read */
		putc(i * 7 % 256, file);
	ck_assert_int_eq(fclose(file), 0);
	ck_assert_int_eq(read_file(inside("a"), &bytes, &length), STATUS_OK);
	ck_assert_uint_eq(length, 200001);
	for (int i = 0; i < 200001; i++)
		ck_assert_int_eq((unsigned char)bytes[i], i * 7 % 256);
	ck_assert_int_eq(bytes[length], '\0');
	write_file(inside("empty"), "");
	ck_assert_int_eq(read_file(inside("empty"), &bytes, &length), STATUS_OK);
	ck_assert_uint_eq(length, 0);
}
END_TEST

START_TEST(pipe_is_read_to_its_end)
{
	const char *bytes;
	size_t length;
	ck_assert_int_eq(mkfifo(inside("pipe"), 0600), 0);
	pid_t child = fork();
	ck_assert_int_ge(child, 0);
	if (child == 0) {
		FILE *file = fopen(inside("pipe"), "wb");
		if (file != NULL && fputs("through a pipe", file) >= 0)
			fclose(file);
		_exit(0);
	}
	ck_assert_int_eq(read_file(inside("pipe"), &bytes, &length), STATUS_OK);
	ck_assert_str_eq(bytes, "through a pipe");
	ck_assert_int_eq(waitpid(child, NULL, 0), child);
}
END_TEST

START_TEST(missing_file_is_refused)
{
	const char *bytes;
	size_t length;
	ck_assert_int_eq(read_file(inside("none"), &bytes, &length), STATUS_INPUT);
	check_said(inside("none"),
	           "opening: found No such file or directory; check the spelling of the path.");
}
END_TEST

START_TEST(folder_is_refused)
{
	const char *bytes;
	size_t length;
	ck_assert_int_eq(read_file(folder, &bytes, &length), STATUS_INPUT);
	check_said(folder, "opening: found a folder; name a file inside it.");
}
END_TEST

START_TEST(huge_file_is_refused)
{
	const char *bytes;
	size_t length;
	write_file(inside("huge"), "x");
	ck_assert_int_eq(truncate(inside("huge"), (off_t)DISK_FILE_LIMIT), 0);
	ck_assert_int_eq(read_file(inside("huge"), &bytes, &length), STATUS_OK);
	ck_assert_uint_eq(length, DISK_FILE_LIMIT);
	ck_assert_int_eq(truncate(inside("huge"), (off_t)DISK_FILE_LIMIT + 1), 0);
	ck_assert_int_eq(read_file(inside("huge"), &bytes, &length), STATUS_INPUT);
	check_said(inside("huge"),
	           "reading: found more than 64 MiB; check that this is the file you mean.");
}
END_TEST

/* --- Replacing ----------------------------------------------------------------------------- */

static enum status replace(const char *path, const char *text)
{
	return disk_replace(path, text, strlen(text), &faults);
}

START_TEST(new_file_gets_the_usual_mode)
{
	mode_t mask = umask(027);
	ck_assert_int_eq(replace(inside("new"), "content"), STATUS_OK);
	umask(mask);
	check_content(inside("new"), "content");
	ck_assert_uint_eq(mode_of(inside("new")) & 07777, 0640);
	ck_assert_int_eq(count_entries(), 1);
}
END_TEST

START_TEST(old_file_keeps_its_mode)
{
	write_file(inside("old"), "before, and longer");
	ck_assert_int_eq(chmod(inside("old"), 0604), 0);
	ck_assert_int_eq(replace(inside("old"), "after"), STATUS_OK);
	check_content(inside("old"), "after");
	ck_assert_uint_eq(mode_of(inside("old")) & 07777, 0604);
	ck_assert_int_eq(count_entries(), 1);
}
END_TEST

START_TEST(file_of_the_working_folder_is_replaced)
{
	char before[1024];
	ck_assert_ptr_nonnull(getcwd(before, sizeof before));
	ck_assert_int_eq(chdir(folder), 0);
	ck_assert_int_eq(replace("bare", "content"), STATUS_OK);
	ck_assert_int_eq(chdir(before), 0);
	check_content(inside("bare"), "content");
}
END_TEST

START_TEST(link_stays_a_link)
{
	write_file(inside("target"), "before");
	ck_assert_int_eq(symlink("target", inside("link")), 0);
	ck_assert_int_eq(replace(inside("link"), "after"), STATUS_OK);
	ck_assert(S_ISLNK(mode_of(inside("link"))));
	check_content(inside("target"), "after");
	ck_assert_int_eq(count_entries(), 2);
}
END_TEST

START_TEST(leftover_temporary_files_do_no_harm)
{
	char name[64];
	snprintf(name, sizeof name, ".restpoint-%ld-0", (long)getpid());
	write_file(inside(name), "left by a crash");
	ck_assert_int_eq(replace(inside("new"), "content"), STATUS_OK);
	check_content(inside("new"), "content");
	check_content(inside(name), "left by a crash");
}
END_TEST

START_TEST(folder_and_device_are_not_replaced)
{
	ck_assert_int_eq(replace(folder, "x"), STATUS_SYSTEM);
	check_said(folder, "writing: found a folder of that name; name a file inside it.");
	fault_list_free(&faults);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	ck_assert_int_eq(replace("/dev/full", "x"), STATUS_SYSTEM);
	check_said("/dev/full", "writing: found a device or pipe of that name; name a plain file.");
	ck_assert(S_ISCHR(mode_of("/dev/full")));
}
END_TEST

START_TEST(missing_folder_is_refused)
{
	ck_assert_int_eq(replace(inside("none/file"), "x"), STATUS_SYSTEM);
	check_said(inside("none/file"), "writing: found No such file or directory; check that the "
	                                "folder exists.");
}
END_TEST

START_TEST(protected_file_is_not_replaced)
{
	if (geteuid() == 0)
		return; /* root may write any file */
	write_file(inside("old"), "before");
	ck_assert_int_eq(chmod(inside("old"), 0444), 0);
	ck_assert_int_eq(replace(inside("old"), "after"), STATUS_SYSTEM);
	check_said(inside("old"), "writing: found a file that is protected against writing; choose "
	                          "another name or lift the protection.");
	check_content(inside("old"), "before");
}
END_TEST

/* A limit on the size of files makes a write fail half way, as a full disk does. In a child, for
 * the limit cannot be raised again by all. */
START_TEST(failed_write_leaves_the_old_file)
{
	write_file(inside("old"), "before");
	ck_assert_int_eq(chmod(inside("old"), 0640), 0);
	pid_t child = fork();
	ck_assert_int_ge(child, 0);
	if (child == 0) {
		const struct rlimit limit = {100000, 100000};
		char *large = malloc(300000);
		if (large == NULL || setrlimit(RLIMIT_FSIZE, &limit) != 0)
			_exit(90);
		signal(SIGXFSZ, SIG_IGN);
		memset(large, 'x', 300000);
		enum status status = disk_replace(inside("old"), large, 300000, &faults);
		free(large);
		_exit(status == STATUS_SYSTEM && faults.count == 1 &&
		              strcmp(faults.items[0].found, "File too large") == 0
		          ? 0
		          : 91);
	}
	int ended;
	ck_assert_int_eq(waitpid(child, &ended, 0), child);
	ck_assert(WIFEXITED(ended));
	ck_assert_int_eq(WEXITSTATUS(ended), 0);
	check_content(inside("old"), "before");
	ck_assert_uint_eq(mode_of(inside("old")) & 07777, 0640);
	ck_assert_int_eq(count_entries(), 1);
}
END_TEST

/* Examples of FIPS 180-4 (SHA-256 of one block and of two blocks) and the empty message. */
START_TEST(digests_are_those_of_the_standard)
{
	static const char *const cases[][2] = {
	    {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
	    {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
	     "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
	    {"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
	};
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		char digest[65];
		disk_sha256(cases[i][0], strlen(cases[i][0]), digest);
		ck_assert_str_eq(digest, cases[i][1]);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("disk");
	TCase *test_case = tcase_create("disk");
	SRunner *runner = srunner_create(suite);
	suite_add_tcase(suite, test_case);
	tcase_add_checked_fixture(test_case, setup, teardown);
	tcase_add_test(test_case, file_is_read_to_the_last_byte);
	tcase_add_test(test_case, pipe_is_read_to_its_end);
	tcase_add_test(test_case, missing_file_is_refused);
	tcase_add_test(test_case, folder_is_refused);
	tcase_add_test(test_case, huge_file_is_refused);
	tcase_add_test(test_case, new_file_gets_the_usual_mode);
	tcase_add_test(test_case, old_file_keeps_its_mode);
	tcase_add_test(test_case, file_of_the_working_folder_is_replaced);
	tcase_add_test(test_case, link_stays_a_link);
	tcase_add_test(test_case, leftover_temporary_files_do_no_harm);
	tcase_add_test(test_case, folder_and_device_are_not_replaced);
	tcase_add_test(test_case, missing_folder_is_refused);
	tcase_add_test(test_case, protected_file_is_not_replaced);
	tcase_add_test(test_case, failed_write_leaves_the_old_file);
	tcase_add_test(test_case, digests_are_those_of_the_standard);
	srunner_run_all(runner, CK_NORMAL);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
