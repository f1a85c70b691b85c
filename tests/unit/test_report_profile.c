/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report_checks.h"

#include "report/fit_text.h"
#include "report/fit_words.h"
#include "report/profile_text.h"

/* --- A profile made by hand ----------------------------------------------------------------- */

static struct estimate known(double value, double error, enum knowledge state)
{
	return (struct estimate){
		.best = {value, error, value - 1.96 * error, value + 1.96 * error},
		.state = state,
		.has_interval = true,
		.has_learned = true,
		.learned = 0.9,
	};
}

/* One of each state; numbers invented. */
static struct profile make_profile(void)
{
	struct profile profile = {
		.tool_version = "0.9.1",
		.made = "2026-11-24T23:46:40Z",
		.seed = 1,
		.shots_used = 15,
		.chi_square = 41.23,
		.degrees_of_freedom = 47.61,
		.stop_reason = "converged",
		.has_lack_of_fit_p = true,
		.lack_of_fit_p = 0.731,
	};

	profile.table = *table_find_preset("pool-9ft", 8);
	profile.notes[NOTE_TABLE_NAME] = "Table 4";
	profile.notes[NOTE_TEMPERATURE_C] = "21.5";
	for (int id = 0; id < CONSTANT_COUNT; id++)
		profile.constants[id] = known(0.2, 0.01, KNOWLEDGE_DETERMINED);
	profile.constants[SLIDING_FRICTION] = known(0.19337, 0.00816, KNOWLEDGE_DETERMINED);
	profile.constants[ROLLING_RESISTANCE] = known(0.010534, 0.000371, KNOWLEDGE_DETERMINED);
	profile.constants[SPIN_FRICTION] = known(0.01, 0.007, KNOWLEDGE_NOT_DETERMINED);
	profile.constants[CUSHION_FRICTION] = known(0.1512, 0.0187, KNOWLEDGE_WEAK);
	profile.constants[CUSHION_RESTITUTION] = known(0.9991, 0.0031, KNOWLEDGE_AT_LIMIT);
	profile.constants[BALL_RESTITUTION] = (struct estimate){
		.best = {0.955, 0, 0, 0}, .state = KNOWLEDGE_HELD};
	for (int id = 0; id < CONDITION_COUNT; id++)
		profile.conditions[id] = known(3.137, 0.123, KNOWLEDGE_DETERMINED);
	profile.conditions[ONE_LENGTH_TIME_S] = known(6.933, 0.124, KNOWLEDGE_DETERMINED);
	profile.conditions[FULL_SIDE_LASTS_S] = known(4.1, 2.2, KNOWLEDGE_NOT_DETERMINED);
	return profile;
}

START_TEST(a_profile_says_what_is_known)
{
	struct profile profile = make_profile();
	struct text out = {0};

	profile_text_print(&profile, &out);
	ck_assert(!out.failed);
	check_columns(&out);
	check_contains(&out, "  table name     Table 4\n");
	check_contains(&out, "  temperature    21.5 \302\260C\n");
	check_contains(&out, "  made           2026-11-24T23:46:40Z by restpoint 0.9.1, seed 1\n");
	check_contains(&out, "  one-length roll time           6.93 \302\261 0.12 s"
	                     "                   known\n"
	                     "      95 % interval 6.69 to 7.18 s; ");
	check_contains(&out, "  sliding friction               0.1934 \302\261 0.0082"
	                     "                 known\n"
	                     "      95 % interval 0.1774 to 0.2094\n");
	check_contains(&out, "  cushion friction               0.151 \302\261 0.019"
	                     "                   rough\n");
	check_contains(&out, "at its limit\n");
	check_contains(&out, "  ball restitution               0.955"
	                     "                           held\n");
	check_says(&out, "deceleration of a rolling ball / g (another definition in print is 7/5");
	text_free(&out);
}
END_TEST

