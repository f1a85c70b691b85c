/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/guide.h"

#include <stdlib.h>
#include <string.h>

/* Place of each kind in the order of asking; both coordinates of a rest go together. */
static const int ranks[] = {[QUANTITY_RAIL] = 0,
                            [QUANTITY_WATCH] = 1,
                            [QUANTITY_REST_LONG] = 2,
                            [QUANTITY_REST_SHORT] = 2,
                            [QUANTITY_SOUND] = 3};
#define RANKS 4

static uint32_t bit(int quantity)
{
	return UINT32_C(1) << quantity;
}

static bool is_rest(struct quantity quantity)
{
	return quantity.kind == QUANTITY_REST_LONG || quantity.kind == QUANTITY_REST_SHORT;
}

/* Puts the quantities of a mask in the order in which they are asked for; returns their number. */
static int in_order(uint32_t mask, int order[QUANTITY_COUNT])
{
	int count = 0;

	for (int rank = 0; rank < RANKS; rank++)
		for (int q = 0; q < QUANTITY_COUNT; q++)
			if (ranks[quantity_at(q).kind] == rank && (mask & bit(q)) != 0)
				order[count++] = q;
	return count;
}

/* What is asked for of a stroke. */
static uint32_t wanted(const struct guide *guide)
{
	return guide->protocol->shots[guide->shot].measure;
}

static uint32_t filled(const struct stroke_row *row)
{
	uint32_t mask = 0;

	for (int q = 0; q < QUANTITY_COUNT; q++)
		if (row->readings[q].kind != READING_MISSING)
			mask |= bit(q);
	return mask;
}

size_t guide_find(const struct guide *guide, const char *key)
{
	size_t i = 0;

	while (i < guide->protocol->shot_count && strcmp(guide->protocol->shots[i].key, key) != 0)
		i++;
	return i;
}

/* Strokes of a shot, those that count or all, without the open one. */
static int count_rows(const struct guide *guide, size_t shot, bool all)
{
	size_t rows = guide->measurement->row_count - (guide->open ? 1 : 0);
	int count = 0;

	for (size_t i = 0; i < rows; i++) {
		const struct stroke_row *row = &guide->measurement->rows[i];

		count +=
		    (all || row->valid) && strcmp(row->shot, guide->protocol->shots[shot].key) == 0;
	}
	return count;
}

int guide_count(const struct guide *guide, size_t shot)
{
	return count_rows(guide, shot, false);
}

static struct stroke_row *last_row(const struct guide *guide)
{
	return &guide->measurement->rows[guide->measurement->row_count - 1];
}

const struct stroke_row *guide_row(const struct guide *guide)
{
	return guide->open ? last_row(guide) : &guide->draft;
}

static void begin_stroke(struct guide *guide, size_t shot)
{
	guide->shot = shot;
	guide->open = false;
	guide->answered = 0;
	guide->finished = false;
	guide->draft = (struct stroke_row){.shot = guide->protocol->shots[shot].key,
	                                   .player = guide->player,
	                                   .ball = {"A", "O", "O"},
	                                   .valid = true};
	guide->draft.try_number = count_rows(guide, shot, true) + 1;
}

/* Begins the stroke that comes next: of the chosen shot, else of the first shot in order, from
 * where the order stands round to it, that is not complete. */
static void begin_next(struct guide *guide)
{
	size_t count = guide->protocol->shot_count;

	if (guide->chosen && guide->extra > 0) {
		begin_stroke(guide, guide->shot);
		return;
	}
	guide->chosen = false;
	for (size_t i = 0; i < count; i++) {
		size_t shot = (guide->order + i) % count;

		if (guide->left_out[shot] ||
		    guide_count(guide, shot) >= guide->protocol->shots[shot].tries)
			continue;
		guide->order = shot;
		begin_stroke(guide, shot);
		return;
	}
	guide->finished = true;
}

/* Opens the last row again as the stroke at hand. */
static void reopen(struct guide *guide)
{
	const struct stroke_row *row = last_row(guide);
	size_t shot = guide_find(guide, row->shot);
	int order[QUANTITY_COUNT], count;

	begin_stroke(guide, shot);
	guide->open = true;
	count = in_order(wanted(guide), order);
	while (count > 0 && row->readings[order[count - 1]].kind == READING_MISSING)
		count--;
	for (int i = 0; i < count; i++)
		guide->answered |= bit(order[i]);
}

