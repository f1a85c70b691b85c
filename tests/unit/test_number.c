/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <locale.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/random.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static uint64_t bits_of(double value)
{
	uint64_t bits;

	memcpy(&bits, &value, sizeof bits);
	return bits;
}

/* Equal to the last bit, the sign of zero too. */
static void check_same(const char *token, double got, double wanted)
{
	ck_assert_msg(bits_of(got) == bits_of(wanted), "\"%s\": %a, wanted %a", token, got, wanted);
}

/* Texts and the same numbers as the compiler reads them, which rounds correctly. */
static const struct {
	const char *token;
	double value;
} numbers[] = {
	{"0", 0.0},
	{"-0", -0.0},
	{"-0.000e7", -0.0},
	{"007", 7.0},
	{"41.75", 41.75},
	{"-0.1", -0.1},
	{"2.675", 2.675},
	{"1e23", 1e23},
	{"8.98846567431158e307", 8.98846567431158e307},
	{"1.7976931348623157E+308", 1.7976931348623157e308},
	{"1.7976931348623158079e308", 1.7976931348623157e308},
	{"2.2250738585072011e-308", 2.2250738585072011e-308},
	{"5e-324", 5e-324},
	{"2.4703282292062328e-324", 5e-324},
	{"2.4703282292062327e-324", 0.0},
	{"1e-400", 0.0},
	{"-1e-99999999999999999999", -0.0},
	{"0e99999999999999999999", 0.0},
	{"9007199254740993", 9007199254740992.0},
	{"9007199254740993.00000000000000000000000000000000000000000000001", 9007199254740994.0},
	{"9007199254740995", 9007199254740996.0},
	{"0.000001234e+6", 1.234},
	{"123456789012345678901234567890", 123456789012345678901234567890.0},
};

START_TEST(numbers_are_read_as_the_compiler_reads_them)
{
	for (size_t i = 0; i < COUNT(numbers); i++) {
		double value = 17.0;

		ck_assert_msg(number_read(numbers[i].token, strlen(numbers[i].token), &value),
		              "\"%s\" is refused", numbers[i].token);
		check_same(numbers[i].token, value, numbers[i].value);
	}
}
END_TEST

/* RFC 8259, section 6, but for leading zeros; and finite. */
START_TEST(other_texts_are_no_numbers)
{
	static const char *const tokens[] = {
		"",     "-",    "+1",   ".5",    "5.",    "1.e3", "-.5",    "1e",   "1e+",
		"1,5",  "1 ",   " 1",   "1.2.3", "0x10",  "nan",  "inf",    "1e400", "-1e309",
		"1e5.", "--1",  "1-",   "1e5e5", "1_000", "1'0",  "\xD9\xA1", "1f",
	};

	for (size_t i = 0; i < COUNT(tokens); i++) {
		double value = 17.0;

		ck_assert_msg(!number_read(tokens[i], strlen(tokens[i]), &value),
		              "\"%s\" is accepted", tokens[i]);
		ck_assert(value == 17.0);
	}
	ck_assert(!number_read("1\0002", 3, &(double){0.0}));
}
END_TEST

/* What makes the difference stands far behind the digits that a double can hold. */
START_TEST(long_numbers_are_rounded_once)
{
	static char token[2200];
	double value;

	/* 2^53 + 1 lies midway; a 1 in the 1500th decimal lifts it. */
	strcpy(token, "9007199254740993.");
	memset(token + 17, '0', 1499);
	ck_assert(number_read(token, 17 + 1499, &value) && value == 9007199254740992.0);
	token[17 + 1499] = '1';
	ck_assert(number_read(token, 17 + 1500, &value) && value == 9007199254740994.0);
	/* 1 as a decimal point, 1500 zeros, a 1 and an exponent, and the other way round. */
	memset(token, '0', 1501);
	token[1] = '.';
	strcpy(token + 1501, "1e1500");
	ck_assert(number_read(token, strlen(token), &value) && value == 1.0);
	token[0] = '7';
	memset(token + 1, '0', 1500);
	strcpy(token + 1501, "e-1500");
	ck_assert(number_read(token, strlen(token), &value) && value == 7.0);
	/* 1000 digits 3 before the point: 1e1000 / 3. */
	memset(token, '3', 1000);
	strcpy(token + 1000, "e-1000");
	ck_assert(number_read(token, strlen(token), &value) && value == 1.0 / 3.0);
	memset(token, '3', 1000);
	ck_assert(!number_read(token, 1000, &value));
}
END_TEST

