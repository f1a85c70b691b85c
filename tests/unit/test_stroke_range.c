/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "base/random.h"
#include "estimate/simulate.h"
#include "estimate/stroke_range.h"
#include "session_support.h"

/* Which readings are doubted: good ones of simulated sessions on tables drawn from the priors, and
 * slips made by hand in them. */

static struct protocol protocol;
static struct session session;
static struct stroke_range range;

static void read_protocol(const char *path)
{
	session_support_protocol(session_support_path(path), &protocol);
	session = session_default();
}

static void teardown(void)
{
	stroke_range_free(&range);
	protocol_free(&protocol);
}

static const struct shot_design *use_shot(const char *key)
{
	static const char *const labels[BALL_ROLES] = {"A", "O", "O"};
	const struct shot_design *shot = protocol_find_shot(&protocol, key);

	ck_assert_ptr_nonnull(shot);
	stroke_range_free(&range);
	ck_assert_int_eq(stroke_range_make(&range, shot, &session, labels, NULL), STATUS_OK);
	return shot;
}

static int number_of(const char *name)
{
	int number;

	ck_assert(quantity_from_name(name, strlen(name), &number));
	return number;
}

static void put(struct stroke_row *row, const char *name, double value)
{
	row->readings[number_of(name)] = (struct reading){.kind = READING_VALUE, .value = value};
}

static struct reading_judgement judge(const struct stroke_row *row, const char *name,
                                      enum rail rail)
{
	return stroke_range_judge(&range, &session, row, number_of(name), rail);
}

static struct constants draw_table(uint64_t seed)
{
	struct random_stream stream = random_start(2203, seed);
	struct constants constants = constants_centre();

	for (int i = 0; i < CONSTANT_COUNT; i++) {
		enum constant_id id = (enum constant_id)i;
		const struct constant_prior *prior = constant_prior(id);
		double scaled =
		    constant_to_scale(id, prior->centre) + prior->spread * random_normal(&stream);

		constants.value[id] =
		    fmin(prior->highest, fmax(prior->lowest, constant_from_scale(id, scaled)));
	}
	return constants;
}

/* Of more than a thousand good readings of the shipped protocol fewer than one in a hundred is
 * doubted: who is asked in vain stops reading the question. Measured: 2 of 3154 in 60 sessions. */
START_TEST(good_readings_pass)
{
	size_t read = 0, doubted = 0;

	read_protocol("protocols/full.json");
	for (size_t s = 0; s < protocol.shot_count; s++) {
		use_shot(protocol.shots[s].key);
		for (uint64_t seed = 1; seed <= 25; seed++) {
			struct constants constants = draw_table(seed);
			struct protocol one = protocol;
			struct measurement measurement;

			one.shots = &protocol.shots[s];
			one.shot_count = 1;
			ck_assert_int_eq(
			    simulate_session(&one, &session, &constants, seed, true, &measurement),
			    STATUS_OK);
			for (size_t i = 0; i < measurement.row_count; i++)
				for (int q = 0; q < QUANTITY_COUNT; q++) {
					const struct stroke_row *row = &measurement.rows[i];

					if (row->readings[q].kind == READING_MISSING)
						continue;
					read++;
					doubted +=
					    stroke_range_judge(&range, &session, row, q, RAIL_COUNT)
						.doubt != DOUBT_NONE;
				}
			measurement_free(&measurement);
		}
	}
	ck_assert_uint_gt(read, 1000);
	ck_assert_uint_lt(100 * doubted, read);
}
END_TEST

/* The draw of protocols/phone.json ends in the middle at long 1.6, short 0.5: who reads long 0.53,
 * short 3.31 has swapped them. */
START_TEST(swapped)
{
	struct stroke_row row = {.shot = "short-draw"};
	struct reading_judgement judgement;

	read_protocol("protocols/phone.json");
	use_shot("short-draw");
	put(&row, "cue_rest_long", 0.53);
	put(&row, "cue_rest_short", 3.31);
	judgement = judge(&row, "cue_rest_short", RAIL_COUNT);
	ck_assert_int_eq(judgement.doubt, DOUBT_BEYOND);
	ck_assert_int_eq(judgement.slip, SLIP_SWAPPED);
	put(&row, "cue_rest_long", 1.56);
	put(&row, "cue_rest_short", 0.53);
	ck_assert_int_eq(judge(&row, "cue_rest_long", RAIL_COUNT).doubt, DOUBT_NONE);
	ck_assert_int_eq(judge(&row, "cue_rest_short", RAIL_COUNT).doubt, DOUBT_NONE);
}
END_TEST

