/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "estimate/fit.h"
#include "estimate/stroke_model.h"
#include "fit_support.h"

/* What a fit tells of who played. */

static struct protocol protocol;
static struct measurement measurement;
static struct fault_list faults;
static struct fit_input input;

static void setup(void)
{
	fit_support_protocol(&protocol);
	fit_support_session(&protocol, 137, "given.csv", &measurement);
	ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
}

static void teardown(void)
{
	fault_list_free(&faults);
	measurement_free(&measurement);
	protocol_free(&protocol);
}

/* Telling of the player changes nothing of what is fitted; one player of one file is told. */
START_TEST(players_are_told_beside_the_fit)
{
	struct fit_options options = {.seed = 5, .wants = {.player = true}};
	struct fit_result plain, told;
	const struct fit_player *player;

	input = (struct fit_input){&measurement, &protocol};
	ck_assert_int_eq(fit_run(&input, 1, &options, &told, &faults), STATUS_OK);
	options.wants.player = false;
	ck_assert_int_eq(fit_run(&input, 1, &options, &plain, &faults), STATUS_OK);
	ck_assert_uint_eq(plain.player_count, 0);
	ck_assert_uint_eq(told.player_count, 1);
	ck_assert_uint_eq(plain.draw_count, told.draw_count);
	ck_assert(memcmp(plain.draws, told.draws, plain.draw_count * sizeof *plain.draws) == 0);
	player = &told.players[0];
	for (int k = 0; k < FIT_OFFSETS; k++) {
		const struct interval *offset = &player->offset[k];

		ck_assert(offset->low95 < offset->value && offset->value < offset->high95);
	}
	for (int own = 0; own < FIT_SPREADS; own++) {
		const struct fit_spread *spread = &player->spread[own];

		if (!spread->told)
			continue;
		ck_assert_uint_ge(spread->tries, 4);
		ck_assert(spread->low95 <= spread->value && spread->value <= spread->high95);
		ck_assert(spread->high95 > 0.0);
	}
	fit_result_free(&plain);
	fit_result_free(&told);
}
END_TEST

/* Two players in turn are told apart, in the order in which they strike first. */
START_TEST(each_player_is_told)
{
	struct fit_options options = {.seed = 5, .wants = {.player = true}};
	struct fit_result fit;

	for (size_t i = 0; i < measurement.row_count; i++)
		measurement.rows[i].player = i % 2 == 0 ? "GH" : "KL";
	input = (struct fit_input){&measurement, &protocol};
	fit_run(&input, 1, &options, &fit, &faults);
	ck_assert_uint_eq(fit.player_count, 2);
	ck_assert_str_eq(fit.players[0].name, "GH");
	ck_assert_str_eq(fit.players[1].name, "KL");
	fit_result_free(&fit);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("players of a fit");
	TCase *tests = tcase_create("players");

	tcase_add_checked_fixture(tests, setup, teardown);
	tcase_add_test(tests, players_are_told_beside_the_fit);
	tcase_add_test(tests, each_player_is_told);
	suite_add_tcase(suite, tests);
	return close_run(suite);
}
