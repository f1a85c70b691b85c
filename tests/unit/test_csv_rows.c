/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Rows and cells by RFC 4180, sections 2.1 to 2.7, with the lines counted as an editor does. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "files/csv_rows.h"
#include "files_support.h"

static struct arena *arena;
static struct fault_list faults;
static struct csv_rows rows;

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

static void read_bytes(const char *bytes, size_t length, char separator)
{
	ck_assert_int_eq(
	    csv_rows_read("x.csv", bytes, length, separator, CSV_ALL, arena, &rows, &faults),
	    STATUS_OK);
}

static void read_text(const char *text, char separator)
{
	read_bytes(text, strlen(text), separator);
}

static void check_cell(size_t row, size_t cell, const char *text, size_t line)
{
	ck_assert_uint_lt(row, rows.count);
	ck_assert_uint_lt(cell, rows.rows[row].count);
	ck_assert_str_eq(rows.rows[row].cells[cell].text, text);
	ck_assert_uint_eq(rows.rows[row].cells[cell].length, strlen(text));
	ck_assert_uint_eq(rows.rows[row].cells[cell].line, line);
}

static void check_said(const char *expected)
{
	char *said = support_sentences(&faults, 0);
	ck_assert_str_eq(said, expected);
	free(said);
}

START_TEST(cells_and_rows)
{
	read_text("aa,b b,\n,7.25,\"\"\nlast", ',');
	check_said("");
	ck_assert_uint_eq(rows.count, 3);
	ck_assert_uint_eq(rows.rows[0].count, 3);
	check_cell(0, 0, "aa", 1);
	check_cell(0, 1, "b b", 1);
	check_cell(0, 2, "", 1);
	check_cell(1, 1, "7.25", 2);
	check_cell(1, 2, "", 2);
	ck_assert_uint_eq(rows.rows[2].count, 1);
	check_cell(2, 0, "last", 3);
}
END_TEST

START_TEST(byte_order_mark_does_not_belong_to_the_first_cell)
{
	read_text("\xEF\xBB\xBFshot,try\r\nlag,1\r\n", ',');
	check_said("");
	check_cell(0, 0, "shot", 1);
	check_cell(1, 1, "1", 2);
	ck_assert_uint_eq(rows.count, 2);
}
END_TEST

START_TEST(blank_rows_are_left_out_and_counted)
{
	read_text("\n\r\na;b\n\n \t \n;;;\nc;d\n\n", ';');
	check_said("");
	ck_assert_uint_eq(rows.count, 2);
	check_cell(0, 0, "a", 3);
	check_cell(1, 1, "d", 7);
	ck_assert_uint_eq(rows.rows[1].line, 7);
}
END_TEST

START_TEST(quoted_cells_hold_anything)
{
	read_text("\"a,\"\"b\"\"\",\"two\nlines\",x\n\"  kept  \", trimmed ,\"é½\"\n", ',');
	check_said("");
	check_cell(0, 0, "a,\"b\"", 1);
	check_cell(0, 1, "two\nlines", 1);
	check_cell(0, 2, "x", 2);
	check_cell(1, 0, "  kept  ", 3);
	check_cell(1, 1, "trimmed", 3);
	check_cell(1, 2, "é½", 3);
}
END_TEST

START_TEST(blank_lines_in_a_quoted_cell_are_its_own)
{
	read_text("\"a\n\n\nb\",c\nd,e\n", ',');
	check_said("");
	ck_assert_uint_eq(rows.count, 2);
	check_cell(0, 0, "a\n\n\nb", 1);
	check_cell(0, 1, "c", 4);
	check_cell(1, 0, "d", 5);
}
END_TEST

START_TEST(tab_separates_and_empty_cells_stay)
{
	read_text("a\t\tb\n\t\tc\n", '\t');
	check_said("");
	ck_assert_uint_eq(rows.rows[0].count, 3);
	check_cell(0, 2, "b", 1);
	check_cell(1, 2, "c", 2);
}
END_TEST

START_TEST(settings_are_marked)
{
	read_text("#a,1\n\"#b\",2\nc,#d\n", ',');
	check_said("");
	ck_assert(rows.rows[0].setting && rows.rows[1].setting && !rows.rows[2].setting);
}
END_TEST

START_TEST(head_ends_with_the_first_row_that_is_no_setting)
{
	const char *text = "#a,1\n\n#b,2\nshot,try\nlag,1\nlag,2\n";
	ck_assert_int_eq(
	    csv_rows_read("x.csv", text, strlen(text), ',', CSV_HEAD, arena, &rows, &faults),
	    STATUS_OK);
	ck_assert_uint_eq(rows.count, 3);
	check_cell(2, 1, "try", 4);
}
END_TEST

#define QUOTE_ADVICE                                                                               \
	"accepted: a cell in double quotes as a whole, with \"\" for each double quote in it; "    \
	"put "                                                                                     \
	"the whole cell in double quotes, or remove them.\n"