static bool is_complete(const struct guide *guide)
{
	return (wanted(guide) & ~guide->answered) == 0;
}

bool guide_start(struct guide *guide, const struct protocol *protocol,
                 struct measurement *measurement)
{
	const char *player = measurement->session.notes[NOTE_PLAYER];

	*guide = (struct guide){.protocol = protocol,
	                        .measurement = measurement,
	                        .row_capacity = measurement->row_count,
	                        .player = player != NULL ? player : "",
	                        .finished = true};
	guide->left_out = calloc(protocol->shot_count + 1, sizeof *guide->left_out);
	if (guide->left_out == NULL)
		return false;
	if (measurement->row_count > 0) {
		guide->order = guide_find(guide, last_row(guide)->shot);
		reopen(guide);
		if (last_row(guide)->valid && filled(last_row(guide)) != 0 && !is_complete(guide))
			return true;
		guide->open = false;
	}
	begin_next(guide);
	return true;
}

void guide_free(struct guide *guide)
{
	free(guide->left_out);
	memset(guide, 0, sizeof *guide);
}

struct guide_question guide_ask(const struct guide *guide)
{
	struct guide_question question = {.quantity = GUIDE_NO_QUANTITY};
	int order[QUANTITY_COUNT];

	if (guide->finished)
		return question;
	question.shot = &guide->protocol->shots[guide->shot];
	question.stroke = guide_count(guide, guide->shot) + 1;
	question.strokes = question.stroke <= question.shot->tries ? question.shot->tries : 0;
	question.places = in_order(wanted(guide), order);
	for (int i = 0; i < question.places; i++) {
		if ((guide->answered & bit(order[i])) != 0)
			continue;
		question.quantity = order[i];
		question.place = i + 1;
		break;
	}
	return question;
}

/* Makes the draft the last row. */
static bool open_row(struct guide *guide)
{
	struct measurement *measurement = guide->measurement;
	struct stroke_row *grown;

	if (guide->open)
		return true;
	if (measurement->row_count < guide->row_capacity) {
		grown = measurement->rows;
	} else {
		/* The array of a file as read may not come from arena_grow: it is copied once. */
		size_t capacity = 2 * guide->row_capacity + 16;

		grown = arena_allocate(measurement->arena, capacity * sizeof *grown);
		if (grown == NULL)
			return false;
		if (measurement->row_count > 0)
			memcpy(grown, measurement->rows, measurement->row_count * sizeof *grown);
		guide->row_capacity = capacity;
	}
	measurement->rows = grown;
	grown[measurement->row_count++] = guide->draft;
	guide->open = true;
	return true;
}

/* The stroke at hand is over. */
static enum guide_change end_stroke(struct guide *guide, bool counts)
{
	bool lost = !guide->open;

	guide->open = false;
	if (guide->chosen && counts && !lost)
		guide->extra--;
	begin_next(guide);
	return lost ? GUIDE_STROKE_LOST : GUIDE_STROKE_DONE;
}

/* The other coordinate of a rest. */
static int partner(int quantity)
{
	struct quantity other = quantity_at(quantity);

	other.kind = other.kind == QUANTITY_REST_LONG ? QUANTITY_REST_SHORT : QUANTITY_REST_LONG;
	return quantity_number(other);
}

enum guide_change guide_put(struct guide *guide, int quantity, const struct reading *reading)
{
	struct quantity kind = quantity_at(quantity);

	if (guide->finished)
		return GUIDE_NOTHING;
	if (reading->kind != READING_MISSING && !open_row(guide))
		return GUIDE_MEMORY_OUT;
	if (guide->open)
		last_row(guide)->readings[quantity] = *reading;
	guide->answered |= bit(quantity) & wanted(guide);
	if (reading->kind == READING_POCKET && is_rest(kind) &&
	    (wanted(guide) & bit(partner(quantity))) != 0) {
		last_row(guide)->readings[partner(quantity)] = *reading;
		guide->answered |= bit(partner(quantity));
	}
	return is_complete(guide) ? end_stroke(guide, true) : GUIDE_GOES_ON;
}

