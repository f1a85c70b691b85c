/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/fault.h"
#include "base/progress.h"
#include "base/random.h"
#include "base/status.h"
#include "base/text.h"
#include "base/vector.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* --- Status: formats.md 6 ------------------------------------------------------------------ */

START_TEST(statuses_have_the_exit_codes_of_the_contract)
{
	static const struct {
		enum status status;
		int code;
	} cases[] = {
		{STATUS_OK, 0},           {STATUS_USAGE, 2},         {STATUS_INPUT, 3},
		{STATUS_UNDETERMINED, 4}, {STATUS_NOT_CONVERGED, 4}, {STATUS_SYSTEM, 5},
		{STATUS_INTERNAL, 5},     {STATUS_INTERRUPTED, 130},
	};

	for (size_t i = 0; i < COUNT(cases); i++) {
		ck_assert_int_eq(status_exit_code(cases[i].status), cases[i].code);
		for (size_t k = 0; k < i; k++)
			ck_assert_str_ne(status_name(cases[i].status),
			                 status_name(cases[k].status));
	}
}
END_TEST

/* --- Arena: the promises of its header ----------------------------------------------------- */

START_TEST(arena_gives_aligned_zeroed_separate_memory)
{
	static const size_t sizes[] = {1, 0, 7, 8, 4099, 16, 8192, 3, 100000, 24, 8191, 0, 33};
	struct arena *arena = arena_create();
	unsigned char *pieces[COUNT(sizes)];

	ck_assert_ptr_nonnull(arena);
	for (size_t i = 0; i < COUNT(sizes); i++) {
		pieces[i] = arena_allocate(arena, sizes[i]);
		ck_assert_ptr_nonnull(pieces[i]);
		ck_assert_uint_eq((uintptr_t)pieces[i] % _Alignof(max_align_t), 0);
		for (size_t k = 0; k < sizes[i]; k++)
			ck_assert_uint_eq(pieces[i][k], 0);
		for (size_t k = 0; k < i; k++)
			ck_assert_ptr_ne(pieces[i], pieces[k]);
		memset(pieces[i], (int)i + 1, sizes[i]);
	}
	for (size_t i = 0; i < COUNT(sizes); i++) {
		for (size_t k = 0; k < sizes[i]; k++)
			ck_assert_uint_eq(pieces[i][k], i + 1);
	}
	ck_assert_ptr_null(arena_allocate(arena, SIZE_MAX));
	ck_assert_ptr_null(arena_allocate(arena, SIZE_MAX - 64));
	ck_assert_ptr_null(arena_copy(arena, "", SIZE_MAX));
	arena_free(arena);
	arena_free(NULL);
}
END_TEST

START_TEST(arena_copies_formats_and_grows)
{
	struct arena *arena = arena_create();
	uint32_t *numbers = NULL;
	size_t capacity = 0;

	ck_assert_str_eq(arena_copy(arena, "draw shot", 4), "draw");
	ck_assert_str_eq(arena_copy(arena, NULL, 0), "");
	ck_assert_str_eq(arena_format(arena, "%s:%zu %06.2f", "x.csv", (size_t)417, 3.14159),
	                 "x.csv:417 003.14");
	for (size_t i = 0; i < 5000; i++) {
		numbers = arena_grow(arena, numbers, i, &capacity, sizeof *numbers);
		ck_assert_ptr_nonnull(numbers);
		ck_assert_uint_gt(capacity, i);
		numbers[i] = (uint32_t)(i * 2654435761u);
	}
	for (size_t i = 0; i < 5000; i++)
		ck_assert_uint_eq(numbers[i], (uint32_t)(i * 2654435761u));
	capacity = SIZE_MAX / 4;
	ck_assert_ptr_null(arena_grow(arena, numbers, capacity, &capacity, 8));
	ck_assert_uint_eq(capacity, SIZE_MAX / 4);
	arena_free(arena);
}
END_TEST

/* --- Text ---------------------------------------------------------------------------------- */