START_TEST(plain_numbers_have_no_sign_and_one_decimal_sign)
{
	static const struct {
		const char *token;
		char decimal;
		bool accepted;
		double value;
	} cases[] = {
		{"2.5", '.', true, 2.5},    {"2,5", ',', true, 2.5},   {".5", '.', true, 0.5},
		{"6.", '.', true, 6.0},     {",75", ',', true, 0.75},  {"031", '.', true, 31.0},
		{"2,5", '.', false, 0.0},   {"2.5", ',', false, 0.0},  {".", '.', false, 0.0},
		{"", '.', false, 0.0},      {"-1", '.', false, 0.0},   {"+1", '.', false, 0.0},
		{"1e3", '.', false, 0.0},   {"1.2.3", '.', false, 0.0}, {" 1", '.', false, 0.0},
		{"1,234,5", ',', false, 0.0},
	};

	for (size_t i = 0; i < COUNT(cases); i++) {
		double value = -17.0;
		bool accepted = number_read_plain(cases[i].token, strlen(cases[i].token),
		                                  cases[i].decimal, &value);

		ck_assert_msg(accepted == cases[i].accepted, "\"%s\"", cases[i].token);
		check_same(cases[i].token, value, accepted ? cases[i].value : -17.0);
	}
}
END_TEST

START_TEST(counts_stay_below_their_maximum)
{
	static const struct {
		const char *token;
		unsigned long long maximum;
		bool accepted;
		unsigned long long value;
	} cases[] = {
		{"0", 0, true, 0},
		{"1", 0, false, 0},
		{"00042", 42, true, 42},
		{"43", 42, false, 0},
		{"430", 42, false, 0},
		{"18446744073709551615", UINT64_MAX, true, UINT64_MAX},
		{"18446744073709551616", UINT64_MAX, false, 0},
		{"99999999999999999999999", UINT64_MAX, false, 0},
		{"9", 7, false, 0},
		{"", 42, false, 0},
		{"-1", 42, false, 0},
		{"1.0", 42, false, 0},
		{"7 ", 42, false, 0},
	};

	for (size_t i = 0; i < COUNT(cases); i++) {
		unsigned long long value = 4711;
		bool accepted = number_read_count(cases[i].token, strlen(cases[i].token),
		                                  cases[i].maximum, &value);

		ck_assert_msg(accepted == cases[i].accepted, "\"%s\"", cases[i].token);
		ck_assert_uint_eq(value, accepted ? cases[i].value : 4711);
	}
}
END_TEST

/* Numbers and their shortest form of 15 to 17 digits that reads back the same, computed by Python's
 * printing with 15, 16 and 17 digits. */
static const struct {
	double value;
	const char *printed;
} prints[] = {
	{0.1, "0.1"},
	{-0.0, "-0"},
	{1.0 / 3.0, "0.3333333333333333"},
	{0.1 + 0.2, "0.30000000000000004"},
	{2.0 / 3.0, "0.6666666666666666"},
	{1e22, "1e+22"},
	{123456789012345680.0, "1.2345678901234568e+17"},
	{-1.7976931348623157e308, "-1.7976931348623157e+308"},
	{5e-324, "4.94065645841247e-324"},
	{INFINITY, "null"},
	{-INFINITY, "null"},
	{NAN, "null"},
};

START_TEST(numbers_print_short)
{
	for (size_t i = 0; i < COUNT(prints); i++) {
		char out[NUMBER_SIZE];

		number_print(prints[i].value, out);
		ck_assert_str_eq(out, prints[i].printed);
	}
}
END_TEST

START_TEST(numbers_print_with_fixed_decimals)
{
	static const struct {
		double value;
		int decimals;
		const char *printed;
	} cases[] = {
		{6.8513, 2, "6.85"},      {0.125, 2, "0.12"},  {0.375, 2, "0.38"},
		{-0.004, 2, "0.00"},      {-0.0, 0, "0"},      {-0.006, 2, "-0.01"},
		{-0.4, 0, "0"},           {97.5, 0, "98"},     {3.0, 17, "3.00000000000000000"},
		{3.0, 99, "3.00000000000000000"}, {3.7, -4, "4"}, {1e300, 2, "1e+300"},
		{-12345678901234567890123.0, 9, "-1.2345678901234568e+22"},
		{NAN, 1, "null"},         {-INFINITY, 0, "null"},
	};

	for (size_t i = 0; i < COUNT(cases); i++) {
		char out[NUMBER_SIZE];

		number_print_fixed(cases[i].value, cases[i].decimals, out);
		ck_assert_str_eq(out, cases[i].printed);
	}
}
END_TEST

