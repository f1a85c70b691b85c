/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/plan_text.h"

#include <math.h>
#include <string.h>

#include "base/number.h"
#include "report/paragraph.h"
#include "report/protocol_text.h"
#include "report/protocol_words.h"
#include "report/wording.h"

#define FACT_WIDTH 10
#define KEY_WIDTH 18
#define NUMBER_WIDTH 8

static void print_fact(struct text *out, const char *name, struct text *words)
{
	paragraph_fact(out, name, FACT_WIDTH, text_bytes(words));
	out->failed = out->failed || words->failed;
	text_free(words);
}

static void print_wants(const struct plan_request *request, struct text *out)
{
	struct text words = {0};

	if (!request->stops)
		text_add(&words,
		         "every constant, determined (its logarithm to 10 %, or half of what "
		         "is assumed of it)");
	for (int q = 0; request->stops && q < PLAN_QUANTITIES; q++) {
		if (!(request->want[q] > 0.0))
			continue;
		text_print(&words, "%s%s to ", words.length > 0 ? "; " : "", plan_text_title(q));
		plan_text_percent(request->want[q], &words);
	}
	print_fact(out, "asked", &words);
}

static void print_limits(const struct plan_request *request, struct text *out)
{
	struct text words = {0};

	if (request->minutes > 0.0) {
		text_add(&words, "at most ");
		protocol_words_amount(request->minutes, "minute", &words);
	}
	if (request->strokes > 0) {
		text_print(&words, "%sat most ", words.length > 0 ? "; " : "");
		protocol_words_amount((double)request->strokes, "stroke", &words);
	}
	text_print(&words, "%skit: ", words.length > 0 ? "; " : "");
	protocol_words_kit(request->kit, &words);
	print_fact(out, "with", &words);
}

static void print_player(const struct plan_request *request, struct text *out)
{
	const struct plan_spreads *spreads = &request->spreads;
	char speed[NUMBER_SIZE], aim[NUMBER_SIZE], height[NUMBER_SIZE], side[NUMBER_SIZE];
	struct text words = {0};

	number_print(100.0 * spreads->speed, speed);
	number_print(spreads->aim, aim);
	number_print(spreads->height, height);
	number_print(spreads->side, side);
	text_print(
	    &words,
	    "from stroke to stroke (1 standard deviation): speed %s %%, aim %s degrees, tip %s "
	    "of the radius in height and %s to the side",
	    speed, aim, height, side);
	print_fact(out, "player", &words);
}

static void print_head(const struct plan_answer *answer, struct text *out)
{
	const struct plan *plan = answer->plan;
	struct text words = {0};

	text_print(&words,
	           "Plan for a table of the kind %s: ", answer->request->session.table.preset);
	protocol_words_amount(protocol_strokes(answer->protocol), "stroke", &words);
	text_add(&words, " in ");
	protocol_words_amount((double)plan->count, "shot", &words);
	text_add(&words, ", about ");
	protocol_words_amount(answer->protocol->minutes, "minute", &words);
	paragraph_add(out, 0, 2, text_bytes(&words));
	text_free(&words);
	print_wants(answer->request, out);
	print_limits(answer->request, out);
	print_player(answer->request, out);
	text_add(&words, answer->knowing != NULL ? answer->knowing : "nothing but the priors");
	print_fact(out, "known", &words);
	text_print(
	    &words,
	    "%zu shots looked at, %zu of them playable; %zu simulated, of which %zu keep the "
	    "order of their contacts; seed %llu",
	    plan->looked, plan->playable, plan->simulated, plan->stable,
	    (unsigned long long)answer->request->seed);
	print_fact(out, "chosen", &words);
}

/* One number of a table of errors, a dash where nothing can be known. */
static void add_error(double error, bool told, struct text *out)
{
	char number[NUMBER_SIZE];
	const char *shown = "-";

	if (told) {
		number_print_fixed(100.0 * error, error < 0.0995 ? 1 : 0, number);
		shown = number;
	}
	paragraph_blanks(out, NUMBER_WIDTH - strlen(shown));
	text_add(out, shown);
}

static void add_row(const char *key, int tries, double seconds, const double *errors, bool clock,
                    int first, int end, struct text *out)
{
	struct text words = {0};

	paragraph_blanks(out, 2);
	paragraph_cell(out, key, KEY_WIDTH - 1);
	if (tries > 0)
		text_print(&words, "%d%4.0f", tries, ceil(seconds / 60.0));
	paragraph_blanks(out, 5 - words.length);
	text_add(out, text_bytes(&words));
	for (int q = first; q < end; q++)
		add_error(errors[q], clock || !plan_quantity_needs_clock(q), out);
	text_add(out, "\n");
	text_free(&words);
}

