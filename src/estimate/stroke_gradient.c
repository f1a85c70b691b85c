/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/stroke_gradient.h"

#include <math.h>
#include <string.h>

#include "shot/strike_gradient.h"
#include "shot/gradient.h"
#include "shot/observe_gradient.h"

#define DEGREE (3.14159265358979323846 / 180.0)

/* Directions of the play, in this order: those of the strike, the constants, then liveliness and
 * turn of each active rail impact, then those of the table's shared unknowns in use. */
#define BY_CONSTANTS STRIKE_DIRECTIONS
#define BY_IRREGULAR (BY_CONSTANTS + CONSTANT_COUNT)

/* On a level bed a ball's motion tells nothing of slopes: so much is put in its place. */
#define NEARLY_LEVEL 1e-9

/* Residuals by the directions of the play. */
struct slopes {
	int count; /* directions */
	int shared[SHARED_UNKNOWNS]; /* direction of a shared unknown of the table; -1: none */
	double by[RESIDUALS_MAX][GRADIENT_DIRECTIONS];
};

/* The directions that an own unknown of a rail impact has; for those of the strike they are not one
 * to one. */
static void add_irregular(struct shot_gradient *gradient, int own)
{
	int place = own - OWN_STROKE;
	struct shot_direction *direction = &gradient->directions[gradient->count++];

	direction->kind = place % 2 == 0 ? DIRECTION_LIVELINESS : DIRECTION_TURN;
	direction->ball = (size_t)(place / 2 / SHOT_IRREGULAR);
	direction->impact = (unsigned)(place / 2 % SHOT_IRREGULAR);
}

/* The direction of a shared unknown of the table. */
static struct shot_direction shared_direction(int shared)
{
	static const enum term_id terms[] = {TERM_SLOPE_LONG, TERM_SLOPE_SHORT,
	                                     TERM_LIVELINESS_FALL, TERM_NAP};

	if (shared < SHARED_GRIP)
		return (struct shot_direction){.kind = DIRECTION_TERM,
		                               .term = terms[shared - SHARED_SLOPE_LONG]};
	if (shared < SHARED_RAIL_LIVELINESS)
		return (struct shot_direction){.kind = DIRECTION_GRIP,
		                               .ball = (size_t)(shared - SHARED_GRIP)};
	if (shared < SHARED_RAIL_GRIP)
		return (struct shot_direction){
		    .kind = DIRECTION_RAIL_LIVELINESS,
		    .rail = (enum rail)(shared - SHARED_RAIL_LIVELINESS)};
	return (struct shot_direction){.kind = DIRECTION_RAIL_GRIP,
	                               .rail = (enum rail)(shared - SHARED_RAIL_GRIP)};
}

static void set_directions(const struct stroke_case *stroke, bool outer,
                           struct shot_gradient *gradient, struct slopes *slopes)
{
	gradient->count = BY_IRREGULAR;
	for (int j = 0; j < STRIKE_DIRECTIONS; j++)
		gradient->directions[j].kind = DIRECTION_STATE;
	for (int id = 0; id < CONSTANT_COUNT; id++)
		gradient->directions[BY_CONSTANTS + id] = (struct shot_direction){
		    .kind = DIRECTION_CONSTANT, .constant = (enum constant_id)id};
	for (int j = 0; j < stroke->active_count; j++)
		if (stroke->active[j] >= OWN_STROKE)
			add_irregular(gradient, stroke->active[j]);
	for (int shared = SHARED_HABITS; shared < SHARED_UNKNOWNS; shared++) {
		slopes->shared[shared] = -1;
		if (!outer || stroke->parameter[shared] < 0)
			continue;
		slopes->shared[shared] = gradient->count;
		gradient->directions[gradient->count++] = shared_direction(shared);
	}
}

