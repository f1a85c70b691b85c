/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cue.h"

/* Tangent of the angle of squirt. */
static double squirt_tangent(double side, double end_mass_ratio)
{
	double depth_squared = 1.0 - side * side;

	if (end_mass_ratio <= 0.0)
		return 0.0;
	return 2.5 * side * sqrt(depth_squared) / (1.0 + end_mass_ratio + 2.5 * depth_squared);
}

/* Its derivative by side. */
static double squirt_tangent_slope(double side, double end_mass_ratio)
{
	double depth_squared = 1.0 - side * side, depth = sqrt(depth_squared);
	double whole = 1.0 + end_mass_ratio + 2.5 * depth_squared;

	if (end_mass_ratio <= 0.0)
		return 0.0;
	return 2.5 * ((depth - side * side / depth) / whole +
	              5.0 * side * side * depth / (whole * whole));
}

double cue_squirt(double side, double end_mass_ratio)
{
	return atan(squirt_tangent(side, end_mass_ratio));
}

/* Directions of a strike. The impulse runs along the path, so the axis of follow and draw is
 * square to that. */
struct strike_frame {
	struct vector3 along, right;
	struct vector3 up; /* square to the cue's axis and to right: vertical for a level cue */
};

static struct strike_frame frame_at(double path, double elevation)
{
	struct strike_frame frame;

	frame.along = vector3_make(cos(path), sin(path), 0.0);
	frame.right = vector3_make(frame.along.y, -frame.along.x, 0.0);
	frame.up = vector3_add(vector3_scale(sin(elevation), frame.along),
	                       vector3_make(0.0, 0.0, cos(elevation)));
	return frame;
}

void cue_strike(const struct stroke *stroke, double aim, double end_mass_ratio,
                double bed_restitution, const struct ball_body *body, struct ball_state *state)
{
	double squirt = cue_squirt(stroke->side, end_mass_ratio);
	struct strike_frame frame = frame_at(aim + stroke->turn + squirt, stroke->elevation);
	double spin = 2.5 * stroke->speed / (cos(stroke->elevation) * body->radius);
	double side = stroke->side - sqrt(1.0 - stroke->side * stroke->side) * tan(squirt);

	state->velocity = vector3_scale(stroke->speed, frame.along);
	state->velocity.z = bed_restitution * stroke->speed * tan(stroke->elevation);
	state->spin = vector3_add(vector3_scale(spin * side, frame.up),
	                          vector3_scale(-spin * stroke->height, frame.right));
}

void cue_release(const struct stroke *stroke, double aim, double groove,
                 const struct ball_body *body, struct ball_state *state)
{
	double heading = aim + stroke->turn;
	double spin = stroke->speed / (sin(0.5 * groove) * body->radius);

	state->velocity = vector3_make(stroke->speed * cos(heading), stroke->speed * sin(heading), 0.0);
	state->spin = vector3_make(-spin * sin(heading), spin * cos(heading), 0.0);
}

/* Derivative of a vector by a turn of everything about the vertical. */
static struct vector3 turned(struct vector3 v)
{
	return vector3_make(-v.y, v.x, 0.0);
}

static void set_column(struct cue_slopes *slopes, enum cue_input column, struct vector3 velocity,
                       struct vector3 spin)
{
	double numbers[CUE_OUT] = {velocity.x, velocity.y, spin.x, spin.y, spin.z};

	for (int k = 0; k < CUE_OUT; k++)
		slopes->by[k][column] = numbers[k];
}

void cue_strike_slopes(const struct stroke *stroke, double aim, double end_mass_ratio,
                       const struct ball_body *body, struct cue_slopes *slopes)
{
	const struct vector3 none = {0.0, 0.0, 0.0};
	double a = stroke->side, depth = sqrt(1.0 - a * a), v = stroke->speed;
	double lean = tan(stroke->elevation), spin = 2.5 * v / (cos(stroke->elevation) * body->radius);
	double tangent = squirt_tangent(a, end_mass_ratio);
	double tangent_slope = squirt_tangent_slope(a, end_mass_ratio);
	double squirt_slope = tangent_slope / (1.0 + tangent * tangent);
	double side_slope = 1.0 + a / depth * tangent - depth * tangent_slope;
	struct strike_frame frame =
	    frame_at(aim + stroke->turn + atan(tangent), stroke->elevation);
	/* d(up)/d(elevation): the direction in which the cue points. */
	struct vector3 cue = vector3_scale(cos(stroke->elevation), frame.along);
	struct stroke unit = *stroke;
	struct ball_state one;

	cue.z = -sin(stroke->elevation);
	unit.speed = 1.0; /* everything is in proportion to the speed */
	cue_strike(&unit, aim, end_mass_ratio, 0.0, body, &one);
	set_column(slopes, CUE_SPEED, one.velocity, one.spin);
	set_column(slopes, CUE_TURN, vector3_scale(v, turned(one.velocity)),
	           vector3_scale(v, turned(one.spin)));
	set_column(slopes, CUE_HEIGHT, none, vector3_scale(-spin, frame.right));
	set_column(slopes, CUE_SIDE, vector3_scale(v * squirt_slope, turned(one.velocity)),
	           vector3_add(vector3_scale(v * squirt_slope, turned(one.spin)),
	                       vector3_scale(spin * side_slope, frame.up)));
	set_column(slopes, CUE_ELEVATION, none,
	           vector3_add(vector3_scale(lean * v, one.spin),
	                       vector3_scale(spin * (a - depth * tangent), cue)));
}

void cue_release_slopes(const struct stroke *stroke, double aim, double groove,
                        const struct ball_body *body, struct cue_slopes *slopes)
{
	double v = stroke->speed;
	struct stroke unit = *stroke;
	struct ball_state one;

	*slopes = (struct cue_slopes){.by = {{0.0}}};
	unit.speed = 1.0;
	cue_release(&unit, aim, groove, body, &one);
	set_column(slopes, CUE_SPEED, one.velocity, one.spin);
	set_column(slopes, CUE_TURN, vector3_scale(v, turned(one.velocity)),
	           vector3_scale(v, turned(one.spin)));
}
