/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ADVISE_PLAN_H
#define RESTPOINT_ADVISE_PLAN_H

#include "advise/plan_family.h"
#include "advise/plan_knowledge.h"
#include "advise/plan_value.h"
#include "base/arena.h"
#include "base/progress.h"
#include "base/status.h"
#include "model/measurement.h"

/* Which shots to play in the next session: those of a family of thousands after which the wanted
 * constants and conditions are expected to be known best.
 *
 * What a stroke would tell is computed in a few worlds drawn from what is known (a table, a few
 * players, a stroke of each): in each it is the mean information of their readings, with the
 * unknowns of the stroke and the unevenness of each rail contact eliminated, and the habits for the
 * whole session together.
 * All candidates are looked at in two worlds; for the best at every step, a few hundred in all,
 * strokes are simulated: a shot of which fewer than PLAN_STABLE keep the order of their contacts,
 * their balls falling or meeting nowhere else, is out, and the others count by that share. Among
 * these the shots are chosen one by one and then exchanged. */

#define PLAN_CANDIDATES 5000
#define PLAN_CANDIDATES_LEAST 50
#define PLAN_CANDIDATES_MOST 20000
#define PLAN_STABLE 0.9
#define PLAN_STABLE_DRAWS 100
#define PLAN_LOOK_WORLDS 2   /* in which all candidates are looked at */
#define PLAN_WORLDS 12       /* in which shots are chosen, */
#define PLAN_WORLD_PLAYERS 2 /* by so many players in each */
#define PLAN_TOLD_WORLDS 96  /* over which the errors are told */
#define PLAN_EYE_ERROR 0.1   /* 1 sd of a rest read without a tape [diamonds], assumed */

struct plan_request {
	struct session session; /* table, reading errors, microphone */
	struct plan_knowledge known;
	struct plan_spreads spreads;
	unsigned kit;                 /* of enum protocol_kit */
	double minutes;               /* 0: no limit */
	size_t strokes;               /* at most; 0: no limit but PLAN_STROKES */
	double want[PLAN_QUANTITIES]; /* sd of the logarithm; 0: not wanted */
	bool stops;                   /* once all wants are met with a margin */
	size_t candidates;
	uint64_t seed;
	unsigned threads; /* as in parallel_threads; the plan does not depend on it */
	const struct progress *progress;
};

/* One shot of a plan. */
struct plan_shot {
	enum plan_kind kind;
	struct shot_design design;      /* tries set; key unique in the plan; no texts */
	double stable;                  /* share of strokes that go as designed */
	double seconds;                 /* up to the end of this shot */
	bool clock;                     /* up to the end of this shot something was timed */
	double errors[PLAN_QUANTITIES]; /* expected with all shots up to this one */
};

struct plan {
	struct arena *arena; /* owns the keys */
	size_t count;
	struct plan_shot shots[PLAN_ITEMS];
	double before[PLAN_QUANTITIES];             /* errors before any shot */
	double expected[PLAN_QUANTITIES];           /* and after the last */
	bool wanted_met;                            /* every want is expected to be met */
	bool has_clock;                             /* with what was known before */
	size_t looked, playable, simulated, stable; /* candidates */
	double greedy, value;                       /* of the search, before and after exchanges */
};

/* STATUS_OK (also with no shot, where none helps), STATUS_INTERRUPTED or STATUS_SYSTEM. Release
 * with plan_free in any case. */
enum status plan_make(const struct plan_request *request, struct plan *plan);
void plan_free(struct plan *plan);

/* Fills errors, seconds, clock and stability of shots whose design is given, as plan_make tells
 * them: the same worlds, the same discount. before: errors before any shot. STATUS_OK or
 * STATUS_SYSTEM. */
enum status plan_expect(const struct plan_request *request, size_t count, struct plan_shot *shots,
                        double before[PLAN_QUANTITIES]);

/* Whether a shot measures a time or has a known release speed. */
bool plan_shot_has_clock(const struct shot_design *design);

#endif
