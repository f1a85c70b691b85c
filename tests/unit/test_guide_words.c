/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report_checks.h"

#include "files/measurement_file.h"
#include "report/guide_text.h"
#include "report/guide_words.h"
#include "report/table_sketch.h"
#include "session_support.h"

/* The sentences of a guided session, against what they should read. */

static struct protocol protocol;

static void setup(void)
{
	session_support_protocol(session_support_path("protocols/full.json"), &protocol);
}

static void teardown(void)
{
	protocol_free(&protocol);
}

static int number_of(const char *name)
{
	int number;

	ck_assert(quantity_from_name(name, strlen(name), &number));
	return number;
}

static void check_prompt(const char *shot, const char *quantity, enum rail rail, const char *wanted)
{
	struct guide_question question = {.shot = protocol_find_shot(&protocol, shot),
	                                  .quantity = number_of(quantity),
	                                  .place = 2,
	                                  .places = 3};
	struct text out = {0};

	guide_words_prompt(&question, rail, false, &out);
	check_text(&out, wanted);
}

START_TEST(prompts)
{
	check_prompt("timed-lag", "watch2", RAIL_COUNT,
	             "(2/3) seconds from the cue ball's 1st rail to the cue ball at rest: ");
	check_prompt("spin-on-the-spot", "watch1", RAIL_COUNT,
	             "(2/3) seconds from the strike to the cue ball quite still: ");
	check_prompt("half-ball", "object_rail1", RAIL_LEFT,
	             "(2/3) object ball's 1st rail (left): ");
	check_prompt("short-draw", "cue_rest_short", RAIL_COUNT, "(2/3) cue ball stops at short: ");
	check_prompt("short-draw", "sound3", RAIL_COUNT,
	             "(2/3) seconds from the strike to the 3rd sound: ");
}
END_TEST

/* Every prompt of the shipped protocols leaves room for an answer on its line. */
START_TEST(prompts_fit)
{
	for (size_t i = 0; i < protocol.shot_count; i++)
		for (int q = 0; q < QUANTITY_COUNT; q++) {
			struct guide_question question = {
			    .shot = &protocol.shots[i], .quantity = q, .place = 2, .places = 3};
			struct text out = {0};

			if ((protocol.shots[i].measure & (UINT32_C(1) << q)) == 0)
				continue;
			guide_words_prompt(&question, RAIL_RIGHT, true, &out);
			ck_assert_uint_le(text_columns(text_bytes(&out)), 70);
			text_free(&out);
		}
}
END_TEST

static void check_reading(const char *quantity, struct reading reading, const char *wanted)
{
	struct text out = {0};

	guide_words_reading(number_of(quantity), &reading, &out);
	check_text(&out, wanted);
}

START_TEST(readings)
{
	check_reading("cue_rest_long", (struct reading){.kind = READING_VALUE, .value = 6.4567},
	              "long 6.46 diamonds");
	check_reading("object_rest_short",
	              (struct reading){.kind = READING_VALUE, .frozen = true, .rail = RAIL_LEFT},
	              "frozen to the left rail");
	check_reading("cue_rest_short", (struct reading){.kind = READING_POCKET}, "in a pocket");
	check_reading(
	    "cue_rail2",
	    (struct reading){
		.kind = READING_VALUE, .value = 5.6, .rail_named = true, .rail = RAIL_RIGHT},
	    "right rail, 5.60 diamonds");
	check_reading("watch1", (struct reading){.kind = READING_VALUE, .value = 0.8242},
	              "0.824 s");
	check_reading("sound1", (struct reading){.kind = READING_MISSING}, "not measured");
}
END_TEST

static void refuse(const char *quantity, const char *typed, const char *wanted)
{
	struct session session = session_default();
	struct stroke_row row = {.shot = "timed-lag", .ball = {"A", "O", "O"}};
	struct fault_list faults;
	struct text out = {0};

	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	ck_assert_int_eq(measurement_reading_read(&session,
	                                          protocol_find_shot(&protocol, "timed-lag"),
	                                          number_of(quantity), typed, &row, &faults),
	                 STATUS_INPUT);
	ck_assert_int_eq(row.readings[number_of(quantity)].kind, READING_MISSING);
	ck_assert_uint_eq(faults.count, 1);
	guide_words_refusal(&faults.items[0], &out);
	check_columns(&out);
	check_says(&out, wanted);
	text_free(&out);
	fault_list_free(&faults);
}

START_TEST(refusals)
{
	refuse("cue_rest_long", "31/2", "Not understood: \"31/2\".");
	refuse("cue_rest_long", "31/2", "3 1/2");
	refuse("cue_rest_long", "f", "f head");
	refuse("watch1", "0", "Not understood: \"0\". Accepted: seconds above 0, at most 600.");
	refuse("watch1", "\xFF\xFE", "a character that cannot be shown");
}
END_TEST

/* A decimal comma is understood at a prompt, where nothing is separated. */
START_TEST(decimal_comma)
{
	struct session session = session_default();
	struct stroke_row row = {.shot = "timed-lag", .ball = {"A", "O", "O"}};
	struct fault_list faults;
	int number = number_of("cue_rest_long");

	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
	ck_assert_int_eq(measurement_reading_read(&session,
	                                          protocol_find_shot(&protocol, "timed-lag"),
	                                          number, "6,35", &row, &faults),
	                 STATUS_OK);
	ck_assert_double_eq_tol(row.readings[number].value, 6.35, 1e-15);
	fault_list_free(&faults);
}
END_TEST

