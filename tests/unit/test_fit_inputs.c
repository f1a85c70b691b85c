/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "estimate/fit_problem.h"
#include "fit_support.h"

/* Files that cannot be fitted: refused with file, line, column, what was found and what to do. */

static struct protocol protocol;
static struct measurement measurement;
static struct fault_list faults;

static void setup(void)
{
	fit_support_protocol(&protocol);
	fit_support_session(&protocol, 81, "given.csv", &measurement);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
}

static void teardown(void)
{
	fault_list_free(&faults);
	measurement_free(&measurement);
	protocol_free(&protocol);
}

/* Refuses the measurement, alike by the fit and by the check before it, with one fault. */
static const struct fault *refused_once(void)
{
	struct fit_input input = {&measurement, &protocol};
	struct fit_result result;

	ck_assert_int_eq(fit_inputs_check(&input, 1, &faults), STATUS_INPUT);
	ck_assert_uint_eq(faults.count, 1);
	ck_assert_int_eq(fit_support_run(&protocol, &measurement, 1, &result, &faults),
	                 STATUS_INPUT);
	ck_assert_uint_eq(faults.count, 2);
	ck_assert_str_eq(faults.items[0].found, faults.items[1].found);
	ck_assert_ptr_nonnull(faults.items[0].accepted);
	ck_assert_ptr_nonnull(faults.items[0].next);
	return &faults.items[0];
}

START_TEST(good_file_is_accepted)
{
	struct fit_input input = {&measurement, &protocol};

	ck_assert_int_eq(fit_inputs_check(&input, 1, &faults), STATUS_OK);
	ck_assert_uint_eq(faults.count, 0);
}
END_TEST

/* formats.md 6: several files of one table. Another length, nose, ball or pocket: another table. */
START_TEST(files_of_different_tables)
{
	for (int i = 0; i < 5; i++) {
		struct measurement other;
		struct fit_input inputs[2] = {{&measurement, &protocol}, {&other, &protocol}};
		struct fit_options options = {.seed = 1};
		struct fit_result result;
		struct table *table;
		size_t before = faults.count;

		fit_support_session(&protocol, 82, "other.csv", &other);
		table = &other.session.table;
		if (i == 0)
			*table = *table_find_preset("pool-8ft", strlen("pool-8ft"));
		else if (i == 1)
			table->nose_height += 0.0007;
		else if (i == 2)
			table->ball_diameter = table->cue_ball_diameter = 0.0561;
		else if (i == 3)
			table->pockets = false;
		else
			table->corner_mouth -= 0.003;
		ck_assert_int_eq(fit_run(inputs, 2, &options, &result, &faults), STATUS_INPUT);
		ck_assert_uint_eq(faults.count, before + 1);
		ck_assert_str_eq(faults.items[before].file, "other.csv");
		ck_assert_msg(strstr(faults.items[before].what, "table") != NULL, "%s",
		              faults.items[before].what);
		measurement_free(&other);
	}
}
END_TEST

/* A contact that the design does not make, without the rail's name. */
START_TEST(contact_without_a_rail)
{
	struct stroke_row *row = fit_support_row(&measurement, "timed-lag", 2);
	int number = fit_support_quantity("cue_rail4");
	const struct fault *fault;

	row->readings[number] = (struct reading){.kind = READING_VALUE, .value = 2.3};
	fault = refused_once();
	ck_assert_str_eq(fault->file, "given.csv");
	ck_assert_uint_eq(fault->line, row->line);
	ck_assert_uint_eq(fault->column, row->columns[number]);
	ck_assert_str_eq(fault->shot, "timed-lag");
	ck_assert_str_eq(fault->what, "cue_rail4");
	/* Named, it is taken. */
	row->readings[number].rail_named = true;
	row->readings[number].rail = RAIL_LEFT;
	struct fit_input input = {&measurement, &protocol};
	ck_assert_int_eq(fit_inputs_check(&input, 1, &faults), STATUS_OK);
}
END_TEST

