/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_STROKE_MODEL_H
#define RESTPOINT_ESTIMATE_STROKE_MODEL_H

#include <stdbool.h>
#include <stdint.h>

#include "model/constants.h"
#include "model/measurement.h"
#include "model/protocol.h"
#include "shot/observe.h"
#include "shot/observe_gradient.h"
#include "shot/play.h"
#include "shot/setup.h"

/* One stroke of a session as a function of everything unknown about it (physics.md 6). All
 * unknowns here are standardised: 0 in the middle, 1 is one standard deviation of what is known
 * before the measurement. */

/* What strokes share: those of one player, one ramp or one session (habits), then what the table and
 * its balls have besides the constants, fitted only where it is asked for. */
enum shared_unknown {
	SHARED_SPEED,  /* the player's factor on all speeds */
	SHARED_HEIGHT, /* the player's offset of height */
	SHARED_SIDE,   /* the player's offset of side */
	SHARED_AIM,    /* the player's aim offset for that shot */
	SHARED_RAMP,   /* the release speed of that ramp */
	SHARED_DELAY,  /* the sound's way to a phone that lay nobody knows where */
	SHARED_HABITS,
	SHARED_SLOPE_LONG = SHARED_HABITS, /* rise per run toward the foot */
	SHARED_SLOPE_SHORT,                /* toward the right */
	SHARED_FALL,       /* by how much the cushions are less lively at speed; not below 0 */
	SHARED_NAP,        /* push of the nap on a rolling ball, toward the foot */
	SHARED_GRIP,       /* of the ball of each part, the cue ball's first */
	SHARED_RAIL_LIVELINESS = SHARED_GRIP + BALL_ROLES,       /* of each rail */
	SHARED_RAIL_GRIP = SHARED_RAIL_LIVELINESS + RAIL_COUNT,  /* of each rail */
	SHARED_UNKNOWNS = SHARED_RAIL_GRIP + RAIL_COUNT
};

/* 1 sd of the shared unknowns (physics.md 6; formats.md 3 for the delay, which is up to 0.008 s:
 * taken as uniform, so 0.008/sqrt(3), GUM 4.3.7). */
#define SHARED_SPEED_SPREAD 0.4
#define SHARED_OFFSET_SPREAD 0.03
#define SHARED_AIM_SPREAD_DEG 0.2
#define SHARED_DELAY_SPREAD 0.0046

/* 1 sd of what a table has besides. All are assumed: no survey of tables is at hand.
 * Slope: a bed that was levelled with a machinist's level and has settled since; 2 mm per m is a
 * lag that drifts by a tenth of its length. */
#define SLOPE_SPREAD 0.002 /* rise per run */
/* Half-normal, as cushions lose liveliness with speed and do not gain: at 0.04 a cushion of 0.93
 * has 0.81 left at 4 m/s. */
#define FALL_SPREAD 0.04 /* [s/m] */
/* Over g, of the push of a nap: a fifth of the resistance to rolling. */
#define NAP_SPREAD 0.002
/* Of the logarithm: a third more or less friction, by dirt and wear. */
#define GRIP_SPREAD 0.3
/* Units of the rails' unknowns; how far rails really differ is itself unknown (fit_extras.h). */
#define RAIL_LIVELINESS_SPREAD 0.02
#define RAIL_GRIP_SPREAD 0.15 /* of the logarithm */

/* What each stroke has for itself: speed, aim, height, side, then liveliness and turn of each rail
 * impact of each ball. */
enum own_unknown { OWN_SPEED, OWN_AIM, OWN_HEIGHT, OWN_SIDE, OWN_STROKE };
#define OWN_UNKNOWNS (OWN_STROKE + BALL_ROLES * SHOT_IRREGULAR * 2)

/* 1 sd of a rail impact's irregularity (physics.md 6). */
#define IRREGULAR_LIVELINESS_SPREAD 0.01
#define IRREGULAR_TURN_SPREAD_DEG 0.25

/* Place of a rail impact's liveliness among the own unknowns; its turn follows. */
static inline int own_irregular(int ball, int impact)
{
	return OWN_STROKE + 2 * (ball * SHOT_IRREGULAR + impact);
}

/* Everything about a stroke that is known. */
struct stroke_scene {
	const struct shot_design *design;
	struct shot_setup setup;
	const struct table *table;
	double end_mass_ratio;
	struct microphone microphone;
	uint32_t mask; /* quantities to observe */
	struct shot_need need;
};

/* Sets a scene up. labels: of the physical balls, by their part; NULL for the defaults. False with
 * a static sentence in *why when the design cannot stand on that table. The table, the design and
 * the labels must outlive the scene. */
bool stroke_scene_make(struct stroke_scene *scene, const struct shot_design *design,
                       const struct session *session, const char *const labels[BALL_ROLES],
                       uint32_t mask, const char **why);

/* The stroke that those unknowns make of the design, wherever the tip then is. */
struct stroke stroke_scene_free_stroke(const struct stroke_scene *scene,
                                       const double shared[SHARED_UNKNOWNS],
                                       const double own[OWN_UNKNOWNS]);

/* The same, but the tip stays within the miscue limit of
 * STROKE_OFFSET_FITTED. */
struct stroke stroke_scene_stroke(const struct stroke_scene *scene,
                                  const double shared[SHARED_UNKNOWNS],
                                  const double own[OWN_UNKNOWNS]);

/* What the unknowns make of the rails. */
void stroke_rails(const double shared[SHARED_UNKNOWNS], struct rail_character rails[RAIL_COUNT]);

/* Plays the stroke and observes the scene's quantities. tolerance: of cushion impacts. False when
 * the shot could not be played to its end (SHOT_CAPPED, SHOT_BROKEN). */
bool stroke_scene_play(const struct stroke_scene *scene, const struct constants *constants,
                       const double shared[SHARED_UNKNOWNS], const double own[OWN_UNKNOWNS],
                       double tolerance, struct shot_record *record,
                       struct observed observed[QUANTITY_COUNT]);

/* The same with derivatives of the scene's quantities.
 *   gradient  its count and directions by the caller; the first STRIKE_DIRECTIONS of them are those
 *             of the strike, in the order of enum strike_direction (shot/strike_gradient.h); the derivatives
 *             of the balls' states by the others are zero at the strike
 * False as above, or where derivatives are not propagated. */
bool stroke_scene_gradient(const struct stroke_scene *scene, const struct constants *constants,
                           const double shared[SHARED_UNKNOWNS], const double own[OWN_UNKNOWNS],
                           double tolerance, struct shot_record *record,
                           struct shot_gradient *gradient,
                           struct observed_gradient slopes[QUANTITY_COUNT]);

/* The rails that the shot as designed strikes, at the middle of the priors: the rail of each
 * ball's first to fourth contact, RAIL_COUNT where there is none. False as stroke_scene_make. */
bool stroke_design_rails(const struct shot_design *design, const struct session *session,
                         enum rail rails[BALL_ROLES][RAIL_READINGS], const char **why);

#endif
