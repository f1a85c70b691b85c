/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <check.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "table/notation.h"

/* Every form that formats.md 1 and 2 refuse, with the whole message. The messages are this
 * program's own; that both readings of `31/2` and of `f` are offered, and that a date is called
 * one, is in formats.md. */

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define RADIUS 0.028575

static const struct notation_style plain = {.decimal_comma = false, .diamond_value = 1.0};
static const struct notation_style comma = {.decimal_comma = true, .diamond_value = 1.0};
static const struct notation_style tens = {.decimal_comma = false, .diamond_value = 10.0};

#define LONG NOTATION_REST_LONG
#define SHORT NOTATION_REST_SHORT
#define RAIL NOTATION_RAIL
#define PLACE NOTATION_PLACE_LONG
#define ACROSS NOTATION_PLACE_SHORT
#define NONE RAIL_COUNT

#define MINUS \
	"leave the minus out: positions count up from 0 at the head nose and at the left nose"
#define DATE \
	"format the column as text and type the number again: a spreadsheet made a date of it"
#define EIGHTHS \
	"write the fraction as halves, quarters or eighths below 1 (\"2 1/2\"), or a decimal number"
#define TENS \
	"write it without a fraction: one diamond is written as 10 here, so that 2 1/2 diamonds " \
	"are \"25\""
#define OR_TENS \
	"correct it, or add the setting #diamond_value,10 if one diamond is written as 10 in the " \
	"whole file"
#define FROM_HEAD "give the distance of the ball's centre from the head nose; the foot nose is "
#define FROM_LEFT "give the distance of the ball's centre from the left nose; the right nose is "
#define POINT ", or separate the cells of the whole file by ; or tab, where \"2,5\" is accepted"
#define UNITS "write a number of diamonds, or a length in in, cm or mm such as \"31.25in\""
#define NUMBER "write a number of diamonds such as 2.5 or 2 1/2"
#define NO_RAIL "write the number without the rail; only a rail contact names one"