START_TEST(text_grows_and_counts_columns)
{
	struct text text = {0};
	char wanted[4097];

	ck_assert_str_eq(text_bytes(&text), "");
	for (int i = 0; i < 512; i++) {
		text_add(&text, "ab");
		text_add_bytes(&text, "cdX", 2);
		text_print(&text, "%04d", i);
		snprintf(wanted + 8 * i, 9, "abcd%04d", i);
	}
	ck_assert(!text.failed);
	ck_assert_uint_eq(text.length, 4096);
	ck_assert_str_eq(text_bytes(&text), wanted);
	text_free(&text);
	ck_assert_ptr_null(text.bytes);
	/* U+00BD has two bytes, U+215E three, U+1F3B1 four: one column for each. */
	ck_assert_uint_eq(text_columns("7\xC2\xBD \xE2\x85\x9E \xF0\x9F\x8E\xB1!"), 7);
	ck_assert_uint_eq(text_columns(""), 0);
}
END_TEST

START_TEST(text_remembers_that_memory_ran_out)
{
	struct text text = {0};

	text_add(&text, "kept");
	text_add_bytes(&text, "", SIZE_MAX / 2);
	ck_assert(text.failed);
	text_add(&text, "lost");
	text_print(&text, "%d", 7);
	ck_assert_str_eq(text_bytes(&text), "kept");
	text_free(&text);
	ck_assert(!text.failed);
}
END_TEST

/* --- Faults: the sentence in the header ---------------------------------------------------- */

START_TEST(faults_print_only_the_parts_that_apply)
{
	static const struct {
		struct fault fault;
		const char *sentence;
	} cases[] = {
		{{STATUS_INPUT, "a.csv", 14, 3, "half-up-table", "cue_rest_long", "\"31/2\"",
		  "0 to 8", "write \"3 1/2\""},
		 "a.csv:14:3: shot half-up-table: cue_rest_long: found \"31/2\"; accepted: 0 to 8; "
		 "write \"3 1/2\"."},
		{{STATUS_INPUT, "b.json", 7, 0, NULL, "tries", "0", NULL, "give 1 or more"},
		 "b.json:7: tries: found 0; give 1 or more."},
		{{STATUS_SYSTEM, "c.json", 0, 5, NULL, "no such file", NULL, NULL, NULL},
		 "c.json: no such file."},
		{{STATUS_INPUT, NULL, 9, 9, "lag", NULL, "nothing", NULL, NULL},
		 "shot lag: found nothing."},
		{{STATUS_USAGE, NULL, 0, 0, NULL, NULL, NULL, "fit, show", "type one"},
		 "accepted: fit, show; type one."},
		{{STATUS_USAGE, NULL, 0, 0, NULL, "--seed", NULL, "a number", NULL},
		 "--seed: accepted: a number."},
		{{STATUS_INTERNAL, NULL, 0, 0, NULL, NULL, NULL, NULL, "tell the authors"},
		 "tell the authors."},
	};

	for (size_t i = 0; i < COUNT(cases); i++) {
		struct text text = {0};

		fault_format(&cases[i].fault, &text);
		ck_assert_str_eq(text_bytes(&text), cases[i].sentence);
		text_free(&text);
	}
}
END_TEST

START_TEST(faults_are_copied_and_sorted_by_place)
{
	/* line, column and the order of adding; "x" and "y" are two files. */
	static const struct {
		const char *file;
		size_t line, column, sorted;
	} cases[] = {
		{"x", 31, 2, 5}, {"x", 4, 17, 1}, {"x", 31, 1, 3}, {"x", 4, 9, 0},
		{"x", 31, 1, 4}, {"x", 7, 0, 2},  {"y", 9, 9, 7},  {"y", 8, 77, 6},
	};
	struct fault_list list;

	ck_assert_int_eq(fault_list_create(&list), STATUS_OK);
	for (size_t i = 0; i < COUNT(cases); i++) {
		char what[8], file[2];
		struct fault fault = {.status = STATUS_INPUT, .file = file, .what = what,
		                      .line = cases[i].line, .column = cases[i].column};

		snprintf(file, sizeof file, "%s", cases[i].file);
		snprintf(what, sizeof what, "%zu", cases[i].sorted);
		fault_list_add(&list, &fault);
		memset(what, '#', sizeof what);
		memset(file, '#', sizeof file);
	}
	fault_list_sort(&list);
	ck_assert_uint_eq(list.count, COUNT(cases));
	for (size_t i = 0; i < list.count; i++) {
		ck_assert_uint_eq(strtoul(list.items[i].what, NULL, 10), i);
		ck_assert_str_eq(list.items[i].file, i < 6 ? "x" : "y");
	}
	ck_assert_int_eq(list.memory_out, 0);
	fault_list_free(&list);
	fault_list_free(&list);
}
END_TEST

