/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_CARELESS_SPOIL_H
#define RESTPOINT_TESTS_RECOVERY_CARELESS_SPOIL_H

#include <stdbool.h>

#include "base/random.h"
#include "estimate/simulate.h"
#include "model/constants.h"
#include "model/measurement.h"
#include "model/protocol.h"

/* What a careless person does to one stroke of a simulated session. */
enum careless_kind {
	CARELESS_NOT,     /* a good stroke */
	CARELESS_WILD,    /* speed, aim, height and side scattered four times as much */
	CARELESS_DIAMOND, /* one place read a diamond off */
	CARELESS_RAIL,    /* another rail named */
	CARELESS_SWAPPED, /* long and short of a rest swapped */
	CARELESS_TEN,     /* ten times, or a tenth of, what was read */
	CARELESS_UNHEARD, /* one contact not heard, the later ones moved up */
	CARELESS_KINDS
};

const char *careless_kind_name(enum careless_kind kind);

/* Spoils a row in one of the ways that it allows, each as likely as another.
 *   design, session, constants, truth  what it was simulated with
 * Returns the way; CARELESS_NOT when none could be. */
enum careless_kind careless_spoil(const struct shot_design *design, const struct session *session,
                                  const struct constants *constants,
                                  const struct simulated_truth *truth,
                                  struct random_stream *stream, struct stroke_row *row);

#endif
