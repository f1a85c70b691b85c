/* SPDX-License-Identifier: GPL-3.0-or-later */

/* JSON by RFC 8259: the tree with its places, and the writer. What is refused stands in corpus/. */
#include <check.h>
#include <float.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "base/text.h"
#include "files/json_scan.h"
#include "files/json_text.h"
#include "files/json_tree.h"
#include "files_support.h"

static struct arena *arena;
static struct fault_list faults;

static void setup(void)
{
	arena = arena_create();
	ck_assert_ptr_nonnull(arena);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
}

static void teardown(void)
{
	fault_list_free(&faults);
	arena_free(arena);
}

/* Reads a text that must be good. */
static const struct json_node *tree(const char *text)
{
	const struct json_node *root = json_tree_read("x.json", text, strlen(text), arena, &faults);
	char *said = support_sentences(&faults, 0);
	ck_assert_str_eq(said, "");
	free(said);
	ck_assert_ptr_nonnull(root);
	return root;
}

static const struct json_node *member(const struct json_node *object, const char *key)
{
	const struct json_node *found = json_tree_member(object, key);
	ck_assert_msg(found != NULL, "no member %s", key);
	return found;
}

static void check_place(const struct json_node *node, size_t line, size_t column)
{
	ck_assert_uint_eq(node->line, line);
	ck_assert_uint_eq(node->column, column);
}

START_TEST(every_kind_of_value)
{
	const struct json_node *root =
	    tree("{\"o\": {}, \"a\": [], \"s\": \"\", \"n\": -0.25e+2, \"t\": true, \"f\": false, "
	         "\"z\": null}");
	ck_assert_int_eq(root->kind, JSON_OBJECT);
	ck_assert_uint_eq(root->count, 7);
	ck_assert_int_eq(member(root, "o")->kind, JSON_OBJECT);
	ck_assert_int_eq(member(root, "a")->kind, JSON_ARRAY);
	ck_assert_int_eq(member(root, "s")->kind, JSON_STRING);
	ck_assert_str_eq(member(root, "s")->text, "");
	ck_assert(member(root, "n")->number == -25);
	ck_assert(member(root, "t")->kind == JSON_BOOLEAN && member(root, "t")->truth);
	ck_assert(member(root, "f")->kind == JSON_BOOLEAN && !member(root, "f")->truth);
	ck_assert_int_eq(member(root, "z")->kind, JSON_NULL);
	ck_assert_ptr_null(json_tree_member(root, "q"));
}
END_TEST

START_TEST(places_count_lines_and_characters)
{
	/* é, ½ and the ball (U+1F3B1) are one character each, in 2, 2 and 4 bytes. */
	const struct json_node *root =
	    tree("\xEF\xBB\xBF{ \"é½\": [7,\r\n\t\"x\\\"y\", [ ] ],\n\"🎱\" : {\"k\":\n1}}\n");
	const struct json_node *list = member(root, "é½");
	check_place(root, 1, 1);
	ck_assert_uint_eq(list->key_line, 1);
	ck_assert_uint_eq(list->key_column, 3);
	check_place(list, 1, 9);
	check_place(list->first, 1, 10);
	check_place(list->first->next, 2, 2);
	ck_assert_str_eq(list->first->next->text, "x\"y");
	ck_assert_uint_eq(list->first->next->raw_length, 6);
	check_place(list->first->next->next, 2, 10);
	ck_assert_uint_eq(list->first->next->next->index, 2);
	const struct json_node *ball = member(root, "🎱");
	ck_assert_uint_eq(ball->key_line, 3);
	ck_assert_uint_eq(ball->key_column, 1);
	check_place(ball, 3, 7);
	check_place(member(ball, "k"), 4, 1);
	ck_assert_ptr_eq(member(ball, "k")->parent, ball);
}
END_TEST

