/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_FIT_H
#define RESTPOINT_ESTIMATE_FIT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/fault.h"
#include "base/progress.h"
#include "base/status.h"
#include "estimate/lack_of_fit.h"
#include "estimate/omissions.h"
#include "model/constants.h"
#include "model/measurement.h"
#include "model/profile.h"
#include "model/protocol.h"

/* Measurements to constants: the best value of the constants and of what the players of a session
 * share, with each stroke's own unknowns and the irregularities of its rail contacts eliminated by
 * their best value, and the covariance of the constants at that point (physics.md 6). */

/* One file with its protocol. All files of one fit must be of one table and one ball size. */
struct fit_input {
	const struct measurement *measurement;
	const struct protocol *protocol;
};

/* What is fitted besides the constants (estimate/fit_extras.h). */
struct fit_wants {
	bool slope;                 /* of the bed, two numbers */
	bool liveliness_with_speed; /* of the cushions */
	bool grips;                 /* of each ball label but the reference's */
	bool per_rail;              /* liveliness and grip of each rail about those of all */
	bool player;                /* tell how the players strike; changes nothing of the fit */
	bool nap;                   /* its push on rolling balls; not with slope, which looks alike */
};

struct fit_options {
	uint64_t seed;                   /* for the search of a stroke by draws */
	const struct progress *progress; /* may be NULL */
	struct fit_wants wants;
	unsigned threads; /* as in base/parallel.h; does not change the result */
};

/* The grip of a ball by its label. */
struct fit_grip {
	const char *label;
	struct estimate grip;
	size_t column; /* of its logarithm, in units of GRIP_SPREAD, among the extra draws */
};

/* Constants of which none is determined, but a product of their powers is. A restitution e stands
 * in it as what is lost, 1 - e. */
struct fit_combination {
	enum constant_id first, second; /* its parts; where more, the two that matter most */
	bool product;                   /* false: first / second */
	struct interval interval;       /* of the product of powers */
	bool power;                     /* not simply first / second or first x second */
	double exponents[CONSTANT_COUNT]; /* 0 for what is no part of it */
};

/* The other side of it: a change of constants, together, that the readings do not notice. */
struct fit_unknown {
	double change[CONSTANT_COUNT]; /* on the fitted scales, the largest 1 or -1, the first one above
	                                  0; 0 for what stays */
};

/* What a fit with slopes leaves of a line: the strokes of one shot. */
struct fit_line {
	const char *shot;
	size_t strokes, readings;
	double chi_square, probability; /* of a worse misfit by chance */
	size_t along_count, across_count; /* rests of the cue ball that were read, along and across */
	double along_mm, across_mm;       /* read less computed, mean, toward the foot and the right */
};

/* How a player's strokes scatter from try to try, in its unit (logarithm of speed, degrees of aim,
 * radii of height and side). */
struct fit_spread {
	bool told; /* enough tries tell it */
	size_t tries;
	double value, low95, high95;
};

/* Speed, aim, height, side: the spreads; speed, height, side: the offsets. */
#define FIT_SPREADS 4
#define FIT_OFFSETS 3

/* A player of a file (estimate/fit_players.h). */
struct fit_player {
	const char *name; /* "" where nobody is named */
	size_t input;     /* file */
	struct fit_spread spread[FIT_SPREADS];
	/* Of all strokes from the design: logarithm of speed, then height and side in radii. */
	struct interval offset[FIT_OFFSETS];
};

/* A stroke in use that counts for little: how likely it is that it went right, mean over the draws;
 * it pulls at the constants with about that share of its weight. */
struct fit_doubted {
	const char *file;
	size_t line;
	const char *shot;
	double weight; /* below FIT_DOUBTED */
};

#define FIT_DOUBTED 0.5

struct fit_result {
	struct arena *arena; /* owns the arrays and strings here */
	bool converged;
	bool interrupted;
	const char *stop_reason;
	size_t iterations;
	struct estimate constants[CONSTANT_COUNT];
	/* Draws from what is known of the constants, on their fitted scales (log or logit), within the
	 * hard limits; errors already enlarged where `scaled`. None where the fit did not end well:
	 * what follows is then the linear approximation at the best point. */
	size_t draw_count;
	double (*draws)[CONSTANT_COUNT];
	double centre[CONSTANT_COUNT];   /* mean of the draws */
	double covariance[CONSTANT_COUNT][CONSTANT_COUNT]; /* of the draws */
	/* What was fitted besides, where it was asked for; with draws in the same order as those of the
	 * constants, rows of extra_count numbers. */
	bool has_slope;
	struct profile_slope slope;
	bool no_plane;                   /* a line strays more than chance does: the bed is bent */
	size_t line_count;               /* where slopes were fitted */
	struct fit_line *lines;
	bool has_liveliness_fall;
	struct estimate liveliness_fall;
	bool has_nap;
	struct estimate nap;             /* over g, toward the foot */
	size_t grip_count;
	struct fit_grip *grips;
	bool has_rails;                  /* the constants of the cushions are then the rails' means */
	struct profile_rails rails;
	size_t player_count;             /* where asked for, and draws were made */
	struct fit_player *players;
	size_t extra_count;
	double *extra_draws;
	bool has_clock;                  /* a time or a known release speed was measured */
	size_t combination_count;
	struct fit_combination combinations[CONSTANT_COUNT];
	size_t unknown_count;            /* each belongs to combinations that share parts */
	struct fit_unknown unknowns[CONSTANT_COUNT];
	size_t shots_used;               /* strokes */
	size_t readings_used;
	size_t set_aside_count;          /* by the person and by the fit, in order of file and line */
	struct set_aside_row *set_aside;
	size_t repaired_count;           /* strokes used with other readings than were written, likewise */
	struct set_aside_row *repaired;
	size_t doubted_count;            /* likewise; none without draws */
	struct fit_doubted *doubted;
	double chi_square, degrees_of_freedom;
	double chi_square_p;             /* of a larger one by chance, errors and spreads being as stated */
	struct lack_of_fit lack_of_fit;  /* chi_square taken apart by repeated tries */
	double lack_of_fit_p;            /* its probability; not a number when it cannot be told */
	size_t omission_count;           /* those that are not fitted; none where the fit did not end well */
	struct fit_omission omissions[OMISSION_COUNT];
	bool scaled;
	double coverage; /* standard deviations that an interval reaches either way: 1.96, but Student's
	                    where the errors were scaled by what the readings themselves tell */
};

/* Fits. STATUS_OK (also when some constants are not determined), STATUS_INPUT with faults (files of
 * different tables, no usable stroke), STATUS_UNDETERMINED (no constant even weakly),
 * STATUS_NOT_CONVERGED, STATUS_INTERRUPTED, STATUS_SYSTEM. After all but INPUT and SYSTEM *result
 * holds the best point so far; release with fit_result_free. */
enum status fit_run(const struct fit_input *inputs, size_t input_count,
                    const struct fit_options *options, struct fit_result *result,
                    struct fault_list *faults);

void fit_result_free(struct fit_result *result);

#endif