START_TEST(what_is_not_known_is_a_dash_with_the_shot_that_settles_it)
{
	struct profile profile = make_profile();
	struct text out = {0};

	profile_text_print(&profile, &out);
	check_contains(&out, "  spin friction                  -"
	                     "                               not known\n      to settle it: ");
	check_says(&out, "to settle it: play spin on the spot, a stop shot with side, and time it from "
	                 "the strike until the cue ball is still cushion restitution");
	check_contains(&out, "  full side lasts                -"
	                     "                               not known\n"
	                     "      to settle it: see spin friction below\n");
	check_lacks(&out, "4.1");
	text_free(&out);
	/* A condition can stay open though the constant it leans on is known. */
	profile.conditions[FULL_SIDE_RETURN_DIAMONDS].state = KNOWLEDGE_NOT_DETERMINED;
	profile_text_print(&profile, &out);
	check_says(&out, "return per full side - not known to settle it: play a square cross-table hit "
	                 "with side and read where it meets the rail it came from throw");
	text_free(&out);
}
END_TEST

/* Nothing is said of a level table; where a slope is held, steepness and direction come first. */
START_TEST(a_slope_is_told_by_steepness_and_direction)
{
	struct profile profile = make_profile();
	struct text out = {0};

	profile_text_print(&profile, &out);
	check_lacks(&out, "Slope of the bed");
	check_lacks(&out, "Cushions at speed");
	text_free(&out);
	profile.has_slope = true;
	profile.slope = (struct profile_slope){
		.along = known(-0.00137, 0.00021, KNOWLEDGE_DETERMINED),
		.across = known(0.00059, 0.00018, KNOWLEDGE_WEAK),
		.steepness = known(1.492, 0.203, KNOWLEDGE_WEAK),
		.has_direction = true,
		.direction = known(156.7, 7.3, KNOWLEDGE_DETERMINED),
	};
	profile_text_print(&profile, &out);
	check_columns(&out);
	check_contains(&out, "\nSlope of the bed\n"
	                     "  steepness                      1.49 \302\261 0.20 mm per m"
	                     "            rough\n"
	                     "      95 % interval 1.09 to 1.89 mm per m\n"
	                     "  uphill is at                   156.7 \302\261 7.3 degrees"
	                     "             known\n"
	                     "      95 % interval 142.4 to 171.0 degrees; between right and head (0 "
	                     "is to the\n      foot, 90 to the right)\n"
	                     "  rise to the foot               -0.00137 \302\261 0.00021");
	check_says(&out, "rise to the right 0.00059 \302\261 0.00018 rough");
	text_free(&out);
}
END_TEST

START_TEST(a_slope_that_may_be_none_has_no_direction)
{
	struct profile profile = make_profile();
	struct text out = {0};

	profile.has_slope = true;
	profile.slope = (struct profile_slope){
		.along = known(0.0001, 0.0003, KNOWLEDGE_WEAK),
		.across = known(0.0002, 0.0003, KNOWLEDGE_NOT_DETERMINED),
		.steepness = known(0.22, 0.3, KNOWLEDGE_WEAK),
	};
	profile.has_liveliness_fall = true;
	profile.liveliness_fall = known(0.0187, 0.0042, KNOWLEDGE_WEAK);
	profile_text_print(&profile, &out);
	check_columns(&out);
	check_says(&out, "uphill is at - not known to settle it: the slope must first be told from "
	                 "none at all rise to the foot");
	check_says(&out, "rise to the right - not known to settle it: roll slow balls both ways");
	check_says(&out, "Cushions at speed liveliness fall 0.0187 \302\261 0.0042 per m/s rough 95 % "
	                 "interval 0.0105 to 0.0269 per m/s; cushion restitution is less by this");
	text_free(&out);
}
END_TEST