START_TEST(escapes_are_resolved)
{
	const struct json_node *root =
	    tree("[\"\\\"\\\\\\/\\b\\f\\n\\r\\t\", \"\\u00e9\\u00BD\", \"\\ud83c\\udfb1\", "
	         "\"\\uffff\"]");
	const struct json_node *item = root->first;
	ck_assert_str_eq(item->text, "\"\\/\b\f\n\r\t");
	ck_assert_str_eq(item->next->text, "é½");
	ck_assert_str_eq(item->next->next->text, "🎱");
	ck_assert_str_eq(item->next->next->next->text, "\xEF\xBF\xBF");
}
END_TEST

START_TEST(numbers_are_read_to_the_last_bit)
{
	static const struct {
		const char *text;
		double value;
	} cases[] = {
	    {"0.1", 0.1},
	    {"-0", -0.0},
	    {"2.2250738585072014e-308", DBL_MIN},
	    {"4.9406564584124654e-324", 4.9406564584124654e-324},
	    {"1.7976931348623157e308", DBL_MAX},
	    {"9007199254740993", 9007199254740992.0}, /* 2^53 + 1, ties to even */
	    {"0.1000000000000000055511151231257827021181583404541015", 0.1},
	    {"123456789012345678901234567890E-10", 12345678901234567890.123456789},
	};
	for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
		double value = tree(cases[i].text)->number;
		ck_assert_msg(memcmp(&value, &cases[i].value, sizeof value) == 0,
		              "%s reads as %.17g", cases[i].text, value);
	}
}
END_TEST

START_TEST(depth_and_length_end_at_their_limits)
{
	char deep[2 * JSON_DEPTH_LIMIT + 1], longest[JSON_NUMBER_LENGTH + 1];
	memset(deep, '[', JSON_DEPTH_LIMIT);
	memset(deep + JSON_DEPTH_LIMIT, ']', JSON_DEPTH_LIMIT);
	deep[sizeof deep - 1] = '\0';
	tree(deep);
	memset(longest, '3', JSON_NUMBER_LENGTH);
	longest[JSON_NUMBER_LENGTH] = '\0';
	ck_assert(tree(longest)->number > 3.3e59);
}
END_TEST

START_TEST(hostile_sizes_are_refused)
{
	struct text text = {0};
	text_add(&text, "[0");
	for (int i = 0; i < JSON_MARK_LIMIT; i++)
		text_add(&text, ",0");
	text_add(&text, "]");
	ck_assert(!text.failed);
	ck_assert_ptr_null(json_tree_read("x.json", text.bytes, text.length, arena, &faults));
	text_free(&text);
	text_add(&text, "{\"0\":0");
	for (int i = 1; i <= JSON_MEMBER_LIMIT; i++)
		text_print(&text, ",\"%d\":0", i);
	text_add(&text, "}");
	ck_assert(!text.failed);
	ck_assert_ptr_null(json_tree_read("y.json", text.bytes, text.length, arena, &faults));
	text_free(&text);
	char *said = support_sentences(&faults, 0);
	ck_assert_str_eq(
	    said, "x.json:1:400000: JSON: found \"0\"; accepted: at most 200000 keys and values; "
		  "check that this is the file you mean.\n"
		  "y.json:1:1: JSON: found more than 1000 keys; accepted: at most 1000 keys; "
		  "check that this is the file you mean.\n");
	free(said);
}
END_TEST

START_TEST(number_out_of_range_is_passed_over_in_silence)
{
	static const char text[] = "{\"a\": 1e999, \"b\": 2}";
	const struct json_node *root =
	    json_tree_read("x.json", text, sizeof text - 1, arena, &faults);
	ck_assert_ptr_nonnull(root);
	ck_assert_uint_eq(faults.count, 1);
	ck_assert_int_eq(member(root, "a")->kind, JSON_REFUSED);
	ck_assert(member(root, "b")->number == 2);
}
END_TEST