/* The kick's first contact is within some hundredths of a diamond of where it is aimed. */
START_TEST(one_off)
{
	struct stroke_row row = {.shot = "rolling-kick"};
	struct reading_judgement judgement;

	read_protocol("protocols/full.json");
	use_shot("rolling-kick");
	put(&row, "cue_rail1", 2.93);
	ck_assert_int_eq(judge(&row, "cue_rail1", RAIL_RIGHT).doubt, DOUBT_NONE);
	put(&row, "cue_rail1", 3.93);
	judgement = judge(&row, "cue_rail1", RAIL_RIGHT);
	ck_assert_int_eq(judgement.doubt, DOUBT_BEYOND);
	ck_assert_int_eq(judgement.slip, SLIP_VALUE);
	ck_assert_double_eq_tol(judgement.meant, 2.93, 1e-9);
	ck_assert_double_eq_tol(judgement.away, 3.93 - judgement.high, 1e-12);
}
END_TEST

START_TEST(another_rail)
{
	struct stroke_row row = {.shot = "rolling-kick"};
	struct reading_judgement judgement;

	read_protocol("protocols/full.json");
	use_shot("rolling-kick");
	put(&row, "cue_rail1", 2.93);
	row.readings[number_of("cue_rail1")].rail_named = true;
	row.readings[number_of("cue_rail1")].rail = RAIL_LEFT;
	judgement = judge(&row, "cue_rail1", RAIL_RIGHT);
	ck_assert_int_eq(judgement.doubt, DOUBT_RAIL);
	ck_assert_int_eq(judgement.rail, RAIL_RIGHT);
	ck_assert_int_eq(judgement.slip, SLIP_RAIL);
	ck_assert_int_eq(judgement.meant_rail, RAIL_RIGHT);
}
END_TEST

/* A time by itself is in reach, but not with the rest that goes with it. */
START_TEST(together)
{
	struct stroke_row row = {.shot = "one-length"};
	struct reading_judgement judgement;

	read_protocol("protocols/full.json");
	use_shot("one-length");
	put(&row, "cue_rest_long", 6.92);
	ck_assert_int_eq(judge(&row, "cue_rest_long", RAIL_COUNT).doubt, DOUBT_NONE);
	put(&row, "watch1", 6.73);
	judgement = judge(&row, "cue_rest_long", RAIL_COUNT);
	ck_assert_int_eq(judgement.doubt, DOUBT_NONE);
	ck_assert(judgement.together);
	ck_assert_uint_lt(judgement.plays, STROKE_RANGE_PLAYS);
}
END_TEST

START_TEST(pockets)
{
	struct stroke_row row = {.shot = "short-draw"};

	read_protocol("protocols/full.json");
	use_shot("short-draw");
	row.readings[number_of("cue_rest_long")] = (struct reading){.kind = READING_POCKET};
	ck_assert_int_eq(judge(&row, "cue_rest_long", RAIL_COUNT).doubt, DOUBT_POCKET);
	use_shot("timed-lag");
	ck_assert_int_eq(judge(&row, "cue_rest_long", RAIL_COUNT).doubt, DOUBT_NONE);
}
END_TEST

/* What is known of the table narrows what its strokes can do. */
START_TEST(known_table)
{
	static const char *const labels[BALL_ROLES] = {"A", "O", "O"};
	double draws[1][CONSTANT_COUNT];
	struct fit_result known = {.draw_count = 1, .draws = draws};
	struct stroke_row row = {.shot = "rolling-kick"};
	struct reading_judgement before, after;

	read_protocol("protocols/full.json");
	for (int id = 0; id < CONSTANT_COUNT; id++)
		draws[0][id] = constant_to_scale((enum constant_id)id,
		                                 constant_prior((enum constant_id)id)->centre);
	use_shot("rolling-kick");
	put(&row, "cue_rail2", 7.9);
	before = judge(&row, "cue_rail2", RAIL_LEFT);
	stroke_range_free(&range);
	ck_assert_int_eq(stroke_range_make(&range, protocol_find_shot(&protocol, "rolling-kick"),
	                                   &session, labels, &known),
	                 STATUS_OK);
	after = judge(&row, "cue_rail2", RAIL_LEFT);
	ck_assert_double_lt(after.high - after.low, before.high - before.low);
	ck_assert_int_eq(after.doubt, DOUBT_BEYOND);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("stroke range");
	TCase *cases = tcase_create("stroke range");

	suite_add_tcase(suite, cases);
	tcase_add_checked_fixture(cases, NULL, teardown);
	tcase_add_test(cases, good_readings_pass);
	tcase_add_test(cases, swapped);
	tcase_add_test(cases, one_off);
	tcase_add_test(cases, another_rail);
	tcase_add_test(cases, together);
	tcase_add_test(cases, pockets);
	tcase_add_test(cases, known_table);
	return close_run(suite);
}