/* A rail is called dead only where it is beyond doubt: 0.962 by 0.008 is, 1.021 by 0.009 is not. */
START_TEST(a_dead_rail_is_named)
{
	struct profile profile = make_profile();
	struct text out = {0};

	profile_text_print(&profile, &out);
	check_lacks(&out, "Rails");
	text_free(&out);
	profile.has_rails = true;
	for (int rail = 0; rail < RAIL_COUNT; rail++) {
		profile.rails.rail[rail].liveliness = known(1.021, 0.009, KNOWLEDGE_DETERMINED);
		profile.rails.rail[rail].grip = known(1.0, 0.07, KNOWLEDGE_NOT_DETERMINED);
	}
	profile.rails.rail[RAIL_FOOT].liveliness = known(0.962, 0.008, KNOWLEDGE_DETERMINED);
	profile.rails.rail[RAIL_LEFT].grip = known(1.31, 0.06, KNOWLEDGE_DETERMINED);
	profile_text_print(&profile, &out);
	check_columns(&out);
	check_says(&out, "liveliness of the foot rail 0.9620 \302\261 0.0080 known 95 % interval 0.9463 "
	                 "to 0.9777; cushion restitution of this rail over that of all four; beyond "
	                 "doubt: the foot rail is 3.8 % dead");
	check_says(&out, "beyond doubt: the left rail grips 31 % more");
	check_lacks(&out, "lively");
	check_says(&out, "grip of the head rail - not known to settle it: send a ball with side");
	text_free(&out);
}
END_TEST

START_TEST(a_nap_is_told_both_ways)
{
	struct profile profile = make_profile();
	struct text out = {0};

	profile_text_print(&profile, &out);
	check_lacks(&out, "Nap of the cloth");
	text_free(&out);
	profile.table = *table_find_preset("snooker-12ft", strlen("snooker-12ft"));
	profile.constants[ROLLING_RESISTANCE] = known(0.0127, 0.0003, KNOWLEDGE_DETERMINED);
	profile.has_nap = true;
	profile.nap = known(-0.0023, 0.0002, KNOWLEDGE_WEAK);
	profile_text_print(&profile, &out);
	check_columns(&out);
	check_says(&out, "Nap of the cloth push on a rolling ball -0.00230 \302\261 0.00020 rough 95 % "
	                 "interval -0.00269 to -0.00191; the nap runs to the head: balls roll on to "
	                 "the head and stop short to the foot");
	check_says(&out, "rolling resistance is 0.0150 toward the foot, 0.0104 toward the head");
	check_lacks(&out, "geometry only");
	text_free(&out);
	profile.nap = known(0.0003, 0.0002, KNOWLEDGE_WEAK);
	profile_text_print(&profile, &out);
	check_says(&out, "the interval holds 0: there may be no nap that matters");
	text_free(&out);
}
END_TEST

/* The sentences that the fit prints; files are named where a player has several. */
START_TEST(players_are_told_session_by_session)
{
	struct profile profile = make_profile();
	struct text out = {0};
	struct profile_player players[2] = {
	    {.name = "AB",
	     .file = "first.csv",
	     .spread[PLAYER_SPEED_SPREAD] = {true, 9, 0.0672, 0.0411, 0.1183},
	     .offset = {{0.83, 0.02, 0.79, 0.87},
	                {-0.017, 0.011, -0.039, 0.006},
	                {0.013, 0.009, -0.005, 0.031}}},
	    {.name = "AB",
	     .file = "second.csv",
	     .offset = {{1.37, 0.11, 1.17, 1.6},
	                {0.021, 0.03, -0.038, 0.08},
	                {0.0, 0.03, -0.06, 0.06}}}};

	profile_text_print(&profile, &out);
	check_lacks(&out, "Player");
	text_free(&out);
	profile.player_count = 1;
	profile.players = players;
	profile_text_print(&profile, &out);
	check_columns(&out);
	check_says(&out, "Player AB your speed repeats within 6.7 % from try to try (95 % interval "
	                 "4.1 to 11.8, 9 tries) you strike 17 % softer than designed (95 % interval "
	                 "-21 to -13 %) you strike 0.017 of the radius lower than designed (95 % "
	                 "interval -0.039 to 0.006) you strike 0.013 of the radius farther right");
	check_lacks(&out, "aim repeats");
	text_free(&out);
	profile.player_count = 2;
	profile_text_print(&profile, &out);
	check_says(&out, "Player AB, first.csv your speed");
	check_says(&out, "Player AB, second.csv you strike 37 % firmer than designed");
	text_free(&out);
}
END_TEST

