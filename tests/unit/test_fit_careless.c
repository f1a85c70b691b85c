/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "fit_support.h"

/* Whole fits of simulated sessions in which one row was written with a slip: the row that was
 * spoiled by hand is the one told, with the slip that was made. */

static struct protocol protocol;
static struct measurement measurement;
static struct fit_result result;

/* Kicks are recorded too. */
static void setup(void)
{
	fit_support_protocol(&protocol);
	for (size_t i = 0; i < protocol.shot_count; i++)
		if (strstr(protocol.shots[i].key, "kick") != NULL)
			protocol.shots[i].measure |=
			    UINT32_C(1) << fit_support_quantity("sound1") |
			    UINT32_C(1) << fit_support_quantity("sound2");
	fit_support_session(&protocol, 83, "careless.csv", &measurement);
}

static void teardown(void)
{
	fit_result_free(&result);
	measurement_free(&measurement);
	protocol_free(&protocol);
}

/* The reason of the row among those set aside; NULL where it is not. */
static const char *reason_of(const struct stroke_row *row)
{
	for (size_t i = 0; i < result.set_aside_count; i++)
		if (result.set_aside[i].line == row->line)
			return result.set_aside[i].reason;
	return NULL;
}

START_TEST(a_slip_is_asked_for)
{
	struct stroke_row *row = fit_support_row(&measurement, "short-kick", 2);
	struct reading *reading = &row->readings[fit_support_quantity("cue_rail1")];

	reading->value += 1.0;
	ck_assert_int_eq(fit_support_run(&protocol, &measurement, 1, &result, NULL), STATUS_OK);
	ck_assert_ptr_nonnull(reason_of(row));
	ck_assert_msg(strstr(reason_of(row), "from where this stroke can meet that rail: is ") !=
	                  NULL, "%s", reason_of(row));
	ck_assert_uint_eq(result.repaired_count, 0);
}
END_TEST

/* The first contact of a kick was not heard and the second stands for it: the row is used, with as
 * many readings as it has, and said to be. */
START_TEST(a_contact_not_heard_does_not_cost_the_row)
{
	struct constants truth = fit_support_truth();
	struct stroke_row *row = fit_support_row(&measurement, "long-kick", 2);
	struct reading *sounds = &row->readings[fit_support_quantity("sound1")];

	ck_assert(sounds[0].kind == READING_VALUE && sounds[1].kind == READING_VALUE);
	sounds[0].value = sounds[1].value;
	sounds[1].kind = READING_MISSING;
	ck_assert_int_eq(fit_support_run(&protocol, &measurement, 1, &result, NULL), STATUS_OK);
	ck_assert_ptr_null(reason_of(row));
	ck_assert_uint_eq(result.repaired_count, 1);
	ck_assert_str_eq(result.repaired[0].file, "careless.csv");
	ck_assert_uint_eq(result.repaired[0].line, row->line);
	ck_assert_str_eq(result.repaired[0].shot, "long-kick");
	ck_assert_str_eq(result.repaired[0].reason,
	                 "used with its sounds from sound1 on moved by one: contact 1 was not heard");
	ck_assert_double_lt(fit_support_worst(&result, &truth), 3.5);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("fits of careless rows");
	TCase *fits = tcase_create("careless");

	tcase_add_checked_fixture(fits, setup, teardown);
	tcase_add_test(fits, a_slip_is_asked_for);
	tcase_add_test(fits, a_contact_not_heard_does_not_cost_the_row);
	suite_add_tcase(suite, fits);
	return close_run(suite);
}
