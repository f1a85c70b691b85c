/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_WORDING_H
#define RESTPOINT_REPORT_WORDING_H

#include "model/constants.h"
#include "model/profile.h"
#include "model/quantity.h"

/* The words in which results are told, in one place. All strings are static. */

/* "known", "rough", "not known", "at its limit", "held". */
const char *wording_state(enum knowledge state);

/* How sure each state is, for the legend: one clause. */
const char *wording_state_meaning(enum knowledge state);

/* The shot that would settle a constant: a sentence without its full stop. */
const char *wording_settle(enum constant_id id);

/* A condition in players' terms. */
struct condition_wording {
	const char *title;         /* "one-length roll time" */
	const char *unit;          /* "s", "diamonds", "%", "degrees" */
	const char *meaning;       /* what is meant, a clause */
	enum constant_id rests_on; /* the constant that must be known first */
};

const struct condition_wording *wording_condition(enum condition_id id);

/* What a constant means where the word alone could mislead; NULL where it could not. */
const char *wording_constant_meaning(enum constant_id id);

/* "diamonds" or "s". */
const char *wording_quantity_unit(int quantity);

/* A session note as a person reads it ("age of cloth") and the unit behind its value, "" for
 * none. */
const char *wording_note_title(enum session_note note);
const char *wording_note_unit(enum session_note note, const char *value);

/* Where uphill is, by a direction in degrees (0 to the foot, 90 to the right): "toward the foot",
 * "between foot and right", ... */
const char *wording_uphill(double degrees);

#endif