static const struct {
	const char *cell;
	enum notation_use use;
	const struct notation_style *style;
	enum rail designed;
	const char *next;
} refused[] = {
	/* Signs and exponents. */
	{"-2", LONG, &plain, NONE, MINUS},
	{"-2.5", SHORT, &comma, NONE, MINUS},
	{"- 1/2", RAIL, &plain, RAIL_FOOT, MINUS},
	{"-0", PLACE, &plain, NONE, MINUS},
	{"\xE2\x88\x92" "2", LONG, &tens, NONE, MINUS},
	{"right -5.6", RAIL, &plain, NONE, MINUS},
	{"\xE2\x80\x93", LONG, &plain, NONE,
	 "write \"-\" or leave the cell blank where nothing was measured"},
	{"\xE2\x80\x94", PLACE, &plain, NONE, MINUS},
	{"+2", LONG, &plain, NONE, "leave the plus out"},
	{"foot +2", RAIL, &plain, NONE, "leave the plus out"},
	{"25e-1", LONG, &plain, NONE, "write the number out, without an exponent"},
	{"2.5E0", SHORT, &plain, NONE, "write the number out, without an exponent"},
	{"2,5e+0", SHORT, &comma, NONE, "write the number out, without an exponent"},
	/* Two readings. */
	{"31/2", LONG, &plain, NONE, "write \"3 1/2\" or \"15.5\", whichever is meant"},
	{"31/2", RAIL, &comma, RAIL_LEFT, "write \"3 1/2\" or \"15.5\", whichever is meant"},
	{"27/8", ACROSS, &plain, NONE, "write \"2 7/8\" or \"3.375\", whichever is meant"},
	{"123/4in", LONG, &tens, NONE, "write \"12 3/4in\" or \"30.75in\", whichever is meant"},
	{"f", LONG, &plain, NONE, "write \"f head\" or \"f foot\", the rail it touches"},
	{"f", SHORT, &plain, NONE, "write \"f left\" or \"f right\", the rail it touches"},
	{"frozen", PLACE, &plain, NONE, "write \"f head\" or \"f foot\", the rail it touches"},
	{"f 0", ACROSS, &tens, NONE, "write \"f left\" or \"f right\", the rail it touches"},
	{"f side", SHORT, &plain, NONE, "write \"f left\" or \"f right\", the rail it touches"},
	{"f left", LONG, &plain, NONE,
	 "write \"f head\" or \"f foot\" here; \"f left\" belongs to the short coordinate"},
	{"frozen foot", ACROSS, &plain, NONE,
	 "write \"f left\" or \"f right\" here; \"f foot\" belongs to the long coordinate"},
	{"f head", RAIL, &plain, RAIL_HEAD,
	 "write where along the rail it touched, as a number; \"f\" is for a ball at rest"},
	/* Dates. */
	{"2-Jan", LONG, &plain, NONE, DATE},
	{"02-Jan", LONG, &plain, NONE, DATE},
	{"Jan-02", SHORT, &plain, NONE, DATE},
	{"2. Jan", RAIL, &comma, RAIL_LEFT, DATE},
	{"2 Jan 26", LONG, &comma, NONE, DATE},
	{"2-janv.", LONG, &comma, NONE, DATE},
	{"8-M\xC3\xA4r", LONG, &comma, NONE, DATE},
	{"Jul 08", LONG, &comma, NONE, DATE},
	{"01/02/2026", LONG, &plain, NONE, DATE},
	{"1/2/26", SHORT, &tens, NONE, DATE},
	{"01/02", LONG, &plain, NONE, DATE},
	{"2026-01-02", LONG, &plain, NONE, DATE},
	{"2026-01-02 00:00:00", RAIL, &plain, NONE, DATE},
	{"02.01.2026", LONG, &comma, NONE, DATE},
	{"foot 2-Jan", RAIL, &plain, NONE, DATE},
	/* Fractions that are none of ours. */
	{"1/3", LONG, &plain, NONE, EIGHTHS},
	{"1/16", LONG, &plain, NONE, EIGHTHS},
	{"1/10", SHORT, &plain, NONE, EIGHTHS},
	{"0/2", LONG, &plain, NONE, EIGHTHS},
	{"2 4/4", LONG, &plain, NONE, EIGHTHS},
	{"2 5/4", LONG, &plain, NONE, EIGHTHS},
	{"2.5 1/2", LONG, &plain, NONE, EIGHTHS},
	{"2 1 /2", LONG, &plain, NONE, EIGHTHS},
	{"-1/2", LONG, &plain, NONE, MINUS},
	{"2 - 1/2", LONG, &plain, NONE, EIGHTHS},
	{"2- 1/2", LONG, &plain, NONE, EIGHTHS},
	{"3/2", LONG, &plain, NONE, "write \"1.5\" if that is meant"},
	{"8/8", LONG, &plain, NONE, "write \"1\" if that is meant"},
	{"30/4", LONG, &plain, NONE, "write \"7.5\" if that is meant"},
	{"2-\xC2\xBD", LONG, &plain, NONE, NUMBER},
	{"2.5\xC2\xBD", LONG, &plain, NONE, NUMBER},
	{"2 1/2", LONG, &tens, NONE, TENS},
	{"1/2", SHORT, &tens, NONE, TENS},
	{"2\xC2\xBD", RAIL, &tens, RAIL_LEFT, TENS},
	{"31/2", LONG, &tens, NONE, TENS},
	{"right 5-5/8", RAIL, &tens, NONE, TENS},
	/* A decimal comma where the comma separates cells. */
	{"2,5", LONG, &plain, NONE, "write \"2.5\"" POINT},
	{"25,5", SHORT, &tens, NONE, "write \"25.5\"" POINT},
	{"79,4 cm", LONG, &plain, NONE, "write \"79.4 cm\"" POINT},
	{"left 5,6", RAIL, &plain, NONE, "write \"5.6\"" POINT},
	{"2,5", PLACE, &plain, NONE, "write \"2.5\", with a point"},
	/* Beyond the end. */
	{"8.01", LONG, &plain, NONE, FROM_HEAD "8"},
	{"4.01", SHORT, &plain, NONE, FROM_LEFT "4"},
	{"8 1/8", PLACE, &plain, NONE, FROM_HEAD "8"},
	{"25", PLACE, &plain, NONE, FROM_HEAD "8"},
	{"80.1", LONG, &tens, NONE, FROM_HEAD "80"},
	{"41", SHORT, &tens, NONE, FROM_LEFT "40"},
	{"25", LONG, &plain, NONE, OR_TENS},
	{"31", SHORT, &comma, NONE, OR_TENS},
	{"56", RAIL, &plain, RAIL_LEFT, OR_TENS},
	{"81", LONG, &plain, NONE, FROM_HEAD "8"},
	{"41", SHORT, &plain, NONE, FROM_LEFT "4"},
	{"8.2", RAIL, &plain, RAIL_LEFT, FROM_HEAD "8"},
	{"8.2", RAIL, &plain, NONE, FROM_HEAD "8"},
	{"8.2", RAIL, &plain, RAIL_FOOT, FROM_LEFT "4"},
	{"5.6", RAIL, &plain, RAIL_FOOT,
	 "write \"left 5.6\" or \"right 5.6\" if that rail was struck; along foot the numbers end "
	 "at 4"},
	{"56", RAIL, &tens, RAIL_HEAD,
	 "write \"left 56\" or \"right 56\" if that rail was struck; along head the numbers end at "
	 "40"},
	{"foot 5.6", RAIL, &plain, RAIL_RIGHT, FROM_LEFT "4"},
	{"left 88", RAIL, &tens, RAIL_FOOT, FROM_HEAD "80"},
	{"100.1in", LONG, &plain, NONE, FROM_HEAD "2.54 m from it"},
	{"128cm", SHORT, &tens, NONE, FROM_LEFT "1.27 m from it"},
	{"head 1271 mm", RAIL, &plain, NONE, FROM_LEFT "1.27 m from it"},
	/* Words in the wrong place. */
	{"pocket", RAIL, &plain, RAIL_LEFT,
	 "leave the cell blank and write \"pocket\" where the ball came to rest"},
	{"pocket", ACROSS, &plain, NONE, "give the place of the ball on the table"},
	{"right 5.6", LONG, &plain, NONE, NO_RAIL},
	{"head 2", ACROSS, &plain, NONE, NO_RAIL},
	{"foot", LONG, &plain, NONE, "write \"f foot\" if the ball touches that rail"},
	{"left", ACROSS, &plain, NONE, "write \"f left\" if the ball touches that rail"},
	{"left", LONG, &plain, NONE, "write a number; \"f left\" belongs to the other coordinate"},
	{"right", RAIL, &plain, NONE,
	 "write the number behind the rail, such as \"right 5.6\""},
	{"head", RAIL, &plain, RAIL_LEFT, "write the number behind the rail, such as \"head 1.5\""},
	{"foot1.5", RAIL, &plain, NONE,
	 "write the rail, a blank and the number, such as \"foot 1.5\""},
	{"5,6 right", RAIL, &comma, NONE, "write the rail before the number: \"right 5,6\""},
	{"Right 5.6", RAIL, &plain, RAIL_LEFT, "write it in small letters: \"right 5.6\""},
	{"F HEAD", LONG, &plain, NONE, "write it in small letters: \"f head\""},
	{"Pocket", SHORT, &plain, NONE, "write it in small letters: \"pocket\""},
	{"N/A", LONG, &plain, NONE, "write it in small letters: \"n/a\""},
	{"31.25IN", LONG, &plain, NONE, "write it in small letters: \"31.25in\""},
	/* Units and what is no number at all. */
	{"0.79m", LONG, &plain, NONE, UNITS},
	{"31.25\"", LONG, &plain, NONE, UNITS},
	{"2.5 diamonds", LONG, &plain, NONE, UNITS},
	{"0x2", LONG, &plain, NONE, UNITS},
	{"in", LONG, &plain, NONE, NUMBER},
	{"nan", LONG, &plain, NONE, NUMBER},
	{"fhead", LONG, &plain, NONE, NUMBER},
	{"pockets", LONG, &plain, NONE, NUMBER},
	{"--", SHORT, &plain, NONE, MINUS},
	{"2..5", LONG, &plain, NONE, NUMBER},
	{"2 5", LONG, &plain, NONE, NUMBER},
	{"1.234,5", LONG, &comma, NONE, NUMBER},
	{"~2", PLACE, &plain, NONE, NUMBER},
	{"~2", LONG, &tens, NONE, "write a number such as 25, where 10 is one diamond"},
	{"right ?", RAIL, &plain, NONE, NUMBER},
	{"\xD9\xA2", LONG, &plain, NONE, NUMBER},
};