static void print_errors(const struct plan_answer *answer, int first, int end, const char *heads,
                         struct text *out)
{
	const struct plan *plan = answer->plan;

	text_print(out, "  %-13s%s%s\n", "shot", "tries min", heads);
	add_row("before", 0, 0.0, plan->before, true, first, end, out);
	for (size_t i = 0; i < plan->count; i++)
		add_row(plan->shots[i].design.key, plan->shots[i].design.tries,
		        plan->shots[i].seconds, plan->shots[i].errors, plan->shots[i].clock, first,
		        end, out);
}

static void print_tables(const struct plan_answer *answer, struct text *out)
{
	text_add(out, "\nExpected error after each shot, % of the value (1 standard deviation)\n");
	print_errors(answer, 0, CONSTANT_COUNT,
	             "   slide    roll    spin  rail e  rail f  ball e  ball f", out);
	paragraph_add(
	    out, 2, 2,
	    "slide: sliding friction; roll: rolling resistance; spin: spin friction; rail "
	    "e, f: cushion restitution, friction; ball e, f: ball restitution, friction; -: "
	    "not known without a clock");
	text_add(out, "\nThe same in players' terms\n");
	print_errors(answer, CONSTANT_COUNT, PLAN_QUANTITIES,
	             "  length    stun  square  return   throw   lasts", out);
	paragraph_add(
	    out, 2, 2,
	    "length: one-length roll time; stun: slide at lag pace; square: speed kept on a "
	    "square rail; return: return per full side; throw: throw at half ball; lasts: "
	    "full side lasts");
}

/* One quantity that is not expected to be known as well as it is wanted. */
static void print_shortfall(const struct plan_answer *answer, int q, const char *reason,
                            struct text *out)
{
	double want = answer->request->want[q];
	struct text words = {0};

	text_print(&words, "%s: ", plan_text_title(q));
	if (plan_text_state(answer->plan, q) != KNOWLEDGE_NOT_DETERMINED || want > 0.0) {
		plan_text_percent(answer->plan->expected[q], &words);
		text_add(&words, " expected");
	} else {
		text_add(&words, "not known");
	}
	if (want > 0.0) {
		text_add(&words, ", ");
		plan_text_percent(want, &words);
		text_add(&words, " wanted");
	}
	text_print(&words, "; %s", reason);
	paragraph_add(out, 2, 4, text_bytes(&words));
	out->failed = out->failed || words.failed;
	text_free(&words);
}

/* Those that were asked for, or the constants that were not. Returns how many. */
static int print_shortfalls(const struct plan_answer *answer, bool asked, struct text *out)
{
	int count = 0;

	for (int q = 0; q < PLAN_QUANTITIES; q++) {
		const char *reason = plan_text_reason(answer->request, answer->plan, q);

		if (reason == NULL || (answer->request->want[q] > 0.0) != asked ||
		    (q >= CONSTANT_COUNT && !asked))
			continue;
		print_shortfall(answer, q, reason, out);
		count++;
	}
	return count;
}

static void print_verdict(const struct plan_answer *answer, struct text *out)
{
	struct text besides = {0};

	text_add(out, "\n");
	if (answer->plan->wanted_met) {
		text_add(out, "All that was asked is expected to be known well enough.\n");
	} else {
		text_add(out, "Not expected to be known as well as asked, and why\n");
		print_shortfalls(answer, true, out);
	}
	if (print_shortfalls(answer, false, &besides) > 0) {
		text_add(out, "Not asked, and not known after these shots\n");
		text_add(out, text_bytes(&besides));
	}
	out->failed = out->failed || besides.failed;
	text_free(&besides);
}

static void print_remarks(const struct plan_answer *answer, struct text *out)
{
	struct remarks remarks;

	if (!remarks_create(&remarks)) {
		out->failed = true;
		return;
	}
	plan_remarks_fill(answer, &remarks);
	if (remarks.count > 0)
		text_add(out, "\nWorth knowing\n");
	remarks_print(&remarks, out);
	out->failed = out->failed || remarks.failed;
	remarks_free(&remarks);
}

void plan_text_print(const struct plan_answer *answer, struct text *out)
{
	print_head(answer, out);
	if (answer->plan->count > 0)
		print_tables(answer, out);
	print_verdict(answer, out);
	print_remarks(answer, out);
	for (size_t i = 0; i < answer->protocol->shot_count; i++) {
		text_add(out, "\n");
		protocol_text_shot(&answer->protocol->shots[i], i + 1, out);
	}
}
