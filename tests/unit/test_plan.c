/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <string.h>

#include "advise/plan.h"
#include "files/protocol_file.h"
#include "report/plan_text.h"
#include "session_support.h"

/* Plans made of small families. */

static void ask(struct plan_request *request, unsigned kit)
{
	*request = (struct plan_request){
	    .session = session_default(),
	    .spreads = {PLAN_SPREAD_SPEED, PLAN_SPREAD_AIM, PLAN_SPREAD_TIP, PLAN_SPREAD_TIP},
	    .kit = kit,
	    .strokes = 4,
	    .candidates = 90,
	    .seed = 4,
	    .threads = 1};
	plan_knowledge_none(&request->known);
	for (int q = 0; q < PLAN_QUANTITIES; q++)
		request->want[q] = plan_quantity_default(q);
}

static bool measures(const struct shot_design *design, enum quantity_kind kind)
{
	for (int number = 0; number < QUANTITY_COUNT; number++)
		if ((design->measure & (UINT32_C(1) << number)) && quantity_at(number).kind == kind)
			return true;
	return false;
}

/* The same plan, to the last bit, whatever the number of threads. */
START_TEST(threads_change_nothing)
{
	static struct plan one, other;
	struct plan_request request;

	ask(&request, KIT_TAPE | KIT_WATCH | KIT_SOUND);
	ck_assert_int_eq(plan_make(&request, &one), STATUS_OK);
	ck_assert_uint_ge(one.count, 3);
	for (unsigned threads = 2; threads <= 5; threads += 3) {
		request.threads = threads;
		ck_assert_int_eq(plan_make(&request, &other), STATUS_OK);
		ck_assert_uint_eq(one.count, other.count);
		ck_assert_mem_eq(one.expected, other.expected, sizeof one.expected);
		for (size_t i = 0; i < one.count; i++) {
			ck_assert_str_eq(one.shots[i].design.key, other.shots[i].design.key);
			ck_assert_int_eq(one.shots[i].design.tries, other.shots[i].design.tries);
			ck_assert_uint_eq(one.shots[i].design.measure,
			                  other.shots[i].design.measure);
			ck_assert_double_eq(one.shots[i].design.launch.speed,
			                    other.shots[i].design.launch.speed);
			ck_assert_mem_eq(one.shots[i].errors, other.shots[i].errors,
			                 sizeof one.shots[i].errors);
		}
		plan_free(&other);
	}
	plan_free(&one);
}
END_TEST

/* Every candidate can be told with the kit, its balls lie on quarter diamonds, and there are as
 * many as asked for, but for those whose balls would lie off the bed. */
START_TEST(family_respects_the_kit)
{
	static struct plan_candidate candidates[5000];
	const struct table *table = table_find_preset("pool-9ft", 8);
	const struct plan_spreads spreads = {0.11, 0.27, 0.04, 0.06};
	const unsigned kits[] = {0,
	                         KIT_TAPE,
	                         KIT_WATCH,
	                         KIT_SOUND,
	                         KIT_RAMP | KIT_WATCH,
	                         KIT_TAPE | KIT_WATCH | KIT_SOUND | KIT_RAMP};
	int misses = 0;

	for (size_t k = 0; k < sizeof kits / sizeof kits[0]; k++) {
		size_t count = plan_family_fill(table, kits[k], &spreads, 5000, candidates);
		bool seen[PLAN_KINDS] = {false};

		ck_assert_uint_ge(count, 4000);
		ck_assert_uint_le(count, 5000);
		for (size_t i = 0; i < count; i++) {
			const struct shot_design *design = &candidates[i].design;
			int row = (int)i;

			seen[candidates[i].kind] = true;
			misses += close_false(
			    "watch", row, "only with a watch",
			    (kits[k] & KIT_WATCH) ||
				(design->watch_count == 0 && !measures(design, QUANTITY_WATCH)));
			misses +=
			    close_false("sound", row, "only with a phone",
			                (kits[k] & KIT_SOUND) || !measures(design, QUANTITY_SOUND));
			misses += close_false("ramp", row, "only with a ramp",
			                      (kits[k] & KIT_RAMP) || !design->launch.by_ramp);
			misses += close_false(
			    "place", row, "on quarter diamonds",
			    fmod(4.0 * design->place[BALL_CUE].along.diamonds, 1.0) == 0.0 &&
				fmod(4.0 * design->place[BALL_CUE].across.diamonds, 1.0) == 0.0);
			misses += close_false("spread", row, "as the player's",
			                      design->launch.by_ramp ||
			                          design->launch.speed_spread == 0.11);
		}
		for (int kind = 0; kind < PLAN_KINDS; kind++) {
			bool ramp = kind == PLAN_RAMP_ROLL || kind == PLAN_RAMP_CROSS;
			bool can = (!ramp || (kits[k] & KIT_RAMP)) &&
			           (kind != PLAN_SPIN || (kits[k] & KIT_WATCH));

			misses += close_false("kind", kind, "is there if the kit allows it",
			                      seen[kind] == can);
		}
	}
	ck_assert_int_eq(misses, 0);
}
END_TEST