START_TEST(legend_tells_the_states_of_the_terms_too)
{
	struct profile profile = make_profile();
	struct text out = {0};

	for (int id = 0; id < CONSTANT_COUNT; id++)
		profile.constants[id] = known(0.2, 0.01, KNOWLEDGE_DETERMINED);
	for (int id = 0; id < CONDITION_COUNT; id++)
		profile.conditions[id] = known(3.137, 0.123, KNOWLEDGE_DETERMINED);
	profile_text_print(&profile, &out);
	check_lacks(&out, "rough: ");
	text_free(&out);
	profile.has_liveliness_fall = true;
	profile.liveliness_fall = known(0.0187, 0.0042, KNOWLEDGE_WEAK);
	profile_text_print(&profile, &out);
	check_contains(&out, "rough: measured to worse than 10 %");
	text_free(&out);
}
END_TEST

START_TEST(players_terms_come_before_the_constants)
{
	struct profile profile = make_profile();
	struct text out = {0};

	profile_text_print(&profile, &out);
	ck_assert_ptr_nonnull(strstr(text_bytes(&out), "one-length roll time"));
	ck_assert(strstr(text_bytes(&out), "one-length roll time") <
	          strstr(text_bytes(&out), "sliding friction  "));
	text_free(&out);
}
END_TEST

START_TEST(the_fit_is_told_in_sentences)
{
	struct profile profile = make_profile();
	struct text out = {0};

	fit_words_summary(&profile, &out);
	check_text(&out, "15 strokes used, 0 rows set aside. Chi-square 41.2 for 47.6 degrees of "
	                 "freedom. The shots agree with the model as well as their tries agree with "
	                 "each other: chance alone gives a worse misfit in 73 % of sessions "
	                 "(lack-of-fit p). The errors were taken as "
	                 "stated, not scaled. The search stopped because: converged. Seed 1.");
	profile.lack_of_fit_p = 0.0123;
	profile.scaled = true;
	profile.chi_square = 82.4;
	profile.degrees_of_freedom = 51.5;
	fit_words_summary(&profile, &out);
	check_contains(&out, "agree badly");
	check_contains(&out, "in only 1.2 % of sessions");
	check_contains(&out, "may do what the model leaves out");
	check_contains(&out, "scatter more than their stated errors say");
	check_contains(&out, "multiplied by 1.265,"); /* sqrt(82.4 / 51.5) = sqrt(1.6) = 1.26491 */
	text_free(&out);
	profile.lack_of_fit_p = 1e-7;
	fit_words_summary(&profile, &out);
	check_contains(&out, "fewer than 0.1 % of sessions");
	text_free(&out);
	profile.has_lack_of_fit_p = false;
	fit_words_summary(&profile, &out);
	check_contains(&out, "was not tested");
	text_free(&out);
}
END_TEST

