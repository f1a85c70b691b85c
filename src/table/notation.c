/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/notation.h"

#include <string.h>

#include "base/number.h"
#include "table/notation_amount.h"
#include "table/notation_explain.h"

/* Rounding that a length in inches or centimetres may add at the end of the range. */
#define RANGE_ROUNDING 1e-9

/* Longest text that a sentence repeats. */
#define CELL_LIMIT 48

/* What one call of notation_read works with. */
struct task {
	enum notation_use use;
	const struct notation_style *style;
	const struct table *table;
	double radius;
	enum rail rail; /* of a rail contact, or RAIL_COUNT */
	struct notation *out;
	struct notation_refusal *refusal;
};

static bool is_rest(const struct task *task)
{
	return task->use == NOTATION_REST_LONG || task->use == NOTATION_REST_SHORT;
}

static bool in_tenths(const struct task *task)
{
	return task->style->diamond_value != 1.0;
}

static bool is_long(const struct task *task)
{
	return notation_is_long(task->use, task->rail);
}

/* `5.6 right`: the rail behind the number. */
static bool explain_order(const struct task *task, struct span span)
{
	size_t letters = 0;
	struct span name, number;
	struct amount amount;
	enum rail rail;

	while (letters < span.length && span_is_letter(span.bytes[span.length - 1 - letters]))
		letters++;
	name = span_from(span, span.length - letters);
	number = span_trim((struct span){span.bytes, span.length - letters});
	if (task->use != NOTATION_RAIL || !rail_from_name(name.bytes, name.length, &rail) ||
	    number.length > CELL_LIMIT ||
	    !amount_read(number, task->style->decimal_comma, &amount))
		return false;
	explain_print(task->refusal->next, "write the rail before the number: \"%s %.*s\"",
	              rail_name(rail), (int)number.length, number.bytes);
	return true;
}

static bool refuse_amount(const struct task *task, struct span span)
{
	struct explain_place place = {
		.position = true,
		.in_cell = is_rest(task) || task->use == NOTATION_RAIL,
		.decimal_comma = task->style->decimal_comma,
		.in_tenths = in_tenths(task),
	};

	if (!explain_order(task, span))
		explain_amount(span, &place, task->refusal->next);
	return false;
}

/* A number of diamonds, or a length. */
static bool read_amount(const struct task *task, struct span span)
{
	bool along = is_long(task);
	double end = along ? TABLE_DIAMONDS_LONG : TABLE_DIAMONDS_SHORT;
	struct amount amount;
	double value, metres;

	if (!amount_read(span, task->style->decimal_comma, &amount))
		return refuse_amount(task, span);
	if (amount.unit == 0.0 && amount.fraction && in_tenths(task))
		return refuse_amount(task, span);
	metres = amount.value * amount.unit;
	if (amount.unit == 0.0)
		value = amount.value / task->style->diamond_value;
	else
		value = along ? table_long_to_diamonds(task->table, metres)
		              : table_short_to_diamonds(task->table, metres);
	if (!(value <= end * (1.0 + RANGE_ROUNDING))) {
		explain_range(task->use, task->rail, task->out->rail_named, task->style,
		              task->table, &amount, task->refusal->next);
		return false;
	}
	task->out->kind = NOTATION_NUMBER;
	task->out->value = value < end ? value : end;
	return true;
}

/* The letters that the span begins with, and what follows after a blank; false when something
 * follows without one. */
static bool split_word(struct span span, struct span *word, struct span *rest)
{
	size_t letters = 0, blanks;

	while (letters < span.length && span_is_letter(span.bytes[letters]))
		letters++;
	blanks = span_blanks(span_from(span, letters));
	*word = (struct span){span.bytes, letters};
	*rest = span_from(span, letters + blanks);
	return rest->length == 0 || blanks > 0;
}

/* `f RAIL` where it belongs; span is what stands behind the first word. */
static bool read_frozen(const struct task *task, struct span span)
{
	char *next = task->refusal->next;
	bool along = is_long(task);
	enum rail rail;
	double line;

	if (task->use == NOTATION_RAIL) {
		explain_print(next, "write where along the rail it touched, as a number; \"f\" is "
		                    "for a ball at rest");
		return false;
	}
	if (!rail_from_name(span.bytes, span.length, &rail)) {
		explain_print(next, "write \"f %s\" or \"f %s\", the rail it touches",
		              along ? "head" : "left", along ? "foot" : "right");
		return false;
	}
	if (rail_is_long(rail) == along) {
		explain_print(next, "write \"f %s\" or \"f %s\" here; \"f %s\" belongs to the %s "
		                    "coordinate", along ? "head" : "left", along ? "foot" : "right",
		              rail_name(rail), along ? "short" : "long");
		return false;
	}
	line = table_frozen_line(task->table, rail, task->radius);
	task->out->kind = NOTATION_FROZEN;
	task->out->rail_named = true;
	task->out->rail = rail;
	task->out->value = along ? table_long_to_diamonds(task->table, line)
	                         : table_short_to_diamonds(task->table, line);
	return true;
}