#define LENGTHS "31.25in, 79.4cm, 794mm"

static const char *const accepted[][2] = {
	[LONG] = {"0 to 8 diamonds (2.5, 2 1/2, " LENGTHS "), \"f head\", \"f foot\", \"pocket\", "
	          "or nothing",
	          "0 to 80, ten to a diamond (or " LENGTHS "), \"f head\", \"f foot\", \"pocket\", "
	          "or nothing"},
	[SHORT] = {"0 to 4 diamonds (2.5, 2 1/2, " LENGTHS "), \"f left\", \"f right\", "
	           "\"pocket\", or nothing",
	           "0 to 40, ten to a diamond (or " LENGTHS "), \"f left\", \"f right\", "
	           "\"pocket\", or nothing"},
	[RAIL] = {"0 to 8 diamonds along left and right, 0 to 4 along head and foot (2.5, 2 1/2, "
	          LENGTHS "), with the rail's name before it or not (\"right 5.6\"), or nothing",
	          "0 to 80 along left and right, 0 to 40 along head and foot, ten to a diamond (or "
	          LENGTHS "), with the rail's name before it or not (\"right 56\"), or nothing"},
	[PLACE] = {"0 to 8 diamonds (2.5, 2 1/2, " LENGTHS "), \"f head\" or \"f foot\"",
	           "0 to 80, ten to a diamond (or " LENGTHS "), \"f head\" or \"f foot\""},
	[ACROSS] = {"0 to 4 diamonds (2.5, 2 1/2, " LENGTHS "), \"f left\" or \"f right\"",
	            "0 to 40, ten to a diamond (or " LENGTHS "), \"f left\" or \"f right\""},
};