START_TEST(a_profile_names_rows_balls_and_strong_correlations)
{
	struct profile profile = make_profile();
	struct set_aside_row row = {"monday.csv", 17, "timed-lag", "hit bit firm"};
	struct profile_ball balls[] = {
		{"A", true, {.best = {1, 0, 0, 0}, .state = KNOWLEDGE_HELD}},
		{"B", false, {.best = {1, 0, 0, 0}, .state = KNOWLEDGE_HELD}},
	};
	const char *order[] = {"sliding_friction", "ball_friction", "cushion_friction"};
	double matrix[] = {1, -0.834, 0.2, -0.834, 1, 0.1, 0.2, 0.1, 1};
	struct profile_source source = {.file = "monday.csv", .protocol = "quarter-hour"};
	struct text out = {0};

	profile.set_aside = &row;
	profile.set_aside_count = 1;
	profile.balls = balls;
	profile.ball_count = 2;
	profile.correlation_order = order;
	profile.correlation = matrix;
	profile.correlation_count = 3;
	profile.sources = &source;
	profile.source_count = 1;
	profile_text_print(&profile, &out);
	check_columns(&out);
	check_contains(&out, "  monday.csv line 17, shot timed-lag: hit bit firm\n");
	check_contains(&out, "  grip of ball A (reference)     1                               held\n");
	check_contains(&out, "  - Grips of balls held at 1: balls taken as alike.\n");
	check_contains(&out, "  sliding_friction and ball_friction go together: correlation -0.83.\n");
	check_lacks(&out, "cushion_friction go");
	check_contains(&out, "  from monday.csv, protocol quarter-hour\n");
	text_free(&out);
}
END_TEST

START_TEST(a_napped_preset_is_geometry_only)
{
	struct profile profile = make_profile();
	struct text out = {0};

	profile_text_print(&profile, &out);
	check_lacks(&out, "geometry only");
	text_free(&out);
	profile.table = *table_find_preset("snooker-12ft", 12);
	profile_text_print(&profile, &out);
	check_columns(&out);
	check_contains(&out, "snooker-12ft has a napped cloth: its preset is geometry only.");
	check_contains(&out, "The nose height of snooker-12ft is assumed");
	text_free(&out);
}
END_TEST

/* --- A fit ---------------------------------------------------------------------------------- */

static struct fit_result make_fit(void)
{
	struct fit_result fit = {
		.converged = true,
		.has_clock = true,
		.stop_reason = "converged",
		.iterations = 12,
		.readings_used = 61,
	};

	return fit;
}

/* A bed that is no plane is told line by line; one that is, is not. */
START_TEST(a_bent_bed_is_told_by_its_lines)
{
	struct profile profile = make_profile();
	struct fit_result fit = make_fit();
	struct fit_line lines[] = {{"slow-up", 3, 6, 31.7, 0.0000187, 3, 3, 41.3, -17.9},
	                           {"heard", 2, 4, 3.3, 0.509, 0, 0, 0.0, 0.0}};
	struct text out = {0};

	fit.has_slope = true;
	fit.line_count = 2;
	fit.lines = lines;
	fit_text_print(STATUS_OK, &fit, &profile, NULL, &out);
	check_lacks(&out, "no plane");
	text_free(&out);
	fit.no_plane = true;
	fit_text_print(STATUS_OK, &fit, &profile, NULL, &out);
	check_columns(&out);
	check_says(&out, "The bed is no plane One slope for the whole bed does not explain");
	check_says(&out, "shot slow-up, 3 strokes: chance gives a worse misfit in 0.0 % of sessions; "
	                 "the cue ball stopped 41 mm nearer to the foot and 18 mm farther left than a "
	                 "plane bed has it");
	check_says(&out, "shot heard, 2 strokes: chance gives a worse misfit in 51 % of sessions");
	text_free(&out);
	fit_json_print(STATUS_OK, &fit, &profile, NULL, "{\n}\n", &out);
	check_contains(&out, "\"plane\": false");
	check_contains(&out, "{ \"shot\": \"slow-up\", \"strokes\": 3, \"readings\": 6, ");
	text_free(&out);
}
END_TEST