/* More shots never make anything less known; a plan of all kit knows more of every cloth friction
 * than before it; no shot is less stable than the limit. */
START_TEST(errors_fall)
{
	static struct plan plan;
	struct plan_request request;

	ask(&request, KIT_TAPE | KIT_WATCH | KIT_SOUND);
	request.strokes = 6;
	request.candidates = 200;
	ck_assert_int_eq(plan_make(&request, &plan), STATUS_OK);
	ck_assert_double_le(plan.value, plan.greedy);
	for (size_t i = 0; i < plan.count; i++) {
		const double *before = i == 0 ? plan.before : plan.shots[i - 1].errors;

		ck_assert_double_ge(plan.shots[i].stable, PLAN_STABLE);
		for (int q = 0; q < PLAN_QUANTITIES; q++)
			ck_assert_double_le(plan.shots[i].errors[q], before[q] + 1e-12);
	}
	for (int id = SLIDING_FRICTION; id <= SPIN_FRICTION; id++)
		ck_assert_double_lt(plan.expected[id], 0.95 * plan.before[id]);
	plan_free(&plan);
}
END_TEST

/* Without a watch, a phone or a ramp of known speed nothing tells the time. */
START_TEST(no_clock_no_cloth)
{
	static struct plan plan;
	struct plan_request request;

	ask(&request, KIT_TAPE);
	ck_assert_int_eq(plan_make(&request, &plan), STATUS_OK);
	ck_assert(!plan.has_clock);
	for (int id = SLIDING_FRICTION; id <= SPIN_FRICTION; id++) {
		ck_assert_double_eq(plan.expected[id], plan.before[id]);
		ck_assert_int_eq(plan_text_state(&plan, id), KNOWLEDGE_NOT_DETERMINED);
		ck_assert_str_eq(plan_text_reason(&request, &plan, id),
		                 "positions alone have no clock: add watch or sound to the kit");
	}
	ck_assert_double_lt(plan.expected[CUSHION_FRICTION], 0.8 * plan.before[CUSHION_FRICTION]);
	plan_free(&plan);
}
END_TEST

/* A want that is easy: a plan that stops early, well within the strokes it may have. */
START_TEST(stops_when_met)
{
	static struct plan plan;
	struct plan_request request;

	ask(&request, KIT_TAPE | KIT_WATCH);
	memset(request.want, 0, sizeof request.want);
	request.want[ROLLING_RESISTANCE] = 0.15;
	request.stops = true;
	request.strokes = 20;
	request.candidates = 200;
	ck_assert_int_eq(plan_make(&request, &plan), STATUS_OK);
	ck_assert_uint_le(plan.count, 2);
	ck_assert(plan.wanted_met);
	ck_assert_double_le(plan.expected[ROLLING_RESISTANCE], 0.15);
	ck_assert_ptr_null(plan_text_reason(&request, &plan, ROLLING_RESISTANCE));
	plan_free(&plan);
}
END_TEST

