/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "misfit_case.h"

#include <stdlib.h>
#include <string.h>

#include "estimate/simulate.h"
#include "misfit_slide.h"

#define SLIDE_FALL 0.1       /* [s/m] */
#define LIVELINESS_FALL 0.03 /* [s/m] */
#define SLOPE_LONG 0.0016    /* with the next, 2 mm per m */
#define SLOPE_SHORT (-0.0012)
#define DEAD_LIVELINESS (-0.08) /* of the foot rail */
#define BALL_FRICTION_FALL 0.7  /* [s/m] */
#define BED_RESTITUTION 0.5
#define DRIFT 0.10 /* of the frictions of the cloth, first row to last */
#define ERRORS 2.0
#define STEADINESS 0.5

static const struct misfit_rule rules[MISFIT_CASES] = {
    [MISFIT_NONE] = {"none", "nothing is left out", ""},
    [MISFIT_SLIDE_FALL] = {"slide-fall", "sliding friction 10 % less for each m/s more of slip",
                           "assumed; for cloth the literature has both signs"},
    [MISFIT_LIVELINESS_FALL] = {"liveliness-fall",
                                "cushion restitution 0.03 less for each m/s more",
                                "assumed: that 0.93 is 0.84 at 4 m/s"},
    [MISFIT_SLOPE] = {"slope", "bed 1.6 mm/m up to the foot and 1.2 mm/m down to the right",
                      "2 mm/m as asked; players start to notice at 1.7 mm/m"},
    [MISFIT_DEAD_RAIL] = {"dead-rail", "restitution of the foot rail 8 % less",
                          "assumed: 0.05 to 0.1 between the rails of a table in dispute"},
    [MISFIT_BALL_FRICTION_FALL] = {"ball-friction-fall",
                                   "friction of balls halved for each m/s more of slip",
                                   "published fit 0.01 + 0.108 exp(-1.088 v), from memory"},
    [MISFIT_HOP] = {"hop", "balls lifted at a contact fly, land, and bounce with 0.5",
                    "assumed restitution of the bed"},
    [MISFIT_DRIFT] = {"drift", "frictions of the cloth fall by 10 % from first stroke to last",
                      "assumed: cloth that warms and dries"},
    [MISFIT_READING_ERRORS] = {"reading-errors", "reading errors twice as large as stated",
                               "as asked"},
    [MISFIT_STEADY] = {"steady", "nothing left out, but a player who scatters half as much",
                       "assumed"},
};

const struct misfit_rule *misfit_rule(enum misfit_case number)
{
	return &rules[number];
}

bool misfit_case_from_name(const char *name, enum misfit_case *number)
{
	for (int i = 0; i < MISFIT_CASES; i++)
		if (strcmp(rules[i].name, name) == 0) {
			*number = (enum misfit_case)i;
			return true;
		}
	return false;
}

static void change_constants(enum misfit_case number, struct constants *constants)
{
	switch (number) {
	case MISFIT_LIVELINESS_FALL:
		constants->terms.liveliness_fall = LIVELINESS_FALL;
		break;
	case MISFIT_SLOPE:
		constants->terms.slope_long = SLOPE_LONG;
		constants->terms.slope_short = SLOPE_SHORT;
		break;
	case MISFIT_BALL_FRICTION_FALL:
		constants->terms.ball_friction_fall = BALL_FRICTION_FALL;
		break;
	case MISFIT_HOP:
		constants->terms.bed_restitution = BED_RESTITUTION;
		break;
	default:
		break;
	}
}

static enum status simulate_plainly(const struct protocol *protocol, enum misfit_case number,
                                    const struct constants *constants, uint64_t seed,
                                    struct measurement *measurement)
{
	struct simulated_extras extras = {.grip = {1.0, 1.0, 1.0}};
	struct session session = session_default();
	struct reading_errors stated = session.errors;
	enum status status;

	for (int rail = 0; rail < RAIL_COUNT; rail++)
		extras.rails[rail].grip = 1.0;
	if (number == MISFIT_DEAD_RAIL)
		extras.rails[RAIL_FOOT].liveliness = DEAD_LIVELINESS;
	if (number == MISFIT_READING_ERRORS) {
		session.errors.position *= ERRORS;
		session.errors.rail *= ERRORS;
		session.errors.watch *= ERRORS;
		session.errors.rest_watch *= ERRORS;
		session.errors.sound *= ERRORS;
	}
	misfit_slide_set(number == MISFIT_SLIDE_FALL ? SLIDE_FALL : 0.0);
	status =
	    simulate_session_with(protocol, &session, constants, &extras, seed, true, measurement);
	misfit_slide_set(0.0);
	if (status == STATUS_OK)
		measurement->session.errors = stated;
	return status;
}

/* Every row from a session of its own on the table as it is at that stroke. */
static enum status simulate_drift(const struct protocol *protocol, const struct constants *truth,
                                  uint64_t seed, struct measurement *measurement)
{
	enum status status = simulate_plainly(protocol, MISFIT_DRIFT, truth, seed, measurement);
	size_t count = status == STATUS_OK ? measurement->row_count : 0;

	for (size_t i = 0; i < count && status == STATUS_OK; i++) {
		double part = (double)i / (double)(count > 1 ? count - 1 : 1);
		struct constants now = *truth;
		struct measurement session;

		now.value[SLIDING_FRICTION] *= 1.0 + DRIFT * (0.5 - part);
		now.value[ROLLING_RESISTANCE] *= 1.0 + DRIFT * (0.5 - part);
		now.value[SPIN_FRICTION] *= 1.0 + DRIFT * (0.5 - part);
		status = simulate_plainly(protocol, MISFIT_DRIFT, &now, seed, &session);
		if (status != STATUS_OK)
			break;
		/* What a row points to belongs to the protocol. */
		measurement->rows[i] = session.rows[i];
		measurement_free(&session);
	}
	if (status != STATUS_OK && count > 0)
		measurement_free(measurement);
	return status;
}

/* The same protocol as somebody plays it who repeats better. */
static enum status simulate_steady(const struct protocol *protocol, const struct constants *truth,
                                   uint64_t seed, struct measurement *measurement)
{
	struct shot_design *shots = malloc(protocol->shot_count * sizeof *shots);
	struct protocol played = *protocol;
	enum status status;

	if (shots == NULL)
		return STATUS_SYSTEM;
	memcpy(shots, protocol->shots, protocol->shot_count * sizeof *shots);
	for (size_t i = 0; i < protocol->shot_count; i++) {
		shots[i].aim.spread_deg *= STEADINESS;
		shots[i].launch.speed_spread *= STEADINESS;
		shots[i].launch.height_spread *= STEADINESS;
		shots[i].launch.side_spread *= STEADINESS;
	}
	played.shots = shots;
	status = simulate_plainly(&played, MISFIT_STEADY, truth, seed, measurement);
	free(shots);
	return status;
}

enum status misfit_simulate(const struct protocol *protocol, enum misfit_case number,
                            const struct constants *truth, uint64_t seed,
                            struct measurement *measurement)
{
	struct constants constants = *truth;
	enum status status;

	change_constants(number, &constants);
	if (number == MISFIT_DRIFT)
		status = simulate_drift(protocol, &constants, seed, measurement);
	else if (number == MISFIT_STEADY)
		status = simulate_steady(protocol, &constants, seed, measurement);
	else
		status = simulate_plainly(protocol, number, &constants, seed, measurement);
	if (status == STATUS_OK)
		for (size_t i = 0; i < measurement->row_count; i++)
			measurement->rows[i].line = i + 2;
	return status;
}