START_TEST(wrong_quotes_spoil_their_row_alone)
{
	read_text("a,b\nc,d\"d\ne,\"f\"f,g\nh,i\n", ',');
	check_said("x.csv:2:2: CSV: found a double quote inside a cell, or text behind a quoted "
	           "cell; " QUOTE_ADVICE "x.csv:3:2: CSV: found a double quote inside a cell, or "
	                                 "text behind a quoted cell; " QUOTE_ADVICE);
	ck_assert_uint_eq(rows.count, 4);
	ck_assert(rows.rows[1].broken && rows.rows[2].broken);
	ck_assert(!rows.rows[0].broken && !rows.rows[3].broken);
	check_cell(3, 1, "i", 4);
}
END_TEST

START_TEST(open_quote_hides_no_line)
{
	read_text("a,b\n#c,\"open\nd,e\n\n\"f\",g", ',');
	check_said("x.csv:2:2: CSV: found a quoted cell that is not closed; " QUOTE_ADVICE);
	ck_assert_uint_eq(rows.count, 4);
	ck_assert(rows.rows[1].broken && rows.rows[1].setting);
	check_cell(2, 0, "d", 3);
	check_cell(3, 0, "f", 5);
}
END_TEST

START_TEST(open_quote_at_the_very_end)
{
	read_text("a,b\nc,\"", ',');
	check_said("x.csv:2:2: CSV: found a quoted cell that is not closed; " QUOTE_ADVICE);
	ck_assert_uint_eq(rows.count, 2);
}
END_TEST

START_TEST(carriage_return_alone_is_refused_once)
{
	read_text("a,b\rc,d\re,f\n", ',');
	check_said(
	    "x.csv:1: CSV: found a line that ends with CR alone; accepted: LF or CR LF; save "
	    "the file again with the line ends of your system.\n");
	check_cell(2, 1, "f", 3);
}
END_TEST

START_TEST(bad_characters_are_refused_by_cell)
{
	static const char text[] = "a,b\xBD,\0c\nd,\xC3\xA9,\x1B[2J\n";
	read_bytes(text, sizeof text - 1, ',');
	check_said(
	    "x.csv:1:2: CSV: found bytes that are not UTF-8 in \"b?\"; accepted: UTF-8 text; "
	    "save the file as CSV UTF-8 from the spreadsheet.\n"
	    "x.csv:1:3: CSV: found a control character in \"?c\"; accepted: UTF-8 text; remove "
	    "the character (shown as ?).\n"
	    "x.csv:2:3: CSV: found a control character in \"?[2J\"; accepted: UTF-8 text; "
	    "remove the character (shown as ?).\n");
	ck_assert(!rows.rows[0].cells[0].refused && rows.rows[0].cells[1].refused);
	ck_assert(!rows.rows[1].cells[1].refused && rows.rows[1].cells[2].refused);
}
END_TEST

START_TEST(rows_beyond_the_limits_are_refused)
{
	struct text text = {0};
	for (int i = 0; i < CSV_CELL_LIMIT; i++)
		text_add(&text, "1,");
	text_add(&text, "\nlast\n");
	ck_assert(!text.failed);
	read_bytes(text.bytes, text.length, ',');
	check_said(
	    "x.csv:1: CSV: found more than 1000 cells in a row; accepted: at most 1000; check "
	    "that this is the file you mean.\n");
	ck_assert(rows.rows[0].broken && !rows.rows[1].broken);
	text_free(&text);
	for (int i = 0; i <= CSV_ROW_LIMIT + 5; i++)
		text_add(&text, "x\n");
	ck_assert(!text.failed);
	size_t before = faults.count;
	read_bytes(text.bytes, text.length, ',');
	char *said = support_sentences(&faults, before);
	ck_assert_str_eq(said, "x.csv:100001: CSV: found more than 100000 rows; accepted: at most "
	                       "100000 rows; check that this is the file you mean.\n");
	free(said);
	text_free(&text);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("csv_rows");
	TCase *test_case = tcase_create("csv_rows");
	SRunner *runner = srunner_create(suite);
	suite_add_tcase(suite, test_case);
	tcase_add_checked_fixture(test_case, setup, teardown);
	tcase_add_test(test_case, cells_and_rows);
	tcase_add_test(test_case, byte_order_mark_does_not_belong_to_the_first_cell);
	tcase_add_test(test_case, blank_rows_are_left_out_and_counted);
	tcase_add_test(test_case, quoted_cells_hold_anything);
	tcase_add_test(test_case, blank_lines_in_a_quoted_cell_are_its_own);
	tcase_add_test(test_case, tab_separates_and_empty_cells_stay);
	tcase_add_test(test_case, settings_are_marked);
	tcase_add_test(test_case, head_ends_with_the_first_row_that_is_no_setting);
	tcase_add_test(test_case, wrong_quotes_spoil_their_row_alone);
	tcase_add_test(test_case, open_quote_hides_no_line);
	tcase_add_test(test_case, open_quote_at_the_very_end);
	tcase_add_test(test_case, carriage_return_alone_is_refused_once);
	tcase_add_test(test_case, bad_characters_are_refused_by_cell);
	tcase_add_test(test_case, rows_beyond_the_limits_are_refused);
	srunner_run_all(runner, CK_NORMAL);
	int failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