START_TEST(combinations_say_what_would_tell_them_apart)
{
	struct fit_combination combination = {
		.first = SLIDING_FRICTION,
		.second = ROLLING_RESISTANCE,
		.interval = {19.13, 0.87, 17.44, 20.91}};
	struct text out = {0};

	fit_words_combination(&combination, false, &out);
	check_text(&out, "These shots give sliding friction / rolling resistance = 19.13 \302\261 0.87 "
	                 "(95 % interval 17.44 to 20.91), neither alone: time one shot.");
	combination.first = CUSHION_FRICTION;
	combination.product = true;
	fit_words_combination(&combination, false, &out);
	check_contains(&out, "cushion friction x rolling resistance = 19.13");
	check_contains(&out, "neither alone: play a square cross-table hit with side");
	text_free(&out);
}
END_TEST

START_TEST(an_incomplete_fit_says_so_first)
{
	static const struct {
		enum status ending;
		const char *heading;
	} cases[] = {
		{STATUS_INTERRUPTED, "INCOMPLETE: the fit was interrupted."},
		{STATUS_NOT_CONVERGED, "INCOMPLETE: the fit did not converge."},
		{STATUS_UNDETERMINED, "NO RESULT: these shots determine no constant"},
	};
	struct profile profile = make_profile();
	struct fit_result fit = make_fit();

	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct text out = {0};

		fit_text_print(cases[i].ending, &fit, &profile, NULL, &out);
		check_columns(&out);
		ck_assert_ptr_eq(strstr(text_bytes(&out), cases[i].heading), text_bytes(&out));
		text_free(&out);
	}
}
END_TEST

START_TEST(a_complete_fit_is_the_profile_and_what_is_known_together)
{
	struct profile profile = make_profile();
	struct fit_result fit = make_fit();
	struct text out = {0}, shown = {0};

	fit_text_print(STATUS_OK, &fit, &profile, NULL, &out);
	profile_text_print(&profile, &shown);
	ck_assert_str_eq(text_bytes(&out), text_bytes(&shown));
	text_free(&out);
	fit.has_clock = false;
	fit.combination_count = 1;
	fit.combinations[0] = (struct fit_combination){
		.first = SLIDING_FRICTION,
		.second = ROLLING_RESISTANCE,
		.interval = {19.13, 0.87, 17.44, 20.91}};
	fit_text_print(STATUS_OK, &fit, &profile, NULL, &out);
	check_columns(&out);
	check_contains(&out, text_bytes(&shown));
	check_contains(&out, "\nKnown only together\n  These shots give sliding friction");
	check_says(&out, "positions alone have no clock");
	text_free(&out);
	text_free(&shown);
}
END_TEST

/* Shots made by hand; the sentences are the contract of restpoint-fit(1). */
START_TEST(what_to_play_next_closes_the_answer)
{
	struct shot_design lag = {.key = "timed-lag", .title = "Timed lag"};
	struct shot_design cut = {.key = "half-ball", .title = "Half-ball cut"};
	struct protocol full = {.name = "full"}, phone = {.name = "phone"};
	struct next_shots next = {.worst = SPIN_FRICTION, .count = 2};
	struct profile profile = make_profile();
	struct fit_result fit = make_fit();
	struct text out = {0};

	next.shots[0] = (struct next_shot){.protocol = &full, .shot = &lag, .strokes = 2,
	                                   .more = true, .constant = SPIN_FRICTION,
	                                   .before = 0.1531, .after = 0.0827};
	next.shots[1] = (struct next_shot){.protocol = &phone, .shot = &cut, .strokes = 3,
	                                   .kit = KIT_SOUND | KIT_TAPE,
	                                   .constant = CUSHION_FRICTION, .before = 0.1237,
	                                   .after = 0.0998};
	fit_text_print(STATUS_OK, &fit, &profile, &next, &out);
	check_columns(&out);
	check_contains(&out, "\n\n  Next: play timed-lag (protocol full) twice more: spin friction "
	                     "would be known\n    to 8.3 % instead of 15 %.\n  Then: play half-ball");
	check_says(&out, "Then: play half-ball (protocol phone; it needs a phone that records the "
	                 "sounds and a tape measure) 3 times: cushion friction would be known to 10 % "
	                 "instead of 12 %.");
	text_free(&out);
	fit_json_print(STATUS_OK, &fit, &profile, &next, "{}", &out);
	check_contains(&out, "  \"next\": {\n    \"all_determined\": false,\n"
	                     "    \"worst\": \"spin_friction\",\n    \"shots\": [\n");
	check_contains(&out, "\"needs\": [\"sound\", \"tape\"]");
	check_contains(&out, "\"relative_error_then\": 0.0827");
	text_free(&out);
}
END_TEST

