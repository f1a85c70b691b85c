/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PLAN_TEXT_H
#define RESTPOINT_REPORT_PLAN_TEXT_H

#include "advise/plan.h"
#include "base/text.h"
#include "report/remarks.h"

/* A plan and what is expected of it. */
struct plan_answer {
	const struct plan_request *request;
	const struct plan *plan;
	const struct protocol *protocol; /* its shots with their texts */
	const char *knowing;             /* the profile's file; NULL: nothing was measured */
};

/* Fills title, purpose, minutes, kit and shots of the protocol that a plan makes, their titles and
 * sentences with them; strings and shots live in the arena. False when memory is out. */
bool plan_text_protocol(const struct plan_request *request, const struct plan *plan,
                        const char *name, struct arena *arena, struct protocol *protocol);

/* In full: what was asked, the expected errors of constants and conditions after each shot, what
 * remains unknown and why, the shots. */
void plan_text_print(const struct plan_answer *answer, struct text *out);

/* As one JSON object of format "restpoint-plan"; protocol_text: the protocol file. */
void plan_json_print(const struct plan_answer *answer, const char *protocol_text, struct text *out);

/* What is worth knowing besides: the table, settings that the measurement file needs. */
void plan_remarks_fill(const struct plan_answer *answer, struct remarks *remarks);

/* Why a quantity is not expected to be known as well as wanted: a sentence without its full stop,
 * or NULL where it is. */
const char *plan_text_reason(const struct plan_request *request, const struct plan *plan,
                             int quantity);

/* How much of a quantity a plan leaves unknown, as a fit would tell it (formats.md 5). */
enum knowledge plan_text_state(const struct plan *plan, int quantity);

/* "sliding friction", "one-length roll time", ... */
const char *plan_text_title(int quantity);

/* "Expected errors, 1 standard deviation relative to the value: sliding friction 15 %, ...; in
 * players' terms: ...; not known: ...", by the plan's expected, before and has_clock. */
void plan_text_expected(const struct plan *plan, struct text *out);

/* The error that is expected, in percent: "7.3 %", "15 %". */
void plan_text_percent(double share, struct text *out);

#endif