/* What is known already is not asked again: the error before is that of the profile. */
START_TEST(knowledge_counts)
{
	static struct plan plan;
	struct plan_request request;

	ask(&request, KIT_TAPE | KIT_WATCH);
	request.known.covariance[ROLLING_RESISTANCE][ROLLING_RESISTANCE] = 0.0036;
	request.known.has_clock = true;
	ck_assert_int_eq(plan_make(&request, &plan), STATUS_OK);
	/* 0.06 of a prior of log 1.6 = 0.47 */
	ck_assert_double_eq_tol(plan.before[ROLLING_RESISTANCE], 0.06 * log(1.6), 1e-12);
	ck_assert_double_le(plan.expected[ROLLING_RESISTANCE], 0.06 * log(1.6));
	plan_free(&plan);
}
END_TEST

static void stop_at_once(void *context, double fraction, const char *phase)
{
	(void)fraction;
	(void)phase;
	*(volatile sig_atomic_t *)context = 2;
}

START_TEST(stops_on_request)
{
	static struct plan plan;
	volatile sig_atomic_t stop = 0;
	struct progress progress = {
	    .stop = &stop, .report = stop_at_once, .context = (void *)&stop};
	struct plan_request request;

	ask(&request, KIT_TAPE);
	request.progress = &progress;
	ck_assert_int_eq(plan_make(&request, &plan), STATUS_INTERRUPTED);
	plan_free(&plan);
}
END_TEST

/* The protocol of a plan is one that the reader takes, with texts for every shot. */
START_TEST(protocol_is_accepted)
{
	static struct plan plan;
	struct plan_request request;
	struct protocol protocol, back;
	struct arena *arena = arena_create();
	struct text text = {0};

	ask(&request, KIT_TAPE | KIT_WATCH | KIT_SOUND | KIT_RAMP);
	request.strokes = 7;
	ck_assert_int_eq(plan_make(&request, &plan), STATUS_OK);
	ck_assert(plan_text_protocol(&request, &plan, "made", arena, &protocol));
	protocol_file_print(&protocol, &text);
	session_support_parse(text_bytes(&text), &back);
	ck_assert_uint_eq(back.shot_count, plan.count);
	for (size_t i = 0; i < back.shot_count; i++) {
		ck_assert_uint_ge(strlen(back.shots[i].how), 60);
		ck_assert_uint_ge(strlen(back.shots[i].title), 5);
	}
	text_free(&text);
	protocol_free(&back);
	arena_free(arena);
	plan_free(&plan);
}
END_TEST

/* Names as a person writes them. */
START_TEST(quantities_have_names)
{
	int quantity = -1;

	ck_assert(plan_quantity_from_name("sliding_friction", &quantity));
	ck_assert_int_eq(quantity, SLIDING_FRICTION);
	ck_assert(plan_quantity_from_name("cushion-restitution", &quantity));
	ck_assert_int_eq(quantity, CUSHION_RESTITUTION);
	ck_assert(plan_quantity_from_name("one-length-time", &quantity));
	ck_assert_int_eq(quantity, CONSTANT_COUNT + ONE_LENGTH_TIME_S);
	ck_assert(plan_quantity_from_name("stun_slide_diamonds", &quantity));
	ck_assert_int_eq(quantity, CONSTANT_COUNT + STUN_SLIDE_DIAMONDS);
	ck_assert(!plan_quantity_from_name("sliding", &quantity));
	ck_assert(!plan_quantity_from_name("", &quantity));
	ck_assert(!plan_quantity_from_name("one-length", &quantity));
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("plan");
	TCase *plans = tcase_create("plans");

	tcase_add_test(plans, threads_change_nothing);
	tcase_add_test(plans, family_respects_the_kit);
	tcase_add_test(plans, errors_fall);
	tcase_add_test(plans, no_clock_no_cloth);
	tcase_add_test(plans, stops_when_met);
	tcase_add_test(plans, knowledge_counts);
	tcase_add_test(plans, stops_on_request);
	tcase_add_test(plans, protocol_is_accepted);
	tcase_add_test(plans, quantities_have_names);
	suite_add_tcase(suite, plans);
	return close_run(suite);
}
