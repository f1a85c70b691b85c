/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "../unit/session_support.h"
#include "advise/plan.h"
#include "design.h"
#include "estimate/drawn_constants.h"
#include "report/plan_text.h"

/* The protocols that state their expected errors state what the program computes today. */

static void ask(const struct protocol *protocol, struct plan_request *request)
{
	*request = (struct plan_request){.session = session_default(),
	                                 .kit = protocol->kit,
	                                 .seed = RANDOM_DEFAULT_SEED,
	                                 .threads = 1};
	if (!(protocol->kit & KIT_TAPE))
		request->session.errors.position = PLAN_EYE_ERROR;
	plan_knowledge_none(&request->known);
}

/* The sentence on the expected errors of a protocol, as that of a plan. */
static void compute(const struct protocol *protocol, struct text *words)
{
	static struct plan plan;
	struct plan_request request;

	ask(protocol, &request);
	memset(&plan, 0, sizeof plan);
	plan.count = protocol->shot_count;
	ck_assert_uint_le(plan.count, PLAN_ITEMS);
	for (size_t i = 0; i < plan.count; i++) {
		plan.shots[i].kind = PLAN_LAG; /* of trust 1, as no shot here is over three rails */
		plan.shots[i].design = protocol->shots[i];
	}
	ck_assert_int_eq(plan_expect(&request, plan.count, plan.shots, plan.before), STATUS_OK);
	memcpy(plan.expected, plan.shots[plan.count - 1].errors, sizeof plan.expected);
	plan.has_clock = plan.shots[plan.count - 1].clock;
	plan_text_expected(&plan, words);
}

static int check_statement(const char *name)
{
	struct protocol protocol;
	struct text words = {0};
	char path[96];
	int misses;

	snprintf(path, sizeof path, "protocols/%.60s.json", name);
	session_support_protocol(session_support_path(path), &protocol);
	compute(&protocol, &words);
	ck_assert(!words.failed);
	misses = close_false(name, 1, text_bytes(&words),
	                     strstr(protocol.purpose, text_bytes(&words)) != NULL);
	text_free(&words);
	protocol_free(&protocol);
	return misses;
}

START_TEST(statements_hold)
{
	ck_assert_int_eq(check_statement("room") + check_statement("arrival"), 0);
}
END_TEST

/* The grip of the ball in doubt, by the fit with grips linearised at the middle of the priors, its
 * errors enlarged as a fit enlarges them. */
START_TEST(balls_tell_the_grip)
{
	struct session session = session_default();
	struct protocol protocol;
	struct text words = {0};
	const char *why = "";
	double error;

	session_support_protocol(session_support_path("protocols/balls.json"), &protocol);
	ck_assert_msg(design_expected_grip(&protocol, &session, &error, &why), "%s", why);
	text_add(&words,
	         "Expected error of the grip of B, 1 standard deviation relative to that of "
	         "A: ");
	plan_text_percent(DRAWN_WIDENED * error, &words);
	text_add(&words, ".");
	ck_assert_int_eq(close_false("balls", 1, text_bytes(&words),
	                             strstr(protocol.purpose, text_bytes(&words)) != NULL),
	                 0);
	for (size_t i = 0; i < protocol.shot_count; i++)
		ck_assert_int_eq(protocol.shots[i].tries % 2, 0);
	text_free(&words);
	protocol_free(&protocol);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("what protocols state");
	TCase *statements = tcase_create("statements");

	tcase_add_test(statements, statements_hold);
	tcase_add_test(statements, balls_tell_the_grip);
	suite_add_tcase(suite, statements);
	return close_run(suite);
}