enum guide_change guide_answer(struct guide *guide, const struct reading *reading)
{
	int quantity = guide_ask(guide).quantity;

	return quantity == GUIDE_NO_QUANTITY ? GUIDE_NOTHING : guide_put(guide, quantity, reading);
}

enum guide_change guide_end_stroke(struct guide *guide)
{
	return guide->finished ? GUIDE_NOTHING : end_stroke(guide, true);
}

enum guide_change guide_set_aside(struct guide *guide, const char *reason)
{
	if (guide->finished)
		return GUIDE_NOTHING;
	if (!open_row(guide))
		return GUIDE_MEMORY_OUT;
	last_row(guide)->valid = false;
	last_row(guide)->note = reason;
	return end_stroke(guide, false);
}

enum guide_change guide_repeat(struct guide *guide)
{
	if (guide->open) {
		guide->measurement->row_count--;
		begin_stroke(guide, guide->shot);
		return GUIDE_TAKEN_BACK;
	}
	if (guide->answered != 0) {
		begin_stroke(guide, guide->shot);
		return GUIDE_TAKEN_BACK;
	}
	if (guide->measurement->row_count == 0)
		return GUIDE_NOTHING;
	return guide_choose(guide, guide_find(guide, last_row(guide)->shot), 1);
}

/* Clears the reading that was answered last, with its other coordinate where the ball fell. */
static void take_back(struct guide *guide)
{
	struct stroke_row *row = guide->open ? last_row(guide) : &guide->draft;
	int order[QUANTITY_COUNT], count = in_order(wanted(guide) & guide->answered, order);
	int last;

	if (count == 0)
		return;
	last = order[count - 1];
	if (row->readings[last].kind == READING_POCKET) {
		row->readings[partner(last)] = (struct reading){.kind = READING_MISSING};
		guide->answered &= ~bit(partner(last));
	}
	row->readings[last] = (struct reading){.kind = READING_MISSING};
	guide->answered &= ~bit(last);
}

/* A row without any reading is none. */
static void drop_if_empty(struct guide *guide)
{
	uint32_t answered = guide->answered;

	if (!guide->open || filled(last_row(guide)) != 0)
		return;
	guide->measurement->row_count--;
	begin_stroke(guide, guide->shot);
	guide->answered = answered;
}

enum guide_change guide_undo(struct guide *guide)
{
	if (!guide->finished && guide->open && guide->answered == 0) {
		/* Only readings that were not asked for are left. */
		guide->measurement->row_count--;
		begin_stroke(guide, guide->shot);
	} else if (!guide->finished && (guide->open || guide->answered != 0)) {
		take_back(guide);
	} else if (guide->measurement->row_count > 0) {
		bool aside = !last_row(guide)->valid;
		bool more =
		    guide->chosen && guide->shot == guide_find(guide, last_row(guide)->shot);

		reopen(guide);
		guide->left_out[guide->shot] = false;
		if (aside) {
			last_row(guide)->valid = true;
			last_row(guide)->note = NULL;
		} else {
			take_back(guide);
			guide->extra += more;
		}
	} else {
		return GUIDE_NOTHING;
	}
	drop_if_empty(guide);
	return GUIDE_TAKEN_BACK;
}

enum guide_change guide_leave_out(struct guide *guide)
{
	if (guide->finished)
		return GUIDE_NOTHING;
	guide->left_out[guide->shot] = true;
	guide->extra = 0;
	return end_stroke(guide, true);
}

enum guide_change guide_choose(struct guide *guide, size_t shot, int strokes)
{
	int left;

	if (guide->open || shot >= guide->protocol->shot_count)
		return GUIDE_NOTHING;
	left = guide->protocol->shots[shot].tries - guide_count(guide, shot);
	guide->left_out[shot] = false;
	guide->chosen = true;
	guide->extra = strokes > 0 ? strokes : left > 0 ? left : 1;
	begin_stroke(guide, shot);
	return GUIDE_GOES_ON;
}

enum guide_change guide_note(struct guide *guide, const char *note)
{
	struct stroke_row *row = &guide->draft;

	if (guide->open || (guide->answered == 0 && guide->measurement->row_count > 0))
		row = last_row(guide);
	else if (guide->finished)
		return GUIDE_NOTHING;
	row->note = note;
	return GUIDE_GOES_ON;
}