START_TEST(writer_nests_and_indents)
{
	struct text text = {0};
	struct json_writer writer;
	json_start(&writer, &text);
	json_open_object(&writer, NULL, false);
	json_string(&writer, "s", "a \"b\" \\ é\n\x01");
	json_open_object(&writer, "flat", true);
	json_number(&writer, "n", 0.1);
	json_open_array(&writer, "inner", false); /* flat all the same: it lies in one */
	json_count(&writer, NULL, 18446744073709551615ULL);
	json_boolean(&writer, NULL, true);
	json_close_array(&writer);
	json_close_object(&writer);
	json_open_array(&writer, "rows", false);
	json_open_array(&writer, NULL, true);
	json_number(&writer, NULL, NAN);
	json_number(&writer, NULL, -2.5);
	json_close_array(&writer);
	json_open_object(&writer, NULL, false);
	json_close_object(&writer);
	json_close_array(&writer);
	json_close_object(&writer);
	ck_assert_str_eq(text_bytes(&text),
	                 "{\n"
	                 "  \"s\": \"a \\\"b\\\" \\\\ é\\n\\u0001\",\n"
	                 "  \"flat\": { \"n\": 0.1, \"inner\": [18446744073709551615, true] },\n"
	                 "  \"rows\": [\n"
	                 "    [null, -2.5],\n"
	                 "    {}\n"
	                 "  ]\n"
	                 "}\n");
	tree(text_bytes(&text));
	text_free(&text);
}
END_TEST

START_TEST(writer_makes_utf8_of_anything)
{
	struct text text = {0};
	struct json_writer writer;
	json_start(&writer, &text);
	json_string(&writer, NULL, "\xFFpath\xC3");
	ck_assert_str_eq(tree(text_bytes(&text))->text, "\xEF\xBF\xBDpath\xEF\xBF\xBD");
	text_free(&text);
}
END_TEST

START_TEST(writer_refuses_to_nest_without_end)
{
	struct text text = {0};
	struct json_writer writer;
	json_start(&writer, &text);
	for (int i = 0; i < 40; i++)
		json_open_array(&writer, NULL, true);
	ck_assert(text.failed);
	text_free(&text);
	json_start(&writer, &text);
	json_close_array(&writer);
	ck_assert(text.failed);
	text_free(&text);
}
END_TEST

/* Any finite double, from all bit patterns. */
static double random_double(struct random_stream *stream)
{
	double value;
	do {
		uint64_t bits = 0;
		for (int i = 0; i < 4; i++)
			bits = bits << 16 | (uint64_t)(random_uniform(stream) * 65536);
		memcpy(&value, &bits, sizeof value);
	} while (!isfinite(value));
	return value;
}

START_TEST(doubles_read_back_the_same)
{
	enum { COUNT = 20000 };
	static double values[COUNT];
	struct random_stream stream = random_start(20260314, 7);
	struct text text = {0};
	struct json_writer writer;
	json_start(&writer, &text);
	json_open_array(&writer, NULL, true);
	for (int i = 0; i < COUNT; i++) {
		values[i] = random_double(&stream);
		json_number(&writer, NULL, values[i]);
	}
	json_close_array(&writer);
	const struct json_node *item = tree(text_bytes(&text))->first;
	for (int i = 0; i < COUNT; i++, item = item->next)
		ck_assert(memcmp(&item->number, &values[i], sizeof values[i]) == 0);
	text_free(&text);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("json");
	TCase *test_case = tcase_create("json");
	SRunner *runner = srunner_create(suite);
	suite_add_tcase(suite, test_case);
	tcase_add_checked_fixture(test_case, setup, teardown);
	tcase_add_test(test_case, every_kind_of_value);
	tcase_add_test(test_case, places_count_lines_and_characters);
	tcase_add_test(test_case, escapes_are_resolved);
	tcase_add_test(test_case, numbers_are_read_to_the_last_bit);
	tcase_add_test(test_case, depth_and_length_end_at_their_limits);
	tcase_add_test(test_case, hostile_sizes_are_refused);
	tcase_add_test(test_case, number_out_of_range_is_passed_over_in_silence);
	tcase_add_test(test_case, writer_nests_and_indents);
	tcase_add_test(test_case, writer_makes_utf8_of_anything);
	tcase_add_test(test_case, writer_refuses_to_nest_without_end);
	tcase_add_test(test_case, doubles_read_back_the_same);
	srunner_run_all(runner, CK_NORMAL);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