/* Every length from 0 to 40 and many equal keys, against what the order must be. */
START_TEST(faults_sort_is_stable)
{
	struct random_stream stream = random_start(90210, 4);

	for (size_t count = 0; count <= 40; count++) {
		struct fault_list list;

		ck_assert_int_eq(fault_list_create(&list), STATUS_OK);
		for (size_t i = 0; i < count; i++) {
			char order[8];
			struct fault fault = {.line = random_bits(&stream) % 5,
			                      .column = random_bits(&stream) % 3,
			                      .found = order};

			snprintf(order, sizeof order, "%02zu", i);
			fault_list_add(&list, &fault);
		}
		fault_list_sort(&list);
		for (size_t i = 1; i < count; i++) {
			const struct fault *a = &list.items[i - 1], *b = &list.items[i];

			ck_assert(a->line <= b->line);
			ck_assert(a->line < b->line || a->column <= b->column);
			ck_assert(a->line < b->line || a->column < b->column ||
			          strcmp(a->found, b->found) < 0);
		}
		fault_list_free(&list);
	}
}
END_TEST

/* --- Headers without code of their own ----------------------------------------------------- */

START_TEST(vectors_follow_the_right_hand)
{
	struct vector3 a = vector3_make(3.0, -4.0, 12.0), b = vector3_make(-2.0, 7.0, 0.5);
	struct vector3 cross = vector3_cross(a, b);
	struct vector3 sum = vector3_add(a, vector3_scale(-2.0, b));
	struct vector3 same = vector3_subtract(vector3_subtract(a, b), b);

	/* By hand: a x b = (-4 0.5 - 12 7, 12 (-2) - 3 0.5, 3 7 - (-4)(-2)). */
	ck_assert(cross.x == -86.0 && cross.y == -25.5 && cross.z == 13.0);
	ck_assert(vector3_dot(a, b) == -28.0);
	ck_assert(vector3_norm(a) == 13.0 && vector3_norm_flat(a) == 5.0);
	ck_assert(sum.x == 7.0 && sum.y == -18.0 && sum.z == 11.0);
	ck_assert(sum.x == same.x && sum.y == same.y && sum.z == same.z);
}
END_TEST

static void keep_report(void *context, double fraction, const char *phase)
{
	snprintf(context, 32, "%s %.2f", phase, fraction);
}

START_TEST(progress_may_be_absent)
{
	volatile sig_atomic_t stop = 0;
	char kept[32] = "";
	struct progress progress = {.stop = &stop, .report = keep_report, .context = kept};

	ck_assert(!progress_stopped(NULL) && !progress_stopped(&(struct progress){0}));
	progress_report(NULL, 0.5, "start");
	progress_report(&(struct progress){0}, 0.5, "start");
	progress_report(&progress, 0.375, "search");
	ck_assert_str_eq(kept, "search 0.38");
	ck_assert(!progress_stopped(&progress));
	stop = 1;
	ck_assert(progress_stopped(&progress));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("base");
	TCase *test_case = tcase_create("base");
	SRunner *runner = srunner_create(suite);
	int failed;

	suite_add_tcase(suite, test_case);
	tcase_add_test(test_case, statuses_have_the_exit_codes_of_the_contract);
	tcase_add_test(test_case, arena_gives_aligned_zeroed_separate_memory);
	tcase_add_test(test_case, arena_copies_formats_and_grows);
	tcase_add_test(test_case, text_grows_and_counts_columns);
	tcase_add_test(test_case, text_remembers_that_memory_ran_out);
	tcase_add_test(test_case, faults_print_only_the_parts_that_apply);
	tcase_add_test(test_case, faults_are_copied_and_sorted_by_place);
	tcase_add_test(test_case, faults_sort_is_stable);
	tcase_add_test(test_case, vectors_follow_the_right_hand);
	tcase_add_test(test_case, progress_may_be_absent);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
