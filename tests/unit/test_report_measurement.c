/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report_checks.h"

#include "report/measurement_text.h"
#include "report/protocol_text.h"

/* --- A measurement and its protocol --------------------------------------------------------- */

static struct shot_design shots[] = {
	{
		.key = "timed-lag",
		.title = "Lag with two split times",
		.how = "Let it die near the head rail.",
		.tries = 3,
		.place[BALL_CUE] = {.present = true, .along = {.diamonds = 2}, .across = {.diamonds = 2.25}},
		.aim = {.kind = AIM_NOSE, .rail = RAIL_FOOT, .at = 2.25, .spread_deg = 0.3},
		.launch = {.speed = 2.26, .height = 0.4},
		.watch_count = 2,
		.watch = {{{MOMENT_STRIKE, BALL_CUE, 0}, {MOMENT_RAIL, BALL_CUE, 1}},
	              {{MOMENT_RAIL, BALL_CUE, 1}, {MOMENT_REST, BALL_CUE, 0}}},
	},
	{
		.key = "thin-cut",
		.title = "",
		.how = "",
		.tries = 1,
		.place[BALL_CUE] = {.present = true, .along = {.diamonds = 1.5}, .across = {.diamonds = 3}},
		.place[BALL_OBJECT] = {.present = true,
	                           .along = {.frozen = true, .rail = RAIL_FOOT},
	                           .across = {.diamonds = 2}},
		.place[BALL_OBJECT2] = {.present = true,
	                            .touching = true,
	                            .touched = BALL_OBJECT,
	                            .toward_long = 7,
	                            .toward_short = 3.5},
		.aim = {.kind = AIM_BALL,
	            .ball = BALL_OBJECT,
	            .fullness = 0.25,
	            .contact = AIM_SIDE_LEFT,
	            .spread_deg = 0.3},
		.launch = {.speed = 3.1, .height = -0.2, .side = -0.35, .elevation_deg = 5},
	},
	{
		.key = "ramp-roll",
		.title = "Ramp roll",
		.how = "",
		.tries = 2,
		.place[BALL_CUE] = {.present = true, .along = {.diamonds = 1}, .across = {.diamonds = 2}},
		.aim = {.kind = AIM_SIGHT, .rail = RAIL_RIGHT, .at = 5.5, .spread_deg = 0.1},
		.launch = {.by_ramp = true, .ramp = "short board", .speed = 0.7, .groove_deg = 90},
	},
};

static struct protocol make_protocol(void)
{
	struct protocol protocol = {
		.file = "p.json",
		.name = "trial",
		.title = "A trial",
		.purpose = "To be read in a test.",
		.minutes = 7.5,
		.kit = KIT_TAPE | KIT_SOUND,
		.shot_count = 3,
		.shots = shots,
	};
	int number;

	ck_assert(quantity_from_name("cue_rest_long", 13, &number));
	shots[0].measure = 1u << number;
	ck_assert(quantity_from_name("watch2", 6, &number));
	shots[0].measure |= 1u << number;
	ck_assert(quantity_from_name("sound3", 6, &number));
	shots[1].measure = 1u << number;
	ck_assert(quantity_from_name("object2_rail2", 13, &number));
	shots[1].measure |= 1u << number;
	return protocol;
}

START_TEST(a_protocol_is_shown_as_a_player_reads_it)
{
	struct protocol protocol = make_protocol();
	struct text out = {0};

	protocol_text_print(&protocol, &out);
	check_columns(&out);
	check_contains(&out, "trial: A trial\n");
	check_contains(&out, "  takes     7.5 minutes, 6 strokes in 3 shots; kit: tape, sound\n");
	check_contains(&out, "\n1. Lag with two split times (shot timed-lag), 3 tries\n"
	                     "  how       Let it die near the head rail.\n"
	                     "  place     cue ball: long 2, short 2.25\n"
	                     "  aim       at the nose line, 2.25 diamonds on the foot rail; most "
	                     "strokes\n            within 0.3 degrees\n");
	check_says(&out, " strike lag pace, about 2.26 m/s; tip 0.4 of the radius above the centre, no "
	                 "side read where the cue ball stops, along the table (cue_rest_long) time from "
	                 "the strike to the cue ball meeting its 1st rail (watch1) from the cue ball "
	                 "meeting its 1st rail to the cue ball coming to rest (watch2) 2. thin-cut");
	text_free(&out);
}
END_TEST