/* Derivatives of the residuals by the directions of the play. */
static bool play_slopes(const struct stroke_case *stroke, const struct stroke_point *point,
                        bool outer, struct slopes *slopes)
{
	struct observed_gradient observed_slopes[QUANTITY_COUNT];
	struct shot_gradient gradient;
	struct shot_record record;
	struct constants constants = stroke_point_constants(point);

	set_directions(stroke, outer, &gradient, slopes);
	if (stroke->parameter[SHARED_SLOPE_LONG] >= 0 &&
	    hypot(constants.terms.slope_long, constants.terms.slope_short) < NEARLY_LEVEL)
		constants.terms.slope_long = NEARLY_LEVEL;
	if (stroke->parameter[SHARED_NAP] >= 0 && fabs(constants.terms.nap_long) < NEARLY_LEVEL)
		constants.terms.nap_long = NEARLY_LEVEL;
	if (!stroke_scene_gradient(&stroke->scene, &constants, point->shared, stroke->trial_own,
	                           stroke->tolerance, &record, &gradient, observed_slopes))
		return false;
	slopes->count = gradient.count;
	stroke_readings_slopes(&stroke->readings, observed_slopes, gradient.count, slopes->by);
	return true;
}

/* d(speed, turn, height, side)/d(own unknown or shared one) of the strike. */
struct strike_change {
	double by[STRIKE_DIRECTIONS];
};

/* The tip's offset may be held at its limit: then only its direction changes. */
static struct strike_change tip_change(const struct stroke_case *stroke,
                                       const struct stroke_point *point, double height, double side)
{
	struct stroke free = stroke_scene_free_stroke(&stroke->scene, point->shared,
	                                              stroke->trial_own);
	double offset = hypot(free.height, free.side);
	struct strike_change change = {{[STRIKE_HEIGHT] = height, [STRIKE_SIDE] = side}};
	double scale, along;

	if (offset <= STROKE_OFFSET_FITTED)
		return change;
	scale = STROKE_OFFSET_FITTED / offset;
	along = (free.height * height + free.side * side) / (offset * offset);
	change.by[STRIKE_HEIGHT] = scale * (height - along * free.height);
	change.by[STRIKE_SIDE] = scale * (side - along * free.side);
	return change;
}

static struct strike_change own_change(const struct stroke_case *stroke,
                                       const struct stroke_point *point, double speed, int own)
{
	const struct launch *launch = &stroke->scene.design->launch;
	struct strike_change change = {{0.0}};

	if (own == OWN_SPEED)
		change.by[STRIKE_SPEED] = speed * launch->speed_spread;
	else if (own == OWN_AIM)
		change.by[STRIKE_TURN] = DEGREE * stroke->scene.design->aim.spread_deg;
	else if (own == OWN_HEIGHT)
		return tip_change(stroke, point, launch->height_spread, 0.0);
	else
		return tip_change(stroke, point, 0.0, launch->side_spread);
	return change;
}

static struct strike_change shared_change(const struct stroke_case *stroke,
                                          const struct stroke_point *point, double speed,
                                          int shared)
{
	const struct launch *launch = &stroke->scene.design->launch;
	struct strike_change change = {{0.0}};

	if (shared == SHARED_AIM)
		change.by[STRIKE_TURN] = DEGREE * SHARED_AIM_SPREAD_DEG;
	else if (shared == SHARED_RAMP && launch->by_ramp)
		change.by[STRIKE_SPEED] = speed * launch->group_spread;
	else if (shared == SHARED_SPEED && !launch->by_ramp)
		change.by[STRIKE_SPEED] = speed * SHARED_SPEED_SPREAD;
	else if (shared == SHARED_HEIGHT && !launch->by_ramp)
		return tip_change(stroke, point, SHARED_OFFSET_SPREAD, 0.0);
	else if (shared == SHARED_SIDE && !launch->by_ramp)
		return tip_change(stroke, point, 0.0, SHARED_OFFSET_SPREAD);
	return change;
}

static double strike_slope(const double *by, const struct strike_change *change)
{
	double sum = 0.0;

	for (int j = 0; j < STRIKE_DIRECTIONS; j++)
		sum += by[j] * change->by[j];
	return sum;
}

