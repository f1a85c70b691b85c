/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_EFFECTS_H
#define RESTPOINT_ADVISE_EFFECTS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "advise/effects_measures.h"
#include "advise/prediction.h"
#include "base/status.h"

/* What a change of conditions does to stated set-ups: each is played before and after, on many
 * tables as the measurement allows, with strokes exactly as stated and rails that do not differ from
 * contact to contact. So an interval is one for the effect itself, not for the next ball. */

#define EFFECTS_DRAWS 1000
#define EFFECTS_DRAWS_LEAST 200
#define EFFECTS_DRAWS_MOST 100000
#define EFFECTS_BEYOND_DOUBT 0.99 /* probability of a sign */
#define EFFECTS_NOTHING 0.0005    /* a smaller change is none, in the unit of the set-up */

enum effect_group { EFFECT_ON_CLOTH, EFFECT_AT_RAIL, EFFECT_BETWEEN_BALLS, EFFECT_GROUPS };

/* Where a set-up stands beside what practitioners say of a more slippery ball. */
enum effect_regime {
	EFFECT_AGREES,    /* the model says the same */
	EFFECT_UNCHANGED, /* it says that nothing changes */
	EFFECT_REVERSED,  /* it says the opposite, for a reason that is known */
	EFFECT_NO_SAYING  /* nothing is said */
};

/* What becomes of a set-up where another pace is asked for than the stated one. */
enum effect_pace {
	EFFECT_PACE_FREE,    /* it is played at that pace */
	EFFECT_PACE_VARIANT, /* it only shows another one at another pace: it is left out */
	EFFECT_PACE_FIXED    /* it is played as stated */
};

/* A set-up. The strings are static. */
struct effect_setup {
	const char *key; /* for programs */
	enum effect_group group;
	const char *title;
	const char *unit;       /* "diamonds", "s", "degrees", "%", "m/s" */
	const char *words;      /* how it is played and what is measured */
	const char *practice;   /* what practitioners say of a more slippery ball; NULL: nothing */
	int practice_sign;      /* of the change then; 0: none */
	enum ball_role subject; /* the ball that must be more slippery for that */
	enum constant_id rests_on; /* in which friction */
	const char *caution;       /* before anybody tries it; NULL: none */
	enum effect_pace pace;
	enum effect_regime regime; /* as stated */
	const char *reason;        /* where the regime ends, or why it is reversed; may be "" */
	effect_measure *measure;
	struct effect_play play;
};

/* The set-ups by number, group by group; NULL behind the last. */
const struct effect_setup *effects_setup_at(size_t number);
size_t effects_setup_count(void);

enum effect_verdict {
	EFFECT_NONE, /* no change in any draw */
	EFFECT_MORE, /* beyond doubt */
	EFFECT_LESS,
	EFFECT_UNSURE /* the sign is not known so well */
};

struct effect_result {
	const struct effect_setup *setup;
	bool happens;         /* at the profiles' values, before and after */
	double before, after; /* at the profiles' values */
	size_t counted;       /* draws in which it comes about before and after */
	struct predicted_span before_span, after_span, change_span; /* of these */
	double more, less; /* probability that the change is above, below 0 */
	enum effect_verdict verdict;
	int slippery; /* beyond doubt: 1 where the ball and the friction that practice speaks
	                         of are more slippery afterwards, -1 less; else 0 */
	bool as_said, reversed; /* beyond doubt as practice says it, or the opposite; neither where
	                           slippery is 0 */
};

/* What the change is. */
struct effects_task {
	const struct table *table[2];       /* before, after */
	const struct table_draws *draws[2]; /* the second NULL: the same table drawn, both times */
	double grip[2][BALL_ROLES];         /* factor on the grip of each part's ball */
	enum ball_role struck[2];           /* the drawn ball that plays the cue ball: BALL_CUE, or
	                                      BALL_OBJECT2 for another of the same profile */
	double speed;                       /* of every stroke [m/s]; 0: as stated */
	size_t count;                       /* of draws */
	uint64_t seed;
	unsigned threads; /* base/parallel.h; the result is the same for any number */
};

struct effects {
	size_t count;
	struct effect_result *results; /* in the order of effects_setup_at */
};

/* STATUS_OK or STATUS_SYSTEM. Release *effects with effects_free in any case. */
enum status effects_make(const struct effects_task *task, struct effects *effects);
void effects_free(struct effects *effects);

#endif