START_TEST(placed_aimed_and_struck_in_every_way)
{
	struct protocol protocol = make_protocol();
	struct text out = {0};

	protocol_text_shot(&protocol.shots[1], 2, &out);
	check_columns(&out);
	check_contains(&out, "2. thin-cut (shot thin-cut), 1 try\n");
	check_contains(&out, "            object ball: frozen to the foot rail, short 2\n");
	check_says(&out, " second object ball: touching the object ball, on the line from its centre to "
	                 "the point long 7, short 3.5 aim at the object ball, 25 % full, on its left side "
	                 "as seen along the shot; most strokes within 0.3 degrees strike firm, about 3.1 "
	                 "m/s; tip 0.2 of the radius below the centre, 0.35 of the radius to the left; "
	                 "butt raised 5 degrees read");
	check_contains(&out, "where the second object ball meets its 2nd rail (object2_rail2)\n");
	check_contains(&out, "sound of the 3rd contact after the strike (sound3)\n");
	text_free(&out);
	protocol_text_shot(&protocol.shots[2], 3, &out);
	check_says(&out, " aim through the sight mark at 5.5 diamonds on the right rail (the mark, not "
	                 "the nose); most strokes within 0.1 degrees release roll it down the ramp "
	                 "\"short board\", always from the same mark: about 0.7 m/s where it meets the "
	                 "bed; groove of 90 degrees");
	text_free(&out);
}
END_TEST

/* What the design says of the balls themselves stands behind their places. */
START_TEST(balls_of_other_size_are_told)
{
	struct shot_design shot = shots[1];
	struct text out = {0};

	protocol_text_shot(&shot, 2, &out);
	check_lacks(&out, "a ball of");
	text_free(&out);
	shot.place[BALL_CUE].diameter = 0.0476;
	shot.place[BALL_CUE].mass = 0.094;
	shot.place[BALL_OBJECT].mass = 0.1213;
	shot.place[BALL_OBJECT2].diameter = 0.0523;
	protocol_text_shot(&shot, 2, &out);
	check_columns(&out);
	check_contains(&out, "cue ball: long 1.5, short 3; a ball of 47.6 mm, 94 g\n");
	check_contains(&out, "the foot rail, short 2; a ball of 121.3 g\n");
	check_says(&out, "to the point long 7, short 3.5; a ball of 52.3 mm aim");
	text_free(&out);
}
END_TEST

START_TEST(one_of_a_thing_is_told_in_the_singular)
{
	struct protocol protocol = make_protocol();
	struct shot_design shot = shots[0];
	const struct protocol *list[] = {&protocol};
	struct text out = {0};

	shot.tries = 1;
	shot.aim.at = 1;
	shot.aim.spread_deg = 1;
	shot.launch.elevation_deg = 1;
	protocol.shots = &shot;
	protocol.shot_count = 1;
	protocol.minutes = 1;
	protocol_text_print(&protocol, &out);
	check_contains(&out, "  takes     1 minute, 1 stroke in 1 shot; kit: tape, sound\n");
	check_says(&out, "at the nose line, 1 diamond on the foot rail; most strokes within 1 degree "
	                 "strike");
	check_says(&out, "butt raised 1 degree read");
	text_free(&out);
	protocol_list_text(list, 1, "d", &out);
	check_contains(&out, "    1 minute, 1 stroke; kit: tape, sound\n");
	text_free(&out);
}
END_TEST

