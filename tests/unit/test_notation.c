/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "table/notation.h"

/* Every form of formats.md 2 and of the frozen balls and rail contacts of formats.md 1, on a table
 * of 3.569 x 1.778 m, where a diamond along is 446.125 mm and one across 444.5 mm, with a ball of
 * radius 26.25 mm. Wanted values are worked out by hand from that. */

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define RADIUS 0.02625

static const struct notation_style plain = {.decimal_comma = false, .diamond_value = 1.0};
static const struct notation_style comma = {.decimal_comma = true, .diamond_value = 1.0};
static const struct notation_style tens = {.decimal_comma = false, .diamond_value = 10.0};
static const struct notation_style comma_tens = {.decimal_comma = true, .diamond_value = 10.0};

#define LONG NOTATION_REST_LONG
#define SHORT NOTATION_REST_SHORT
#define RAIL NOTATION_RAIL
#define NONE RAIL_COUNT

static bool read(const char *cell, enum notation_use use, const struct notation_style *style,
                 enum rail rail, struct notation *out, struct notation_refusal *refusal)
{
	const struct table *table = table_find_preset("snooker-12ft", 12);
	size_t length = strlen(cell);
	/* A copy of exactly that many bytes, so that a sanitiser sees a byte read too far. */
	char *copy = malloc(length + (length == 0));
	bool accepted;

	ck_assert_ptr_nonnull(copy);
	memcpy(copy, cell, length);
	accepted = notation_read(copy, length, use, style, table, RADIUS, rail, out, refusal);
	free(copy);
	return accepted;
}

/* --- Accepted numbers, which mean the same in every use ------------------------------------ */

static const struct {
	const char *cell;
	const struct notation_style *style;
	double value;
} numbers[] = {
	{"2.5", &plain, 2.5},
	{"2.5", &comma, 2.5},
	{"2,5", &comma, 2.5},
	{"2 1/2", &plain, 2.5},
	{"2-1/2", &plain, 2.5},
	{"2\xC2\xBD", &plain, 2.5},
	{"2 \xC2\xBD", &comma, 2.5},
	{"2  1/2", &plain, 2.5},
	{"2\xC2\xA0" "1/2", &plain, 2.5},
	{" \t2.5\xC2\xA0 ", &plain, 2.5},
	{"0", &plain, 0.0},
	{"4", &plain, 4.0},
	{"0.00", &plain, 0.0},
	{"3.", &plain, 3.0},
	{".875", &plain, 0.875},
	{",875", &comma, 0.875},
	{"03.14159265358979", &plain, 3.14159265358979},
	{"1/2", &plain, 0.5},
	{"1/4", &plain, 0.25},
	{"3/4", &plain, 0.75},
	{"2/4", &plain, 0.5},
	{"1/8", &plain, 0.125},
	{"3/8", &plain, 0.375},
	{"5/8", &plain, 0.625},
	{"7/8", &plain, 0.875},
	{"6/8", &plain, 0.75},
	{"3 7/8", &plain, 3.875},
	{"1-3/4", &comma, 1.75},
	{"0 1/8", &plain, 0.125},
	{"\xC2\xBC", &plain, 0.25},
	{"\xC2\xBD", &plain, 0.5},
	{"\xC2\xBE", &plain, 0.75},
	{"\xE2\x85\x9B", &plain, 0.125},
	{"\xE2\x85\x9C", &plain, 0.375},
	{"\xE2\x85\x9D", &plain, 0.625},
	{"\xE2\x85\x9E", &plain, 0.875},
	{"3\xE2\x85\x9E", &comma, 3.875},
	{"25", &tens, 2.5},
	{"0", &tens, 0.0},
	{"40", &tens, 4.0},
	{"36.25", &tens, 3.625},
	{"36,25", &comma_tens, 3.625},
};

START_TEST(numbers_are_read_in_every_use)
{
	for (size_t i = 0; i < COUNT(numbers); i++) {
		for (int use = NOTATION_REST_LONG; use <= NOTATION_PLACE_SHORT; use++) {
			struct notation out;
			struct notation_refusal refusal;

			ck_assert_msg(read(numbers[i].cell, (enum notation_use)use,
			                   numbers[i].style, NONE, &out, &refusal),
			              "\"%s\": %s", numbers[i].cell, refusal.next);
			ck_assert_int_eq(out.kind, NOTATION_NUMBER);
			ck_assert_double_eq_tol(out.value, numbers[i].value, 1e-15);
			ck_assert(!out.rail_named);
			ck_assert_int_eq(out.rail, RAIL_COUNT);
		}
	}
}
END_TEST

/* --- Accepted forms that depend on the use ------------------------------------------------- */

