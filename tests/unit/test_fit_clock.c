/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "estimate/simulate.h"
#include "fit_support.h"
#include "session_support.h"

/* physics.md 7: positions alone have no clock. Multiply the three cloth frictions by k and every
 * speed by its root, and every ball stops where it stopped: their ratios are known, they are not. A
 * time, or a release speed that is known, makes the difference. */

/* Takes every time out of a session. */
static void stop_the_clocks(struct measurement *measurement)
{
	for (size_t i = 0; i < measurement->row_count; i++)
		for (int number = 0; number < QUANTITY_COUNT; number++) {
			enum quantity_kind kind = quantity_at(number).kind;

			if (kind == QUANTITY_WATCH || kind == QUANTITY_SOUND)
				measurement->rows[i].readings[number].kind = READING_MISSING;
		}
}

static bool is_cloth(enum constant_id id)
{
	return id == SLIDING_FRICTION || id == ROLLING_RESISTANCE || id == SPIN_FRICTION;
}

/* What a combination is in truth; of a restitution it holds the loss. */
static double true_combination(const struct constants *truth, const struct fit_combination *found)
{
	double product = 1.0;

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		bool loss = constant_prior((enum constant_id)id)->scale == SCALE_LOGIT;

		product *= pow(loss ? 1.0 - truth->value[id] : truth->value[id],
		               found->exponents[id]);
	}
	return product;
}

/* Frictions of the cloth whose ratio is told can all be larger together. */
static void check_common_factor(const struct fit_result *result)
{
	ck_assert_uint_ge(result->unknown_count, 1);
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		double change = result->unknowns[0].change[id];

		ck_assert_double_ge(change, 0.0);
		ck_assert(change == 0.0 || (is_cloth((enum constant_id)id) && change > 0.7));
	}
}

START_TEST(positions_alone_tell_ratios)
{
	struct constants truth = fit_support_truth();
	struct measurement measurement;
	struct protocol protocol;
	struct fit_result result;
	size_t cloth = 0;

	fit_support_protocol(&protocol);
	for (size_t i = 0; i < protocol.shot_count; i++)
		protocol.shots[i].tries *= 5; /* for a sliding friction that is known well enough */
	fit_support_session(&protocol, 101, "positions.csv", &measurement);
	stop_the_clocks(&measurement);
	ck_assert_int_eq(fit_support_run(&protocol, &measurement, 1, &result, NULL), STATUS_OK);
	ck_assert(!result.has_clock);
	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (is_cloth((enum constant_id)id)) {
			ck_assert_int_eq(result.constants[id].state, KNOWLEDGE_NOT_DETERMINED);
			ck_assert_double_eq_tol(result.constants[id].best.value,
			                        constant_prior((enum constant_id)id)->centre, 1e-9);
		}
	for (size_t i = 0; i < result.combination_count; i++) {
		const struct fit_combination *found = &result.combinations[i];
		double deviation = found->interval.standard_error / found->interval.value;

		ck_assert_double_lt(fabs(log(true_combination(&truth, found) / found->interval.value)),
		                    3.5 * deviation);
		cloth += is_cloth(found->first) && is_cloth(found->second) && !found->product;
	}
	ck_assert_uint_ge(cloth, 1);
	check_common_factor(&result);
	fit_result_free(&result);
	measurement_free(&measurement);
	protocol_free(&protocol);
}
END_TEST

/* Rolls from a ramp that stop on the table; GROUP stands for how well the release speed is
 * known. */
static const char ramp_protocol[] =
    "{ \"format\": \"restpoint-protocol\", \"version\": 1, \"name\": \"ramp\", \"title\": \"ramp\","
    " \"purpose\": \"to test\", \"minutes\": 5, \"kit\": [\"ramp\", \"tape\"], \"shots\": ["
    " { \"shot\": \"roll\", \"title\": \"roll\", \"tries\": 6,"
    "   \"place\": { \"cue\": { \"long\": 1, \"short\": 2 } },"
    "   \"aim\": { \"nose\": { \"rail\": \"foot\", \"at\": 2 }, \"spread_deg\": 0.3 },"
    "   \"launch\": { \"by\": \"ramp\", \"ramp\": \"wood\", \"speed_m_s\": 0.55,"
    "     \"group_spread\": GROUP, \"speed_spread\": 0.01 },"
    "   \"measure\": [\"cue_rest_long\"], \"how\": \"Let it go.\" } ] }";

static void fit_ramp(const char *group, struct fit_result *result)
{
	struct session session = session_default();
	struct constants truth = fit_support_truth();
	struct measurement measurement;
	struct protocol protocol;
	char json[sizeof ramp_protocol + 16];
	const char *mark = strstr(ramp_protocol, "GROUP");

	snprintf(json, sizeof json, "%.*s%s%s", (int)(mark - ramp_protocol), ramp_protocol, group,
	         mark + strlen("GROUP"));
	session_support_parse(json, &protocol);
	ck_assert_int_eq(simulate_session(&protocol, &session, &truth, 111, true, &measurement),
	                 STATUS_OK);
	measurement.file = "ramp.csv";
	fit_support_run(&protocol, &measurement, 1, result, NULL);
	measurement_free(&measurement);
	protocol_free(&protocol);
}

/* v^2 / (2 mu g) and a speed known to 2 %: the rolling resistance to about twice that. */
START_TEST(known_release_speed_is_a_clock)
{
	struct fit_result result;
	const struct estimate *rolling = &result.constants[ROLLING_RESISTANCE];

	fit_ramp("0.02", &result);
	ck_assert(result.converged);
	ck_assert(result.has_clock);
	ck_assert_int_eq(rolling->state, KNOWLEDGE_DETERMINED);
	ck_assert_double_gt(rolling->best.standard_error / rolling->best.value, 0.035);
	ck_assert_double_lt(rolling->best.standard_error / rolling->best.value, 0.06);
	ck_assert_double_lt(fabs(log(rolling->best.value / 0.0107)), 0.15);
	fit_result_free(&result);
	fit_ramp("0.3", &result);
	ck_assert(!result.has_clock);
	ck_assert_int_eq(rolling->state, KNOWLEDGE_NOT_DETERMINED);
	fit_result_free(&result);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("clocks");
	TCase *clocks = tcase_create("clocks");

	tcase_add_test(clocks, positions_alone_tell_ratios);
	tcase_add_test(clocks, known_release_speed_is_a_clock);
	suite_add_tcase(suite, clocks);
	return close_run(suite);
}
