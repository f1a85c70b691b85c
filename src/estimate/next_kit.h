/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_NEXT_KIT_H
#define RESTPOINT_ESTIMATE_NEXT_KIT_H

#include "estimate/next_shots.h"

/* What a shot that might be played asks for, and what the sessions so far had. Kit is a mask of
 * enum protocol_kit. Internal to src/estimate. */

/* Whether the shot measures a time or has a known release speed. */
bool next_kit_has_clock(const struct shot_design *shot);

/* What it is measured with or launched by; a tape measure where its protocol has one. */
unsigned next_kit_needed(const struct next_candidate *candidate);

/* What was used in the sessions, as their rows show; a tape measure where their protocols have
 * one. */
unsigned next_kit_used(const struct fit_input *inputs, size_t input_count);

/* Whether the sessions hold strokes of that very shot. */
bool next_kit_was_played(const struct fit_input *inputs, size_t input_count,
                         const struct next_candidate *candidate);

#endif