static bool read(const char *cell, size_t length, enum notation_use use,
                 const struct notation_style *style, enum rail rail, struct notation *out,
                 struct notation_refusal *refusal)
{
	const struct table *table = table_find_preset("pool-9ft", 8);
	/* A copy of exactly that many bytes, so that a sanitiser sees a byte read too far. */
	char *copy = malloc(length + (length == 0));
	bool read;

	ck_assert_ptr_nonnull(copy);
	memcpy(copy, cell, length);
	read = notation_read(copy, length, use, style, table, RADIUS, rail, out, refusal);
	free(copy);
	return read;
}

START_TEST(refused_forms_say_what_to_do)
{
	for (size_t i = 0; i < COUNT(refused); i++) {
		bool in_tens = refused[i].style == &tens;
		struct notation out;
		struct notation_refusal refusal;

		ck_assert_msg(!read(refused[i].cell, strlen(refused[i].cell), refused[i].use,
		                    refused[i].style, refused[i].designed, &out, &refusal),
		              "\"%s\" is accepted", refused[i].cell);
		ck_assert_msg(strcmp(refusal.next, refused[i].next) == 0,
		              "\"%s\", %zu:\n  %s\nwanted:\n  %s", refused[i].cell, i, refusal.next,
		              refused[i].next);
		ck_assert_str_eq(refusal.accepted, accepted[refused[i].use][in_tens]);
	}
}
END_TEST

