/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/wording.h"

#include <math.h>
#include <string.h>

const char *wording_state(enum knowledge state)
{
	static const char *const words[KNOWLEDGE_COUNT] = {
		[KNOWLEDGE_HELD] = "held",
		[KNOWLEDGE_AT_LIMIT] = "at its limit",
		[KNOWLEDGE_NOT_DETERMINED] = "not known",
		[KNOWLEDGE_WEAK] = "rough",
		[KNOWLEDGE_DETERMINED] = "known",
	};

	return state < KNOWLEDGE_COUNT ? words[state] : "not known";
}

const char *wording_state_meaning(enum knowledge state)
{
	static const char *const words[KNOWLEDGE_COUNT] = {
		[KNOWLEDGE_HELD] = "set, not measured",
		[KNOWLEDGE_AT_LIMIT] = "the best value lies at the end of the range that is allowed",
		[KNOWLEDGE_NOT_DETERMINED] = "these shots tell too little",
		[KNOWLEDGE_WEAK] = "measured to worse than 10 %",
		[KNOWLEDGE_DETERMINED] = "measured to 10 % or better",
	};

	return state < KNOWLEDGE_COUNT ? words[state] : "";
}

const char *wording_settle(enum constant_id id)
{
	static const char *const words[CONSTANT_COUNT] = {
		[SLIDING_FRICTION] =
		    "play a firm half-ball hit with a rolling cue ball, read the first rails of both balls, "
		    "and time its sounds or one of its splits",
		[ROLLING_RESISTANCE] =
		    "play a timed lag: one split from the strike to the foot rail, one from there to the "
		    "stop",
		[SPIN_FRICTION] =
		    "play spin on the spot, a stop shot with side, and time it from the strike until the "
		    "cue ball is still",
		[CUSHION_RESTITUTION] =
		    "play a timed lag with both splits, and read where the ball stops",
		[CUSHION_FRICTION] =
		    "play a square cross-table hit with side and read where it meets the rail it came from",
		[BALL_RESTITUTION] =
		    "play a head-on rolling follow and read where both balls stop",
		[BALL_FRICTION] =
		    "play a frozen pair struck at half ball from the left and from the right, and read "
		    "where the far ball meets the rail",
	};

	return words[id];
}

const struct condition_wording *wording_condition(enum condition_id id)
{
	static const struct condition_wording words[CONDITION_COUNT] = {
		[ONE_LENGTH_TIME_S] = {"one-length roll time", "s",
		                       "a rolling ball leaves one end rail and just dies at the other",
		                       ROLLING_RESISTANCE},
		[STUN_SLIDE_DIAMONDS] = {"slide at lag pace", "diamonds",
		                         "a ball struck without spin at 2 m/s slides this far before it "
		                         "rolls",
		                         SLIDING_FRICTION},
		[SQUARE_RAIL_SPEED_KEPT_PERCENT] = {"speed kept on a square rail", "%",
		                                    "rolling in at 1 m/s, measured once it rolls again",
		                                    CUSHION_RESTITUTION},
		[FULL_SIDE_RETURN_DIAMONDS] = {"return per full side", "diamonds",
		                               "square across the table at 2 m/s, tip half a radius to "
		                               "the side",
		                               CUSHION_FRICTION},
		[HALF_BALL_THROW_DEG] = {"throw at half ball", "degrees",
		                         "30 degree cut at 1 m/s, stunned, no side", BALL_FRICTION},
		[FULL_SIDE_LASTS_S] = {"full side lasts", "s",
		                       "tip half a radius to the side at 2 m/s, until the side is gone",
		                       SPIN_FRICTION},
	};

	return &words[id];
}

const char *wording_constant_meaning(enum constant_id id)
{
	switch (id) {
	case ROLLING_RESISTANCE:
		return "deceleration of a rolling ball / g (another definition in print is 7/5 of this)";
	case CUSHION_RESTITUTION:
		return "energetic restitution at the nose, in this program's cushion model only";
	case SPIN_FRICTION:
		return "side spin falls at 5/2 of this x g / ball radius";
	default:
		return NULL;
	}
}

const char *wording_quantity_unit(int quantity)
{
	switch (quantity_at(quantity).kind) {
	case QUANTITY_WATCH:
	case QUANTITY_SOUND:
		return "s";
	default:
		return "diamonds";
	}
}

const char *wording_note_title(enum session_note note)
{
	static const char *const words[SESSION_NOTES] = {
		[NOTE_SESSION] = "session",
		[NOTE_DATE] = "date",
		[NOTE_PLACE] = "place",
		[NOTE_TABLE_NAME] = "table name",
		[NOTE_BALL_SET] = "ball set",
		[NOTE_CLOTH] = "cloth",
		[NOTE_CLOTH_DAYS] = "age of cloth",
		[NOTE_TEMPERATURE_C] = "temperature",
		[NOTE_HUMIDITY_PERCENT] = "humidity",
		[NOTE_PLAYER] = "player",
		[NOTE_NOTE] = "note",
	};

	return words[note];
}

const char *wording_note_unit(enum session_note note, const char *value)
{
	switch (note) {
	case NOTE_CLOTH_DAYS:
		return strcmp(value, "1") == 0 ? " day" : " days";
	case NOTE_TEMPERATURE_C:
		return " \302\260C";
	case NOTE_HUMIDITY_PERCENT:
		return " %";
	default:
		return "";
	}
}

const char *wording_uphill(double degrees)
{
	static const char *const words[8] = {
		"toward the foot", "between foot and right", "toward the right", "between right and head",
		"toward the head", "between head and left",  "toward the left",  "between left and foot",
	};
	double turn = fmod(degrees, 360.0);

	if (!isfinite(turn))
		return "unknown";
	return words[(int)floor((turn < 0.0 ? turn + 360.0 : turn) / 45.0 + 0.5) % 8];
}