/* A place beyond the end of a short rail. */
START_TEST(contact_beyond_a_short_rail)
{
	struct stroke_row *row = fit_support_row(&measurement, "timed-lag", 1);
	int number = fit_support_quantity("cue_rail1"); /* the foot rail */

	row->readings[number] = (struct reading){.kind = READING_VALUE, .value = 5.3};
	ck_assert_uint_eq(refused_once()->line, row->line);
	ck_assert_uint_eq(faults.items[0].column, row->columns[number]);
	ck_assert_msg(strstr(faults.items[0].found, "5.3") != NULL, "%s", faults.items[0].found);
}
END_TEST

START_TEST(shot_that_is_not_in_the_protocol)
{
	measurement.rows[3].shot = "no-such-shot";
	ck_assert_uint_eq(refused_once()->line, measurement.rows[3].line);
	ck_assert_str_eq(faults.items[0].shot, "no-such-shot");
}
END_TEST

/* A ball of another size than the table's may not fit where the design puts it. */
START_TEST(shot_that_cannot_stand)
{
	struct labelled_ball big = {"A", 0.0699, 0.28};

	for (size_t i = 0; i < protocol.shot_count; i++)
		if (strcmp(protocol.shots[i].key, "timed-lag") == 0)
			protocol.shots[i].place[BALL_CUE].along.diamonds = 0.1;
	measurement.session.balls = &big;
	measurement.session.ball_count = 1;
	struct fit_input input = {&measurement, &protocol};
	ck_assert_int_eq(fit_inputs_check(&input, 1, &faults), STATUS_INPUT);
	ck_assert_uint_eq(faults.count, 4); /* every try of that shot */
	ck_assert_str_eq(faults.items[3].shot, "timed-lag");
	ck_assert_msg(strstr(faults.items[0].found, "cushion") != NULL, "%s",
	              faults.items[0].found);
}
END_TEST

/* Every row set aside by the person, or without a reading. */
START_TEST(nothing_to_fit)
{
	for (size_t i = 0; i < measurement.row_count; i++) {
		measurement.rows[i].valid = i % 2 == 0;
		if (i % 2 == 0)
			for (int number = 0; number < QUANTITY_COUNT; number++)
				measurement.rows[i].readings[number].kind = READING_MISSING;
	}
	ck_assert_str_eq(refused_once()->file, "given.csv");
	ck_assert_msg(strstr(faults.items[0].found, "no ") != NULL, "%s", faults.items[0].found);
}
END_TEST

/* Several faults of a file are found in one pass. */
START_TEST(all_faults_at_once)
{
	struct fit_input input = {&measurement, &protocol};
	int number = fit_support_quantity("cue_rail4");

	measurement.rows[2].shot = "no-such-shot";
	for (int i = 0; i < 2; i++)
		measurement.rows[i].readings[number] =
		    (struct reading){.kind = READING_VALUE, .value = 2.3};
	ck_assert_int_eq(fit_inputs_check(&input, 1, &faults), STATUS_INPUT);
	ck_assert_uint_eq(faults.count, 3);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("files that cannot be fitted");
	TCase *inputs = tcase_create("inputs");

	tcase_add_checked_fixture(inputs, setup, teardown);
	tcase_add_test(inputs, good_file_is_accepted);
	tcase_add_test(inputs, files_of_different_tables);
	tcase_add_test(inputs, contact_without_a_rail);
	tcase_add_test(inputs, contact_beyond_a_short_rail);
	tcase_add_test(inputs, shot_that_is_not_in_the_protocol);
	tcase_add_test(inputs, shot_that_cannot_stand);
	tcase_add_test(inputs, nothing_to_fit);
	tcase_add_test(inputs, all_faults_at_once);
	suite_add_tcase(suite, inputs);
	return close_run(suite);
}