/* Whatever stands in a cell: what is accepted lies on the table; what is refused has a sentence
 * that is whole and has no full stop. */
static void check_outcome(const char *cell, size_t length, bool is_read, enum notation_use use,
                          const struct notation *out, const struct notation_refusal *refusal)
{
	size_t next = strlen(refusal->next);
	bool across = use == SHORT || use == ACROSS ||
	              (use == RAIL && out->rail != RAIL_COUNT && !rail_is_long(out->rail));

	if (is_read)
		ck_assert_msg(next == 0 && out->value >= 0.0 && out->value <= (across ? 4.0 : 8.0),
		              "\"%.*s\": %g", (int)length, cell, out->value);
	else
		ck_assert_msg(next > 0 && next < sizeof refusal->next - 1 &&
		              refusal->next[next - 1] != '.' && out->kind == NOTATION_MISSING,
		              "\"%.*s\": %s", (int)length, cell, refusal->next);
}

START_TEST(any_cell_is_either_read_or_explained)
{
	static const char *const parts[] = {
		"1", "2", "3", "8", "0", "25", "/", "/2", "/8", " ", ".", ",", "-", "+", "e", "E",
		"f", "f ", "head", "left", "right ", "foot", "pocket", "in", "cm", "mm", "Jan",
		"n/a", "\xC2", "\xC2\xA0", "\xC2\xBD", "\xE2\x85\x9E", "\xE2\x88\x92", "\"", "%s%n",
		"\n", "99999999", "0.0000000001", "frozen ", "\xFF",
	};
	static const struct notation_style *const styles[] = {&plain, &comma, &tens};
	struct random_stream stream = random_start(31, 2);

	for (int i = 0; i < 300000; i++) {
		enum notation_use use = (enum notation_use)(random_bits(&stream) % 5);
		enum rail rail = (enum rail)(random_bits(&stream) % 5);
		const struct notation_style *style = styles[random_bits(&stream) % 3];
		struct notation_refusal refusal;
		struct notation out;
		char cell[256] = "";
		double value;
		bool missing;

		for (uint64_t k = random_bits(&stream) % 7; k > 0; k--)
			strcat(cell, parts[random_bits(&stream) % COUNT(parts)]);
		check_outcome(cell, strlen(cell),
		              read(cell, strlen(cell), use, style, rail, &out, &refusal), use, &out,
		              &refusal);
		if (notation_read_number(cell, strlen(cell), style, &value, &missing, &refusal))
			ck_assert(missing || value >= 0.0);
		else
			ck_assert_uint_gt(strlen(refusal.next), 0);
	}
}
END_TEST

/* Longer than any sentence repeats. */
START_TEST(long_cells_are_explained_too)
{
	static const char *const patterns[] = {"9", "2,", "1/", "x", "5 ", "Jan", "\xC2\xBD", "-"};
	char cell[901];

	for (size_t i = 0; i < COUNT(patterns); i++) {
		for (int use = LONG; use <= ACROSS; use++) {
			struct notation_refusal refusal;
			struct notation out;

			cell[0] = '\0';
			while (strlen(cell) < 890)
				strcat(cell, patterns[i]);
			ck_assert(!read(cell, strlen(cell), (enum notation_use)use, &plain, NONE,
			                &out, &refusal));
			check_outcome(cell, 20, false, (enum notation_use)use, &out, &refusal);
		}
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("notation refused");
	TCase *test_case = tcase_create("notation refused");
	SRunner *runner = srunner_create(suite);
	int failed;

	suite_add_tcase(suite, test_case);
	tcase_add_test(test_case, refused_forms_say_what_to_do);
	tcase_add_test(test_case, any_cell_is_either_read_or_explained);
	tcase_add_test(test_case, long_cells_are_explained_too);
	srunner_run_all(runner, CK_NORMAL);
	failed = srunner_ntests_failed(runner);
	srunner_free(runner);
	return failed != 0;
}
