/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/next_kit.h"

#include <string.h>

#include "estimate/fit_states.h"

static bool measures(const struct shot_design *shot, enum quantity_kind kind)
{
	for (int number = 0; number < QUANTITY_COUNT; number++)
		if ((shot->measure & (UINT32_C(1) << number)) && quantity_at(number).kind == kind)
			return true;
	return false;
}

bool next_kit_has_clock(const struct shot_design *shot)
{
	return measures(shot, QUANTITY_WATCH) || measures(shot, QUANTITY_SOUND) ||
	       (shot->launch.by_ramp && shot->launch.group_spread <= FIT_KNOWN_RELEASE);
}

unsigned next_kit_needed(const struct next_candidate *candidate)
{
	const struct shot_design *shot = candidate->shot;
	bool places = measures(shot, QUANTITY_REST_LONG) || measures(shot, QUANTITY_REST_SHORT) ||
	              measures(shot, QUANTITY_RAIL);

	return (measures(shot, QUANTITY_WATCH) ? KIT_WATCH : 0u) |
	       (measures(shot, QUANTITY_SOUND) ? KIT_SOUND : 0u) |
	       (shot->launch.by_ramp ? KIT_RAMP : 0u) |
	       (places ? candidate->protocol->kit & KIT_TAPE : 0u);
}

/* What was used in the sessions: the kit of their protocols as far as the rows show it. */
static unsigned kit_of_row(const struct stroke_row *row, const struct protocol *protocol)
{
	const struct shot_design *design = protocol_find_shot(protocol, row->shot);
	unsigned kit = protocol->kit & KIT_TAPE;

	if (design != NULL && design->launch.by_ramp)
		kit |= KIT_RAMP;
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		enum quantity_kind kind = quantity_at(number).kind;

		if (row->readings[number].kind == READING_MISSING)
			continue;
		if (kind == QUANTITY_WATCH)
			kit |= KIT_WATCH;
		if (kind == QUANTITY_SOUND)
			kit |= KIT_SOUND;
	}
	return kit;
}

unsigned next_kit_used(const struct fit_input *inputs, size_t input_count)
{
	unsigned kit = 0;

	for (size_t i = 0; i < input_count; i++)
		for (size_t k = 0; k < inputs[i].measurement->row_count; k++)
			kit |= kit_of_row(&inputs[i].measurement->rows[k], inputs[i].protocol);
	return kit;
}

bool next_kit_was_played(const struct fit_input *inputs, size_t input_count,
                         const struct next_candidate *candidate)
{
	for (size_t i = 0; i < input_count; i++) {
		const struct measurement *measurement = inputs[i].measurement;

		if (strcmp(inputs[i].protocol->name, candidate->protocol->name) != 0)
			continue;
		for (size_t k = 0; k < measurement->row_count; k++)
			if (strcmp(measurement->rows[k].shot, candidate->shot->key) == 0)
				return true;
	}
	return false;
}