static bool read_pocket(const struct task *task)
{
	if (is_rest(task)) {
		task->out->kind = NOTATION_POCKET;
		return true;
	}
	if (task->use == NOTATION_RAIL)
		explain_print(task->refusal->next,
		              "leave the cell blank and write \"pocket\" where the ball came to "
		              "rest");
	else
		explain_print(task->refusal->next, "give the place of the ball on the table");
	return false;
}

/* A rail's name, and behind it the place of the contact. */
static bool read_rail(struct task *task, struct span rest, bool separated)
{
	char *next = task->refusal->next;
	const char *name = rail_name(task->rail);
	const char *example = rail_is_long(task->rail) ? "5.6" : "1.5";

	if (rest.length == 0) {
		explain_print(next, "write the number behind the rail, such as \"%s %s\"", name,
		              example);
		return false;
	}
	if (!separated) {
		explain_print(next, "write the rail, a blank and the number, such as \"%s %s\"",
		              name, example);
		return false;
	}
	task->out->rail_named = true;
	return read_amount(task, rest);
}

/* The name of a rail in a cell that is no rail contact. */
static bool refuse_rail(const struct task *task, enum rail rail, struct span rest)
{
	if (rest.length > 0)
		explain_print(task->refusal->next, "write the number without the rail; only a rail "
		                                   "contact names one");
	else if (rail_is_long(rail) != is_long(task))
		explain_print(task->refusal->next, "write \"f %s\" if the ball touches that rail",
		              rail_name(rail));
	else
		explain_print(task->refusal->next, "write a number; \"f %s\" belongs to the other "
		                                   "coordinate", rail_name(rail));
	return false;
}

static bool read_cell(struct task *task, struct span span)
{
	struct span word, rest;
	bool separated = split_word(span, &word, &rest);
	enum rail rail;

	if ((span_equals(word, "f") || span_equals(word, "frozen")) && separated)
		return read_frozen(task, rest);
	if (span_equals(span, "pocket"))
		return read_pocket(task);
	if (!rail_from_name(word.bytes, word.length, &rail))
		return read_amount(task, span);
	if (task->use != NOTATION_RAIL)
		return refuse_rail(task, rail, rest);
	task->rail = rail;
	task->out->rail = rail;
	return read_rail(task, rest, separated);
}

static bool is_missing(struct span span)
{
	return span.length == 0 || span_equals(span, "-") || span_equals(span, "n/a");
}

static bool read_span(struct task *task, struct span span)
{
	*task->out = (struct notation){
		.kind = NOTATION_MISSING,
		.rail = task->use == NOTATION_RAIL ? task->rail : RAIL_COUNT,
	};
	if (!is_missing(span))
		return read_cell(task, span);
	task->out->rail = RAIL_COUNT;
	return true;
}

/* When the cell would do in small letters, says so. */
static void explain_capitals(const struct task *task, struct span span)
{
	char small[CELL_LIMIT + 1];
	struct notation_refusal refusal = {0};
	struct notation out = {0};
	struct task in_small = *task;
	bool capital = false;

	if (span.length > CELL_LIMIT)
		return;
	for (size_t i = 0; i < span.length; i++) {
		bool upper = span.bytes[i] >= 'A' && span.bytes[i] <= 'Z';

		small[i] = (char)(upper ? span.bytes[i] + ('a' - 'A') : span.bytes[i]);
		capital = capital || upper;
	}
	small[span.length] = '\0';
	in_small.out = &out;
	in_small.refusal = &refusal;
	if (capital && read_span(&in_small, (struct span){small, span.length}))
		explain_print(task->refusal->next, "write it in small letters: \"%s\"", small);
}

bool notation_read(const char *cell, size_t length, enum notation_use use,
                   const struct notation_style *style, const struct table *table, double radius,
                   enum rail rail, struct notation *out, struct notation_refusal *refusal)
{
	struct span span = span_trim((struct span){cell, length});
	struct task task = {use, style, table, radius, rail, out, refusal};

	refusal->accepted = explain_accepted(use, in_tenths(&task));
	refusal->next[0] = '\0';
	if (read_span(&task, span))
		return true;
	task.rail = rail;
	explain_capitals(&task, span);
	*out = (struct notation){.kind = NOTATION_MISSING, .rail = RAIL_COUNT};
	return false;
}

bool notation_read_number(const char *cell, size_t length, const struct notation_style *style,
                          double *value, bool *missing, struct notation_refusal *refusal)
{
	struct span span = span_trim((struct span){cell, length});
	struct explain_place place = {.in_cell = true, .decimal_comma = style->decimal_comma};

	refusal->accepted = "a number from 0 up, such as 0.25, or nothing";
	refusal->next[0] = '\0';
	*missing = is_missing(span);
	if (*missing || number_read_plain(span.bytes, span.length, '.', value))
		return true;
	if (style->decimal_comma && number_read_plain(span.bytes, span.length, ',', value))
		return true;
	if (span_equals(span, "N/A"))
		explain_print(refusal->next, "write it in small letters: \"n/a\"");
	else
		explain_amount(span, &place, refusal->next);
	return false;
}