static const struct {
	const char *cell;
	enum notation_use use;
	const struct notation_style *style;
	enum rail designed;
	struct notation wanted;
} forms[] = {
	{"8", LONG, &plain, NONE, {NOTATION_NUMBER, 8.0, false, NONE}},
	{"80", LONG, &tens, NONE, {NOTATION_NUMBER, 8.0, false, NONE}},
	{"7.99", NOTATION_PLACE_LONG, &plain, NONE, {NOTATION_NUMBER, 7.99, false, NONE}},
	/* Lengths: metres over 0.446125 along, over 0.4445 across. */
	{"31.25in", LONG, &plain, NONE, {NOTATION_NUMBER, 1.7792098627066406, false, NONE}},
	{"31.25in", SHORT, &plain, NONE, {NOTATION_NUMBER, 1.7857142857142858, false, NONE}},
	{"31 1/4 in", SHORT, &plain, NONE, {NOTATION_NUMBER, 1.7857142857142858, false, NONE}},
	{"31\xC2\xBCin", SHORT, &tens, NONE, {NOTATION_NUMBER, 1.7857142857142858, false, NONE}},
	{"79.4cm", LONG, &plain, NONE, {NOTATION_NUMBER, 1.7797702437657607, false, NONE}},
	{"79,4 cm", LONG, &comma_tens, NONE, {NOTATION_NUMBER, 1.7797702437657607, false, NONE}},
	{"794 mm", SHORT, &plain, NONE, {NOTATION_NUMBER, 1.7862767154105737, false, NONE}},
	{"356.9cm", LONG, &plain, NONE, {NOTATION_NUMBER, 8.0, false, NONE}},
	{"70in", SHORT, &plain, NONE, {NOTATION_NUMBER, 4.0, false, NONE}},
	{"794mm", RAIL, &plain, RAIL_LEFT, {NOTATION_NUMBER, 1.7797702437657607, false, RAIL_LEFT}},
	{"794mm", RAIL, &plain, RAIL_FOOT, {NOTATION_NUMBER, 1.7862767154105737, false, RAIL_FOOT}},
	{"794mm", RAIL, &plain, NONE, {NOTATION_NUMBER, 1.7797702437657607, false, NONE}},
	/* Rail contacts. */
	{"5.6", RAIL, &plain, RAIL_RIGHT, {NOTATION_NUMBER, 5.6, false, RAIL_RIGHT}},
	{"5.6", RAIL, &plain, NONE, {NOTATION_NUMBER, 5.6, false, NONE}},
	{"3.3", RAIL, &plain, RAIL_HEAD, {NOTATION_NUMBER, 3.3, false, RAIL_HEAD}},
	{"right 5.6", RAIL, &plain, RAIL_LEFT, {NOTATION_NUMBER, 5.6, true, RAIL_RIGHT}},
	{"right 5.6", RAIL, &plain, RAIL_HEAD, {NOTATION_NUMBER, 5.6, true, RAIL_RIGHT}},
	{"left  7-7/8", RAIL, &plain, NONE, {NOTATION_NUMBER, 7.875, true, RAIL_LEFT}},
	{"foot 2,25", RAIL, &comma, RAIL_RIGHT, {NOTATION_NUMBER, 2.25, true, RAIL_FOOT}},
	{"head 1\xC2\xBD", RAIL, &plain, NONE, {NOTATION_NUMBER, 1.5, true, RAIL_HEAD}},
	{"head 79.4 cm", RAIL, &plain, RAIL_LEFT,
	 {NOTATION_NUMBER, 1.7862767154105737, true, RAIL_HEAD}},
	{"left 56", RAIL, &tens, NONE, {NOTATION_NUMBER, 5.6, true, RAIL_LEFT}},
	{"foot 40", RAIL, &tens, RAIL_LEFT, {NOTATION_NUMBER, 4.0, true, RAIL_FOOT}},
	/* Frozen: 26.25 mm is 0.0588400112 along and 0.0590551181 across. */
	{"f head", LONG, &plain, NONE, {NOTATION_FROZEN, 0.058840011207621181, true, RAIL_HEAD}},
	{"f foot", LONG, &tens, NONE, {NOTATION_FROZEN, 7.9411599887923788, true, RAIL_FOOT}},
	{"frozen left", SHORT, &plain, NONE,
	 {NOTATION_FROZEN, 0.059055118110236220, true, RAIL_LEFT}},
	{"frozen  right", SHORT, &comma, NONE,
	 {NOTATION_FROZEN, 3.9409448818897638, true, RAIL_RIGHT}},
	{" f foot ", NOTATION_PLACE_LONG, &plain, NONE,
	 {NOTATION_FROZEN, 7.9411599887923788, true, RAIL_FOOT}},
	{"f left", NOTATION_PLACE_SHORT, &plain, NONE,
	 {NOTATION_FROZEN, 0.059055118110236220, true, RAIL_LEFT}},
	/* Pocket and nothing. */
	{"pocket", LONG, &plain, NONE, {NOTATION_POCKET, 0.0, false, NONE}},
	{" pocket", SHORT, &tens, NONE, {NOTATION_POCKET, 0.0, false, NONE}},
	{"", LONG, &plain, NONE, {NOTATION_MISSING, 0.0, false, NONE}},
	{" \t \xC2\xA0", SHORT, &comma, NONE, {NOTATION_MISSING, 0.0, false, NONE}},
	{"-", RAIL, &plain, RAIL_LEFT, {NOTATION_MISSING, 0.0, false, NONE}},
	{" n/a ", RAIL, &tens, NONE, {NOTATION_MISSING, 0.0, false, NONE}},
};