START_TEST(powers_are_told_with_their_exponents)
{
	struct fit_combination combination = {.first = SLIDING_FRICTION,
	                                      .second = ROLLING_RESISTANCE,
	                                      .product = true,
	                                      .interval = {0.0377, 0.0021, 0.0337, 0.0421},
	                                      .power = true};
	struct text out = {0};

	combination.exponents[SLIDING_FRICTION] = 0.6;
	combination.exponents[ROLLING_RESISTANCE] = 1.0;
	combination.exponents[CUSHION_RESTITUTION] = -2.0;
	fit_words_combination(&combination, true, &out);
	check_contains(&out, "These shots give sliding friction^0.6 x rolling resistance / (1 - "
	                     "cushion restitution)^2 = 0.0377 \302\261 0.0021 (95 % interval 0.0337 to "
	                     "0.0421), none alone: play a firm half-ball");
	text_free(&out);
}
END_TEST

START_TEST(a_fit_as_json_holds_the_profile)
{
	struct profile profile = make_profile();
	struct fit_result fit = make_fit();
	struct text out = {0};

	fit_json_print(STATUS_INTERRUPTED, &fit, &profile, NULL, "{\n  \"format\": \"x\"\n}\n", &out);
	check_contains(&out, "{\n  \"format\": \"restpoint-fit\",\n  \"version\": 1,\n"
	                     "  \"complete\": false,\n  \"ending\": \"interrupted\",\n");
	check_contains(&out, "  \"to_settle\": {\n    \"spin_friction\": \"play spin on the spot");
	check_contains(&out, ",\n  \"profile\": {\n    \"format\": \"x\"\n  }\n}\n");
	text_free(&out);
}
END_TEST

static TCase *profile_case(void)
{
	TCase *tests = tcase_create("profiles and fits");

	tcase_add_test(tests, a_profile_says_what_is_known);
	tcase_add_test(tests, what_is_not_known_is_a_dash_with_the_shot_that_settles_it);
	tcase_add_test(tests, a_slope_is_told_by_steepness_and_direction);
	tcase_add_test(tests, a_slope_that_may_be_none_has_no_direction);
	tcase_add_test(tests, a_dead_rail_is_named);
	tcase_add_test(tests, a_nap_is_told_both_ways);
	tcase_add_test(tests, players_are_told_session_by_session);
	tcase_add_test(tests, a_bent_bed_is_told_by_its_lines);
	tcase_add_test(tests, legend_tells_the_states_of_the_terms_too);
	tcase_add_test(tests, players_terms_come_before_the_constants);
	tcase_add_test(tests, the_fit_is_told_in_sentences);
	tcase_add_test(tests, a_profile_names_rows_balls_and_strong_correlations);
	tcase_add_test(tests, a_napped_preset_is_geometry_only);
	tcase_add_test(tests, combinations_say_what_would_tell_them_apart);
	tcase_add_test(tests, an_incomplete_fit_says_so_first);
	tcase_add_test(tests, a_complete_fit_is_the_profile_and_what_is_known_together);
	tcase_add_test(tests, what_to_play_next_closes_the_answer);
	tcase_add_test(tests, powers_are_told_with_their_exponents);
	tcase_add_test(tests, a_fit_as_json_holds_the_profile);
	return tests;
}

int main(void)
{
	Suite *suite = suite_create("report of profiles");

	suite_add_tcase(suite, profile_case());
	return run_suite(suite);
}