START_TEST(blank_texts_leave_no_trace)
{
	struct protocol protocol = make_protocol();
	struct shot_design shot = shots[0];
	const struct protocol *list[] = {&protocol};
	struct text out = {0};

	shot.title = shot.how = protocol.purpose = " \n ";
	protocol.shots = &shot;
	protocol.shot_count = 1;
	protocol_text_print(&protocol, &out);
	check_columns(&out);
	check_lacks(&out, "purpose");
	check_lacks(&out, "how ");
	check_contains(&out, "1. timed-lag (shot timed-lag), 3 tries\n  place ");
	text_free(&out);
	protocol_list_text(list, 1, "d", &out);
	check_columns(&out);
	check_text(&out, "trial: A trial\n    7.5 minutes, 3 strokes; kit: tape, sound\n1 protocol in "
	                 "d\n");
}
END_TEST

static void fill_row(struct stroke_row *row, size_t line, const char *shot, const char *quantity,
                     double value)
{
	int number;

	*row = (struct stroke_row){.line = line, .shot = shot, .player = "", .valid = true};
	row->ball[BALL_CUE] = "A";
	row->ball[BALL_OBJECT] = "O";
	row->ball[BALL_OBJECT2] = "O";
	ck_assert(quantity_from_name(quantity, strlen(quantity), &number));
	row->readings[number] = (struct reading){.kind = READING_VALUE, .value = value};
}

static void add_reading(struct stroke_row *row, const char *quantity, struct reading reading)
{
	int number;

	ck_assert(quantity_from_name(quantity, strlen(quantity), &number));
	row->readings[number] = reading;
}

static struct measurement make_measurement(struct stroke_row rows[5])
{
	struct measurement measurement = {.file = "m.csv", .separator = ';', .row_count = 5};

	measurement.session = session_default();
	measurement.session.notes[NOTE_CLOTH_DAYS] = "40";
	fill_row(&rows[0], 12, "timed-lag", "cue_rest_long", 0.75);
	fill_row(&rows[1], 13, "timed-lag", "cue_rest_long", 1.5);
	fill_row(&rows[2], 14, "timed-lag", "cue_rest_long", 6);
	rows[2].valid = false;
	rows[2].note = "miscue";
	fill_row(&rows[3], 15, "thin-cut", "sound3", 1.208);
	fill_row(&rows[4], 17, "thin-cut", "sound3", 1.311);
	measurement.rows = rows;
	return measurement;
}

/* Checks the text of a measurement; the caller frees out. */
static void print_check(const struct measurement *measurement, const struct protocol *protocol,
                        struct text *out)
{
	struct remarks remarks;

	ck_assert(remarks_create(&remarks));
	remarks_measurement(&remarks, measurement, protocol);
	measurement_text_print(measurement, protocol, &remarks, out);
	ck_assert(!remarks.failed && !out->failed);
	remarks_free(&remarks);
	check_columns(out);
}

START_TEST(a_measurement_is_told_back)
{
	struct protocol protocol = make_protocol();
	struct stroke_row rows[5];
	struct measurement measurement = make_measurement(rows);
	struct text out = {0};

	print_check(&measurement, &protocol, &out);
	check_contains(&out, "m.csv: understood, no fault found\n");
	check_contains(&out, "  written with   ; between cells, decimal comma allowed\n");
	check_contains(&out, "  age of cloth   40 days\n");
	check_contains(&out, "  table          pool-9ft, 2.5400 m x 1.2700 m nose to nose\n");
	check_contains(&out, "  protocol       trial: A trial (p.json)\n");
	check_contains(&out, "Shots: 4 strokes that count, 4 readings\n"
	                     "  timed-lag: 2 strokes, 1 set aside, 2 readings\n"
	                     "    cue_rest_long         2  0.75 to 1.50 diamonds\n"
	                     "  thin-cut: 2 strokes, 2 readings\n"
	                     "    sound3                2  1.208 to 1.311 s\n");
	check_contains(&out, "Rows set aside\n  line 14, shot timed-lag: miscue\n");
	text_free(&out);
}
END_TEST