START_TEST(doubts)
{
	struct reading reading = {.kind = READING_VALUE, .value = 1.8};
	struct reading_judgement judgement = {.doubt = DOUBT_BEYOND,
	                                      .low = 3.91,
	                                      .high = 6.2,
	                                      .away = 2.11,
	                                      .plays = 3980,
	                                      .stray = 9,
	                                      .slip = SLIP_SWAPPED};
	struct text out = {0};

	guide_words_doubt(0, &reading, &judgement, &out);
	check_says(&out,
	           "That is 2.1 diamonds less than all but 9 of 3980 simulated strokes of this "
	           "shot (3.91 to 6.20): long and short swapped?");
	check_columns(&out);
	text_free(&out);
	judgement.slip = SLIP_VALUE;
	judgement.meant = 4.8;
	judgement.together = true;
	judgement.stray = 0;
	judgement.plays = 37;
	guide_words_doubt(0, &reading, &judgement, &out);
	check_says(&out,
	           "less than any of 37 simulated strokes of this shot with the readings before "
	           "it (3.91 to 6.20): is 4.80 meant?");
	text_free(&out);
	judgement = (struct reading_judgement){.doubt = DOUBT_RAIL,
	                                       .rail = RAIL_RIGHT,
	                                       .plays = 4000,
	                                       .slip = SLIP_RAIL,
	                                       .meant_rail = RAIL_RIGHT};
	guide_words_doubt(2, &reading, &judgement, &out);
	check_says(&out,
	           "None of 4000 simulated strokes of this shot meets that rail then; most meet "
	           "the right rail: is the right rail meant?");
	text_free(&out);
}
END_TEST

/* An invented fit in which sliding friction alone is wanted. */
static void make_known(struct guide_known *known)
{
	*known = (struct guide_known){.status = STATUS_OK, .strokes = 12, .has_next = true};
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		known->fit.constants[id] =
		    (struct estimate){.best = {.value = 0.1937, .standard_error = 0.0213},
		                      .state = KNOWLEDGE_WEAK,
		                      .has_interval = true};
		known->before[id] = 0.153;
	}
	known->next = (struct next_shots){.count = 1};
	known->next.shots[0] = (struct next_shot){.protocol = &protocol,
	                                          .shot = &protocol.shots[2],
	                                          .strokes = 2,
	                                          .constant = SLIDING_FRICTION,
	                                          .before = 0.11,
	                                          .after = 0.083};
}

START_TEST(tells_what_is_known)
{
	struct guide_goal goal = {.stated = true, .wanted = {[SLIDING_FRICTION] = 0.05}};
	struct guide_known known;
	struct text out = {0};

	make_known(&known);
	guide_text_news(&known, &goal, &out);
	guide_text_verdict(&known, &goal, &out);
	check_text(&out,
	           "  Known after 12 strokes, \302\261 1 standard error (in brackets: before):\n"
	           "  sliding friction    0.194 \302\261 11 % (15), wanted: 5 %\n"
	           "  Most tells now: half-ball; two strokes would bring sliding friction from "
	           "11 %\n  to 8.3 %.\n");
	goal.wanted[SLIDING_FRICTION] = 0.12;
	guide_text_verdict(&known, &goal, &out);
	check_text(&out,
	           "  Enough: sliding friction 0.194 \302\261 0.021. Type enough to end here, or "
	           "go on.\n");
	goal.stated = false;
	guide_text_known(&known, &goal, &out);
	check_columns(&out);
	check_contains(&out, "  sliding friction    0.194 \302\261 11 % (15)  rolling resistance");
	text_free(&out);
	guide_text_news(&known, &goal, &out);
	check_columns(&out);
	check_says(&out, "1 standard error after 12 strokes (before): sliding friction 11 % (15), "
	                 "rolling resistance 11 % (15),");
	text_free(&out);
}
END_TEST

START_TEST(help_fits)
{
	struct text out = {0};

	guide_words_help(&out);
	for (int q = 0; q < QUANTITY_COUNT; q++)
		guide_words_notation(q, &out);
	check_columns(&out);
	text_free(&out);
}
END_TEST

/* What to do, the aim and the strike of any shot leave room for the heading, the drawing and the
 * prompt in 24 lines. */
START_TEST(shot_fits)
{
	static const char *const names[] = {"protocols/full.json", "protocols/phone.json",
	                                    "protocols/usual.json"};

	for (size_t n = 0; n < sizeof names / sizeof names[0]; n++) {
		struct protocol shipped;

		session_support_protocol(session_support_path(names[n]), &shipped);
		for (size_t i = 0; i < shipped.shot_count; i++) {
			struct text out = {0};
			int lines = 0;

			guide_words_shot(&shipped.shots[i], &out);
			check_columns(&out);
			check_lacks(&out, "most strokes within");
			for (size_t b = 0; b < out.length; b++)
				lines += out.bytes[b] == '\n';
			ck_assert_int_le(lines, 24 - TABLE_SKETCH_ROWS - 2 - 1);
			text_free(&out);
		}
		protocol_free(&shipped);
	}
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("guide words");
	TCase *cases = tcase_create("guide words");

	suite_add_tcase(suite, cases);
	tcase_add_checked_fixture(cases, setup, teardown);
	tcase_add_test(cases, prompts);
	tcase_add_test(cases, prompts_fit);
	tcase_add_test(cases, readings);
	tcase_add_test(cases, refusals);
	tcase_add_test(cases, decimal_comma);
	tcase_add_test(cases, doubts);
	tcase_add_test(cases, tells_what_is_known);
	tcase_add_test(cases, help_fits);
	tcase_add_test(cases, shot_fits);
	return run_suite(suite);
}
