/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/plan_aims.h"

#include <math.h>
#include <string.h>

#include "advise/conditions.h"
#include "estimate/fit_states.h"
#include "estimate/stroke_case.h"

#define STEP 0.1 /* standardised */

const char *plan_quantity_name(int quantity)
{
	return quantity < CONSTANT_COUNT
	           ? constant_prior((enum constant_id)quantity)->name
	           : condition_name((enum condition_id)(quantity - CONSTANT_COUNT));
}

enum constant_id plan_quantity_rests_on(int quantity)
{
	static const enum constant_id deciding[CONDITION_COUNT] = {
	    [ONE_LENGTH_TIME_S] = ROLLING_RESISTANCE,
	    [STUN_SLIDE_DIAMONDS] = SLIDING_FRICTION,
	    [SQUARE_RAIL_SPEED_KEPT_PERCENT] = CUSHION_RESTITUTION,
	    [FULL_SIDE_RETURN_DIAMONDS] = CUSHION_FRICTION,
	    [HALF_BALL_THROW_DEG] = BALL_FRICTION,
	    [FULL_SIDE_LASTS_S] = SPIN_FRICTION};

	return quantity < CONSTANT_COUNT ? (enum constant_id)quantity
	                                 : deciding[quantity - CONSTANT_COUNT];
}

bool plan_quantity_needs_clock(int quantity)
{
	enum constant_id id = plan_quantity_rests_on(quantity);

	return id == SLIDING_FRICTION || id == ROLLING_RESISTANCE || id == SPIN_FRICTION;
}

/* Whether name is known, or its beginning without a unit, with - for _. */
static bool is_name_of(const char *name, const char *known)
{
	static const char *const units[] = {"", "_s", "_diamonds", "_percent", "_deg"};
	size_t length = strlen(name);

	for (size_t i = 0; i < length; i++)
		if (known[i] == '\0' ||
		    (name[i] != known[i] && !(name[i] == '-' && known[i] == '_')))
			return false;
	for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
		if (strcmp(known + length, units[i]) == 0)
			return length > 0;
	return false;
}

bool plan_quantity_from_name(const char *name, int *quantity)
{
	for (int q = 0; q < PLAN_QUANTITIES; q++)
		if (is_name_of(name, plan_quantity_name(q))) {
			*quantity = q;
			return true;
		}
	return false;
}

static double log_condition(enum condition_id id, const struct table *table,
                            const double constants[CONSTANT_COUNT], int moved, double by)
{
	struct stroke_point point = {.shared = {0.0}};
	struct constants at;

	memcpy(point.constants, constants, sizeof point.constants);
	point.constants[moved] += by;
	at = stroke_point_constants(&point);
	return log(condition_value(id, table, &at));
}

/* A step that a hard limit cuts short would make the slope too small: the one that goes the way the
 * limit does not is told twice then. */
static double condition_slope(enum condition_id id, const struct table *table,
                              const double constants[CONSTANT_COUNT], int moved)
{
	double here = log_condition(id, table, constants, moved, 0.0);
	double up = log_condition(id, table, constants, moved, STEP) - here;
	double down = here - log_condition(id, table, constants, moved, -STEP);
	double slope = fabs(up) > fabs(down) ? up : down;

	return isfinite(slope) ? slope / STEP : 0.0;
}

void plan_quantity_slopes(const struct table *table, const double constants[CONSTANT_COUNT],
                          double slopes[PLAN_QUANTITIES][CONSTANT_COUNT])
{
	memset(slopes, 0, PLAN_QUANTITIES * sizeof slopes[0]);
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		double value = prior_value((enum constant_id)i, constants[i]);

		slopes[i][i] = constant_scale_slope((enum constant_id)i, value) / value *
		               constant_prior((enum constant_id)i)->spread;
	}
	for (int c = 0; c < CONDITION_COUNT; c++)
		for (int i = 0; i < CONSTANT_COUNT; i++)
			slopes[CONSTANT_COUNT + c][i] =
			    condition_slope((enum condition_id)c, table, constants, i);
}

double plan_quantity_default(int quantity)
{
	const struct constant_prior *prior;

	if (quantity >= CONSTANT_COUNT)
		return 0.0;
	prior = constant_prior((enum constant_id)quantity);
	return fmin(FIT_WEAK_ABOVE,
	            (1.0 - FIT_LEARNED_ENOUGH) * prior->spread *
	                constant_scale_slope((enum constant_id)quantity, prior->centre) /
	                prior->centre);
}

const char *plan_reader_name(enum plan_reader reader)
{
	static const char *const names[PLAN_READERS] = {"room", "player", "referee"};

	return names[reader];
}

double plan_reader_want(enum plan_reader reader, int quantity)
{
	static const double wants[PLAN_READERS][PLAN_QUANTITIES] = {
	    [PLAN_ROOM] = {[SLIDING_FRICTION] = 0.10,
	                   [CUSHION_FRICTION] = 0.10,
	                   [CONSTANT_COUNT + ONE_LENGTH_TIME_S] = 0.02,
	                   [CONSTANT_COUNT + SQUARE_RAIL_SPEED_KEPT_PERCENT] = 0.02},
	    [PLAN_PLAYER] = {[CONSTANT_COUNT + ONE_LENGTH_TIME_S] = 0.03,
	                     [CONSTANT_COUNT + STUN_SLIDE_DIAMONDS] = 0.15,
	                     [CONSTANT_COUNT + SQUARE_RAIL_SPEED_KEPT_PERCENT] = 0.03,
	                     [CONSTANT_COUNT + FULL_SIDE_RETURN_DIAMONDS] = 0.10},
	    [PLAN_REFEREE] = {[BALL_RESTITUTION] = 0.01,
	                      [CONSTANT_COUNT + HALF_BALL_THROW_DEG] = 0.15}};

	return wants[reader][quantity];
}