START_TEST(an_expert_notices)
{
	struct protocol protocol = make_protocol();
	struct stroke_row rows[5];
	struct measurement measurement = make_measurement(rows);
	struct text out = {0};

	print_check(&measurement, &protocol, &out);
	check_contains(&out, "  - Shot timed-lag has 2 of its 3 tries.\n");
	check_contains(&out, "  - Shot ramp-roll of the protocol has no stroke that counts.\n");
	check_contains(&out, "  - Sounds were timed but not where the phone lay");
	check_contains(&out, "#cue_end_mass_ratio is not given");
	check_lacks(&out, "Nothing was timed");
	check_lacks(&out, "assumed");
	text_free(&out);
	measurement.session.microphone_known = true;
	measurement.session.cue_end_mass_ratio = 20;
	measurement.session.table = *table_find_preset("pool-7ft", 8);
	rows[3].readings[quantity_number((struct quantity){QUANTITY_SOUND, 0, 3})].kind =
	    READING_MISSING;
	rows[4].valid = false;
	print_check(&measurement, &protocol, &out);
	check_says(&out, "The setback of the sight marks of pool-7ft is assumed");
	check_contains(&out, "  - Nothing was timed: ");
	check_contains(&out, "  - Line 15, shot thin-cut, holds no reading.\n");
	check_lacks(&out, "#cue_end_mass_ratio");
	check_lacks(&out, "the phone lay");
	check_contains(&out, "  cue            ball mass / end mass 20\n");
	text_free(&out);
}
END_TEST

START_TEST(slips_of_the_pen_are_noticed)
{
	struct protocol protocol = make_protocol();
	struct stroke_row rows[5];
	struct measurement measurement = make_measurement(rows);
	struct reading on_left = {
		.kind = READING_VALUE, .value = 3.5, .rail_named = true, .rail = RAIL_LEFT};
	struct reading on_right = on_left;
	struct reading split = {.kind = READING_VALUE, .value = 2.5};
	struct text out = {0};

	on_right.rail = RAIL_RIGHT;
	add_reading(&rows[0], "cue_rail1", on_left);
	add_reading(&rows[1], "cue_rail1", on_right);
	add_reading(&rows[3], "cue_rail1", on_left);
	add_reading(&rows[4], "cue_rail1", on_left);
	rows[4].readings[quantity_number((struct quantity){QUANTITY_SOUND, 0, 3})].value = 1.208;
	print_check(&measurement, &protocol, &out);
	check_says(&out, "Lines 12 and 13, shot timed-lag: cue_rail1 is on the left rail in one and on "
	                 "the right rail in the other.");
	check_lacks(&out, "hold the same readings");
	text_free(&out);
	/* Two readings may agree by chance; the third makes it a copied row. */
	add_reading(&rows[3], "cue_rest_long", split);
	add_reading(&rows[4], "cue_rest_long", split);
	print_check(&measurement, &protocol, &out);
	check_contains(&out, "  - Lines 15 and 17, shot thin-cut, hold the same readings.");
	text_free(&out);
}
END_TEST

static TCase *measurement_case(void)
{
	TCase *tests = tcase_create("protocols and measurements");

	tcase_add_test(tests, a_protocol_is_shown_as_a_player_reads_it);
	tcase_add_test(tests, placed_aimed_and_struck_in_every_way);
	tcase_add_test(tests, balls_of_other_size_are_told);
	tcase_add_test(tests, one_of_a_thing_is_told_in_the_singular);
	tcase_add_test(tests, blank_texts_leave_no_trace);
	tcase_add_test(tests, a_measurement_is_told_back);
	tcase_add_test(tests, an_expert_notices);
	tcase_add_test(tests, slips_of_the_pen_are_noticed);
	return tests;
}

int main(void)
{
	Suite *suite = suite_create("report of measurements");

	suite_add_tcase(suite, measurement_case());
	return run_suite(suite);
}