/* Any double at all, and doubles of ordinary size. */
START_TEST(random_numbers_read_back_to_the_last_bit)
{
	struct random_stream stream = random_start(20011, 6);

	for (int i = 0; i < 300000; i++) {
		uint64_t bits = random_bits(&stream);
		double value, back = 17.0;
		char out[NUMBER_SIZE];

		memcpy(&value, &bits, sizeof value);
		if (i % 3 == 0)
			value = random_normal(&stream);
		if (!isfinite(value))
			continue;
		number_print(value, out);
		ck_assert_msg(number_read(out, strlen(out), &back), "\"%s\" is refused", out);
		check_same(out, back, value);
		/* The C library, in the C locale, reads the same. */
		check_same(out, strtod(out, NULL), value);
	}
}
END_TEST

/* --- Under a locale with another decimal sign ---------------------------------------------- */

/* glibc 2.36 loses a few bytes in newlocale when LOCPATH is set: no leak of this program. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
	return "leak:__argz_add_sep\n";
}

/* A locale of that name, or 0; from the system, or made for this test in a folder of its own. */
static locale_t make_locale(const char *language, const char *folder)
{
	char name[64], command[512];
	locale_t made;

	snprintf(name, sizeof name, "%s.UTF-8", language);
	made = newlocale(LC_ALL_MASK, name, (locale_t)0);
	if (made != (locale_t)0)
		return made;
	snprintf(command, sizeof command, "localedef -i %s -f UTF-8 '%s/%s' >/dev/null 2>&1",
	         language, folder, name);
	if (system(command) != 0)
		return (locale_t)0;
	setenv("LOCPATH", folder, 1);
	made = newlocale(LC_ALL_MASK, name, (locale_t)0);
	unsetenv("LOCPATH");
	return made;
}

static void check_numbers(void)
{
	for (size_t i = 0; i < COUNT(numbers); i++) {
		double value, back;
		char out[NUMBER_SIZE], fixed[NUMBER_SIZE];

		ck_assert(number_read(numbers[i].token, strlen(numbers[i].token), &value));
		check_same(numbers[i].token, value, numbers[i].value);
		number_print(value, out);
		ck_assert_uint_eq(strspn(out, "0123456789.e+-"), strlen(out));
		ck_assert(number_read(out, strlen(out), &back));
		check_same(out, back, value);
		number_print_fixed(value, 3, fixed);
		ck_assert_uint_eq(strspn(fixed, "0123456789.e+-"), strlen(fixed));
	}
}

static void try_locale(const char *language, const char *folder)
{
	locale_t locale = make_locale(language, folder), before;
	char shown[32], out[NUMBER_SIZE];
	double value;

	if (locale == (locale_t)0) {
		fprintf(stderr, "no locale %s here: that part is left out\n", language);
		return;
	}
	before = uselocale(locale);
	/* The locale works: the C library itself prints no point. */
	snprintf(shown, sizeof shown, "%.1f", 2.5);
	ck_assert_ptr_null(strchr(shown, '.'));
	check_numbers();
	number_print(-2.5e-7, out);
	ck_assert_str_eq(out, "-2.5e-07");
	number_print_fixed(1234567.891, 2, out);
	ck_assert_str_eq(out, "1234567.89");
	ck_assert(!number_read("2,5", 3, &value));
	ck_assert(number_read_plain("2,5", 3, ',', &value) && value == 2.5);
	uselocale(before);
	freelocale(locale);
}

/* A comma in German, a sign of two bytes (U+066B) in Pashto. */
START_TEST(locales_change_nothing)
{
	const char *place = getenv("TMPDIR");
	char folder[256], command[300];

	snprintf(folder, sizeof folder, "%s/restpoint-locale-XXXXXX",
	         place == NULL || *place == '\0' ? "/tmp" : place);
	ck_assert_ptr_nonnull(mkdtemp(folder));
	try_locale("de_DE", folder);
	try_locale("ps_AF", folder);
	snprintf(command, sizeof command, "rm -r '%s'", folder);
	ck_assert_int_eq(system(command), 0);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("number");
	TCase *test_case = tcase_create("number");
	SRunner *runner = srunner_create(suite);
	int failed;

	suite_add_tcase(suite, test_case);
	tcase_set_timeout(test_case, 600.0); /* to make a locale takes seconds */
	tcase_add_test(test_case, numbers_are_read_as_the_compiler_reads_them);
	tcase_add_test(test_case, other_texts_are_no_numbers);
	tcase_add_test(test_case, long_numbers_are_rounded_once);
	tcase_add_test(test_case, plain_numbers_have_no_sign_and_one_decimal_sign);
	tcase_add_test(test_case, counts_stay_below_their_maximum);
	tcase_add_test(test_case, numbers_print_short);
	tcase_add_test(test_case, numbers_print_with_fixed_decimals);
	tcase_add_test(test_case, random_numbers_read_back_to_the_last_bit);
	tcase_add_test(test_case, locales_change_nothing);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