static void fill_own(struct stroke_case *stroke, const struct stroke_point *point, double speed,
                     const struct slopes *slopes)
{
	int irregular = BY_IRREGULAR;

	for (int j = 0; j < stroke->active_count; j++) {
		int own = stroke->active[j], direction = irregular;
		struct strike_change change;
		double spread = (own - OWN_STROKE) % 2 == 0 ? IRREGULAR_LIVELINESS_SPREAD
		                                            : DEGREE * IRREGULAR_TURN_SPREAD_DEG;

		if (own < OWN_STROKE)
			change = own_change(stroke, point, speed, own);
		else
			irregular++;
		for (size_t i = 0; i < stroke->readings.residual_count; i++)
			stroke->by_own[i][j] = own < OWN_STROKE
			                           ? strike_slope(slopes->by[i], &change)
			                           : spread * slopes->by[i][direction];
	}
}

/* d(value)/d(standardised coordinate); 0 where the hard limit holds the value. */
static double constant_slope(enum constant_id id, double coordinate)
{
	const struct constant_prior *prior = constant_prior(id);
	double value = prior_value(id, coordinate);

	if (value <= prior->lowest || value >= prior->highest)
		return 0.0;
	return prior->spread * constant_scale_slope(id, value);
}

/* d(what a shared unknown of the table stands for)/d(standardised coordinate). */
static double table_slope(int shared, double coordinate)
{
	if (shared < SHARED_FALL)
		return SLOPE_SPREAD;
	if (shared == SHARED_FALL)
		return FALL_SPREAD;
	if (shared == SHARED_NAP)
		return NAP_SPREAD;
	if (shared < SHARED_RAIL_LIVELINESS)
		return GRIP_SPREAD * exp(GRIP_SPREAD * coordinate);
	if (shared < SHARED_RAIL_GRIP)
		return RAIL_LIVELINESS_SPREAD;
	return RAIL_GRIP_SPREAD * exp(RAIL_GRIP_SPREAD * coordinate);
}

static void fill_table(struct stroke_case *stroke, const struct stroke_point *point,
                       const struct slopes *slopes)
{
	for (int shared = SHARED_HABITS; shared < SHARED_UNKNOWNS; shared++) {
		int direction = slopes->shared[shared];
		double slope;

		if (direction < 0)
			continue;
		slope = table_slope(shared, point->shared[shared]);
		for (size_t i = 0; i < stroke->readings.residual_count; i++)
			stroke->by_outer[i][CONSTANT_COUNT + shared] =
			    slope * slopes->by[i][direction];
	}
}

static void fill_outer(struct stroke_case *stroke, const struct stroke_point *point, double speed,
                       const struct slopes *slopes)
{
	double by_delay[RESIDUALS_MAX];

	memset(stroke->by_outer, 0, sizeof stroke->by_outer);
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		double slope = constant_slope((enum constant_id)id, point->constants[id]);

		for (size_t i = 0; i < stroke->readings.residual_count; i++)
			stroke->by_outer[i][id] = slope * slopes->by[i][BY_CONSTANTS + id];
	}
	for (int shared = 0; shared < SHARED_HABITS; shared++) {
		struct strike_change change;

		if (stroke->parameter[shared] < 0 || shared == SHARED_DELAY)
			continue;
		change = shared_change(stroke, point, speed, shared);
		for (size_t i = 0; i < stroke->readings.residual_count; i++)
			stroke->by_outer[i][CONSTANT_COUNT + shared] =
			    strike_slope(slopes->by[i], &change);
	}
	fill_table(stroke, point, slopes);
	if (stroke->parameter[SHARED_DELAY] < 0)
		return;
	stroke_readings_by_delay(&stroke->readings, by_delay);
	for (size_t i = 0; i < stroke->readings.residual_count; i++)
		stroke->by_outer[i][CONSTANT_COUNT + SHARED_DELAY] = SHARED_DELAY_SPREAD * by_delay[i];
}

bool stroke_gradient_fill(struct stroke_case *stroke, const struct stroke_point *point, bool outer)
{
	double speed =
	    stroke_scene_stroke(&stroke->scene, point->shared, stroke->trial_own).speed;
	struct slopes slopes;

	if (!play_slopes(stroke, point, outer, &slopes))
		return false;
	fill_own(stroke, point, speed, &slopes);
	if (outer)
		fill_outer(stroke, point, speed, &slopes);
	return true;
}
