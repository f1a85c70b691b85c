/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_passage.h"

#include <math.h>

#include "physics/cushion_points.h"

#define FORCES (2 * CONTACT_PLACES) /* parts of the forces at both contacts */

struct course {
	struct impact impact;
	enum contact_place place;
	struct friction after;
};

/* At one angle: the parts of the slip's rate, and what the forces exceed those after by. */
struct place_of_course {
	double ahead, turn, excess[FORCES];
};

static void set_angle(struct course *course, double angle, struct friction *friction)
{
	course->impact.direction[course->place] = (vector2){cos(angle), sin(angle)};
	impact_lift(&course->impact);
	friction_find(&course->impact, friction);
}

static double angle_of(vector2 direction)
{
	return atan2(direction[1], direction[0]);
}

static struct place_of_course look(struct course *course, double angle)
{
	struct friction friction;
	struct place_of_course here;
	vector2 direction;

	set_angle(course, angle, &friction);
	direction = course->impact.direction[course->place];
	here.ahead = vector2_dot(direction, friction.rate[course->place]);
	here.turn = vector2_cross(direction, friction.rate[course->place]);
	for (int i = 0; i < FORCES; i++)
		here.excess[i] = friction.force[i / 2][i % 2] - course->after.force[i / 2][i % 2];
	return here;
}

/* The first angle beyond `from`, upwards (way 1) or downwards (-1), at which the slip does not
 * turn; false when there is none. */
static bool find_still(struct course *course, double from, double way, double *still)
{
	const int steps = 64;
	double turn = look(course, from).turn, low = from, high = from;
	int step = 0;

	while (look(course, high).turn * turn > 0.0) {
		if (step++ >= steps)
			return false;
		low = high;
		high = from + way * step * (2.0 * M_PI / steps);
	}
	for (int round = 0; round < 60 && low != high; round++) {
		double middle = 0.5 * (low + high);

		if (look(course, middle).turn * turn > 0.0)
			low = middle;
		else
			high = middle;
	}
	*still = high;
	return true;
}

/* q and q' where the slip does not turn, from the equation and its derivative. */
static bool solve_still(struct course *course, double angle, double value[FORCES],
                        double slope[FORCES])
{
	vector2 grip[CONTACT_PLACES] = {{0.0, 0.0}, {0.0, 0.0}};
	enum contact_place place = course->place;
	struct place_of_course here = look(course, angle);
	struct friction friction, turned;
	vector2 direction;
	double ahead_change, factor;

	set_angle(course, angle, &friction);
	direction = course->impact.direction[place];
	grip[place] = course->impact.friction[place] * vector2_turn(direction);
	friction_respond(&course->impact, &friction, grip, &turned);
	ahead_change = vector2_dot(direction, turned.rate[place]);
	factor = vector2_cross(direction, turned.rate[place]); /* turn' + ahead */
	if (here.ahead == 0.0 || factor == 0.0)
		return false;
	for (int i = 0; i < FORCES; i++) {
		value[i] = -here.excess[i] / here.ahead;
		slope[i] = -(turned.force[i / 2][i % 2] + ahead_change * value[i]) / factor;
	}
	return true;
}

/* Gauss's elimination with exchange of rows; the right sides stand beside the matrix. */
static void solve_equations(double rows[POINTS][POINTS + FORCES])
{
	for (int column = 0; column < POINTS; column++) {
		double inverse;
		int lead = column;

		for (int row = column + 1; row < POINTS; row++)
			if (fabs(rows[row][column]) > fabs(rows[lead][column]))
				lead = row;
		inverse = 1.0 / rows[lead][column];
		for (int k = 0; k < POINTS + FORCES; k++) {
			double kept = rows[lead][k];

			rows[lead][k] = rows[column][k];
			rows[column][k] = kept * inverse;
		}
		for (int row = 0; row < POINTS; row++) {
			double factor = rows[row][column];

			for (int k = column; k < POINTS + FORCES && row != column; k++)
				rows[row][k] -= factor * rows[column][k];
		}
	}
}

/* Takes q from one angle to another by collocation; slope receives q' there. A start where the
 * equation has no q' needs no care: polynomials take the smooth solution. */
static void cross_piece(struct course *course, double from, double to, double value[FORCES],
                        double slope[FORCES])
{
	double rows[POINTS][POINTS + FORCES];

	for (int i = 0; i < POINTS; i++) {
		struct place_of_course here = look(course, from + (to - from) * points_place[i]);

		for (int j = 0; j < POINTS; j++)
			rows[i][j] = here.ahead * (to - from) * points_integral[i][j];
		rows[i][i] += here.turn;
		for (int k = 0; k < FORCES; k++)
			rows[i][POINTS + k] = -here.excess[k] - here.ahead * value[k];
	}
	solve_equations(rows);
	for (int k = 0; k < FORCES; k++) {
		for (int j = 0; j < POINTS; j++)
			value[k] +=
			    (to - from) * points_integral[POINTS - 1][j] * rows[j][POINTS + k];
		slope[k] = rows[POINTS - 1][POINTS + k];
	}
}

/* How far it is from an angle, one way, to where the bed reaction comes to or from zero. */
static double to_kink(const struct course *course, double from, double way)
{
	const struct impact *impact = &course->impact;
	double lean = impact->cosine * impact->friction[CONTACT_NOSE], nearest = 2.0 * M_PI;

	if (course->place != CONTACT_NOSE || !(lean > impact->sine))
		return nearest;
	for (int side = 0; side < 2; side++) {
		double kink = asin(-impact->sine / lean), ahead;

		kink = side == 0 ? kink : M_PI - kink;
		ahead = remainder(way * (kink - from), 2.0 * M_PI);
		if (ahead < 1e-12)
			ahead += 2.0 * M_PI;
		nearest = fmin(nearest, ahead);
	}
	return nearest;
}

/* From where the slip turns to, back to where it is: in pieces that are short against the way to
 * where it comes from, where q' may grow without bound. */
static void cross_course(struct course *course, double still, double angle, double value[FORCES],
                         double slope[FORCES])
{
	double way = copysign(1.0, angle - still), source, at = still;
	bool limited = find_still(course, angle, way, &source);

	for (int piece = 0; piece < 200 && at != angle; piece++) {
		double length = fmin(0.3, to_kink(course, at, way)), next;

		if (limited)
			length = fmin(length, 0.5 * fabs(source - at));
		next = length < fabs(angle - at) ? at + way * length : angle;
		cross_piece(course, at, next, value, slope);
		at = next;
	}
}

bool passage_find(const struct impact *before, const struct friction *after,
                  enum contact_place place, struct passage *passage)
{
	struct course course = {.impact = *before, .place = place, .after = *after};
	double angle = angle_of(before->direction[place]), still = angle;
	double value[FORCES], slope[FORCES];
	struct place_of_course here;

	if (before->friction[place] == 0.0)
		return false;
	here = look(&course, angle);
	if (fabs(here.turn) > 1e-12 * fabs(here.ahead) &&
	    !find_still(&course, angle, copysign(1.0, here.turn), &still))
		return false;
	if (!solve_still(&course, still, value, slope))
		return false;
	if (still != angle)
		cross_course(&course, still, angle, value, slope);
	for (int i = 0; i < FORCES; i++) {
		passage->along.force[i / 2][i % 2] = value[i];
		passage->across.force[i / 2][i % 2] = slope[i];
	}
	return true;
}