START_TEST(forms_are_read_in_their_use)
{
	for (size_t i = 0; i < COUNT(forms); i++) {
		struct notation out;
		struct notation_refusal refusal;

		ck_assert_msg(read(forms[i].cell, forms[i].use, forms[i].style, forms[i].designed,
		                   &out, &refusal),
		              "\"%s\": %s", forms[i].cell, refusal.next);
		ck_assert_msg(out.kind == forms[i].wanted.kind &&
		              fabs(out.value - forms[i].wanted.value) < 1e-14 &&
		              out.rail_named == forms[i].wanted.rail_named &&
		              out.rail == forms[i].wanted.rail,
		              "\"%s\": kind %d, value %.17g, named %d, rail %d", forms[i].cell,
		              (int)out.kind, out.value, out.rail_named, (int)out.rail);
	}
}
END_TEST

/* --- Quantities without unit --------------------------------------------------------------- */

static const char quantity_accepted[] = "a number from 0 up, such as 0.25, or nothing";

static const struct {
	const char *cell;
	const struct notation_style *style;
	double value;     /* -1: missing */
	const char *next; /* NULL: accepted */
} quantities[] = {
	{"0.682", &plain, 0.682, NULL},
	{"1,046", &comma, 1.046, NULL},
	{"1.046", &comma, 1.046, NULL},
	{" 417 ", &tens, 417.0, NULL},
	{"", &plain, -1.0, NULL},
	{"-", &plain, -1.0, NULL},
	{"n/a", &comma, -1.0, NULL},
	{"1,046", &plain, 0.0, "write \"1.046\", or separate the cells of the whole file by ; or "
	                       "tab, where \"2,5\" is accepted"},
	{"-0.5", &plain, 0.0, "leave the minus out: the number cannot be below 0"},
	{"+0.5", &plain, 0.0, "leave the plus out"},
	{"5e-1", &plain, 0.0, "write the number out, without an exponent"},
	{"1/2", &plain, 0.0, "write it as a decimal number, without a fraction"},
	{"2\xC2\xBD", &plain, 0.0, "write it as a decimal number, without a fraction"},
	{"0.68 s", &plain, 0.0, "write the number alone, without a unit"},
	{"12in", &plain, 0.0, "write the number alone, without a unit"},
	{"1.Feb", &plain, 0.0, "format the column as text and type the number again: a spreadsheet "
	                       "made a date of it"},
	{"N/A", &plain, 0.0, "write it in small letters: \"n/a\""},
	{"pocket", &plain, 0.0, "write a number such as 0.25"},
	{"1:07", &plain, 0.0, "write a number such as 0.25"},
};

START_TEST(quantities_are_plain_numbers)
{
	for (size_t i = 0; i < COUNT(quantities); i++) {
		struct notation_refusal refusal;
		double value = -17.0;
		bool missing = false;
		bool accepted = notation_read_number(quantities[i].cell, strlen(quantities[i].cell),
		                                     quantities[i].style, &value, &missing,
		                                     &refusal);

		ck_assert_str_eq(refusal.accepted, quantity_accepted);
		ck_assert_str_eq(refusal.next,
		                 quantities[i].next == NULL ? "" : quantities[i].next);
		ck_assert(accepted == (quantities[i].next == NULL));
		ck_assert(missing == (quantities[i].value < 0.0));
		ck_assert(value == (accepted && !missing ? quantities[i].value : -17.0));
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("notation");
	TCase *test_case = tcase_create("notation");
	SRunner *runner = srunner_create(suite);
	int failed;

	suite_add_tcase(suite, test_case);
	tcase_add_test(test_case, numbers_are_read_in_every_use);
	tcase_add_test(test_case, forms_are_read_in_their_use);
	tcase_add_test(test_case, quantities_are_plain_numbers);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
