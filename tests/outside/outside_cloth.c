/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "outside_cloth.h"

#include <math.h>
#include <string.h>

#define NOTHING 1e-9  /* a slip or speed as small is none [m/s] */
#define AWAITED 1e-10 /* where the end of one is stopped at [m/s] */
#define NO_SPIN 1e-13 /* a side spin of this or less is rounding, R wz [m/s] */
#define LATE 1e-14    /* meetings are found this late, so that rounding finds none at a start [m] */
#define STRAIGHT 1e-12 /* a speed [m/s] or acceleration [m/s^2] of this or less is rounding */
#define AT_RAIL 1e-12  /* [m] */

/* Across an axis: which way a rail lies, and which number of a ball. */
static int rail_axis(enum rail rail)
{
	return rail == RAIL_LEFT || rail == RAIL_RIGHT ? 0 : 1;
}

static double rail_side(enum rail rail)
{
	return rail == RAIL_HEAD || rail == RAIL_LEFT ? -1.0 : 1.0;
}

static const double *numbers_of(const double *y, size_t i)
{
	return y + i * OUTSIDE_BALL_NUMBERS;
}

int outside_cloth_size(size_t count)
{
	return (int)count * OUTSIDE_BALL_NUMBERS;
}

int outside_cloth_roots(size_t count)
{
	return (int)(count * OUTSIDE_BALL_ROOTS + count * (count - 1));
}

int outside_cloth_pair_root(size_t count, size_t i, size_t j)
{
	size_t before = i * (2 * count - i - 1) / 2 + (j - i - 1);

	return (int)(count * OUTSIDE_BALL_ROOTS + 2 * before);
}

double outside_cloth_rail_gap(const struct outside_cloth *cloth, size_t i, const double *y,
                              enum rail rail)
{
	double at = numbers_of(y, i)[OUTSIDE_BALL_X + rail_axis(rail)];
	double radius = cloth->bodies[i].radius;

	if (rail_side(rail) < 0.0)
		return at - radius;
	return (rail == RAIL_FOOT ? cloth->table->length : cloth->table->width) - radius - at;
}

double outside_cloth_rail_speed(size_t i, const double *y, enum rail rail)
{
	return rail_side(rail) * numbers_of(y, i)[OUTSIDE_BALL_VX + rail_axis(rail)];
}

double outside_cloth_pair_gap(const struct outside_cloth *cloth, size_t i, size_t j,
                              const double *y)
{
	const double *a = numbers_of(y, i), *b = numbers_of(y, j);
	double rise = cloth->bodies[j].radius - cloth->bodies[i].radius;
	double flat =
	    hypot(b[OUTSIDE_BALL_X] - a[OUTSIDE_BALL_X], b[OUTSIDE_BALL_Y] - a[OUTSIDE_BALL_Y]);

	return hypot(flat, rise) - (cloth->bodies[i].radius + cloth->bodies[j].radius);
}

double outside_cloth_pair_rate(size_t i, size_t j, const double *y)
{
	const double *a = numbers_of(y, i), *b = numbers_of(y, j);

	return (b[OUTSIDE_BALL_X] - a[OUTSIDE_BALL_X]) * (b[OUTSIDE_BALL_VX] - a[OUTSIDE_BALL_VX]) +
	       (b[OUTSIDE_BALL_Y] - a[OUTSIDE_BALL_Y]) * (b[OUTSIDE_BALL_VY] - a[OUTSIDE_BALL_VY]);
}

/* What friction opposes: the slip of a ball that slides, the velocity of one that rolls. */
static void find_opposed(enum outside_phase phase, const double *ball, double opposed[2])
{
	opposed[0] = ball[OUTSIDE_BALL_VX];
	opposed[1] = ball[OUTSIDE_BALL_VY];
	if (phase == OUTSIDE_SLIDES) {
		opposed[0] -= ball[OUTSIDE_BALL_WY];
		opposed[1] += ball[OUTSIDE_BALL_WX];
	}
}

/* The size of what friction opposes, negative where it has gone through zero, and its direction,
 * which goes on through zero: a solver's trial step beyond the end then meets no jump. */
static double find_direction(const struct outside_ball *ball, const double *numbers,
                             double direction[2])
{
	double opposed[2], size;

	find_opposed(ball->phase, numbers, opposed);
	size = hypot(opposed[0], opposed[1]);
	if (opposed[0] * ball->toward[0] + opposed[1] * ball->toward[1] < 0.0)
		size = -size;
	for (int i = 0; i < 2; i++)
		direction[i] = size != 0.0 ? opposed[i] / size : ball->toward[i];
	return size;
}

void outside_cloth_acceleration(const struct outside_cloth *cloth, size_t i, const double *y,
                                double acceleration[2])
{
	const struct outside_ball *ball = &cloth->balls[i];
	const double *value = cloth->constants->value;
	bool slides = ball->phase == OUTSIDE_SLIDES;
	double friction =
	    slides ? value[SLIDING_FRICTION] * cloth->bodies[i].grip : value[ROLLING_RESISTANCE];
	double direction[2];

	acceleration[0] = acceleration[1] = 0.0;
	if (!ball->on_table || ball->phase == OUTSIDE_RESTS)
		return;
	find_direction(ball, numbers_of(y, i), direction);
	for (int axis = 0; axis < 2; axis++)
		acceleration[axis] = -friction * STANDARD_GRAVITY * direction[axis] +
		                     (slides ? 1.0 : 5.0 / 7.0) * ball->pull[axis];
}

static void ball_rates(const struct outside_cloth *cloth, size_t i, const double *y, double *rates)
{
	const struct outside_ball *ball = &cloth->balls[i];
	const double *from = numbers_of(y, i), *value = cloth->constants->value;
	double *to = rates + i * OUTSIDE_BALL_NUMBERS, grip = cloth->bodies[i].grip, a[2];

	memset(to, 0, OUTSIDE_BALL_NUMBERS * sizeof *to);
	if (!ball->on_table)
		return;
	to[OUTSIDE_BALL_WZ] = -ball->turning * 2.5 * value[SPIN_FRICTION] * grip * STANDARD_GRAVITY;
	if (ball->phase == OUTSIDE_RESTS)
		return;
	outside_cloth_acceleration(cloth, i, y, a);
	to[OUTSIDE_BALL_X] = from[OUTSIDE_BALL_VX];
	to[OUTSIDE_BALL_Y] = from[OUTSIDE_BALL_VY];
	to[OUTSIDE_BALL_VX] = a[0];
	to[OUTSIDE_BALL_VY] = a[1];
	if (ball->phase == OUTSIDE_ROLLS) { /* without slip: R wx = -vy, R wy = vx */
		to[OUTSIDE_BALL_WX] = -a[1];
		to[OUTSIDE_BALL_WY] = a[0];
	} else { /* the torque of the friction, which is what is left of a without the slope */
		to[OUTSIDE_BALL_WX] = 2.5 * (a[1] - ball->pull[1]);
		to[OUTSIDE_BALL_WY] = -2.5 * (a[0] - ball->pull[0]);
	}
}

static void rates(const void *data, const double *y, double *out)
{
	const struct outside_cloth *cloth = data;

	for (size_t i = 0; i < cloth->count; i++)
		ball_rates(cloth, i, y, out);
}

/* 1 stands for a function that has no root. */
static void ball_roots(const struct outside_cloth *cloth, size_t i, const double *y, double *out)
{
	const struct outside_ball *ball = &cloth->balls[i];
	const double *numbers = numbers_of(y, i);
	double direction[2];

	for (int k = 0; k < OUTSIDE_BALL_ROOTS; k++)
		out[k] = 1.0;
	if (!ball->on_table)
		return;
	if (ball->turning != 0.0)
		out[OUTSIDE_ROOT_SPIN] = ball->turning * numbers[OUTSIDE_BALL_WZ];
	if (ball->phase == OUTSIDE_RESTS)
		return;
	out[OUTSIDE_ROOT_PHASE] = find_direction(ball, numbers, direction) - AWAITED;
	if (cloth->table == NULL)
		return;
	for (int rail = 0; rail < RAIL_COUNT; rail++)
		if (!ball->carried[rail])
			out[OUTSIDE_ROOT_RAIL + rail] =
			    outside_cloth_rail_gap(cloth, i, y, (enum rail)rail) + LATE;
	for (int axis = 0; axis < 2; axis++)
		if (!ball->straight[axis])
			out[OUTSIDE_ROOT_TURN_X + axis] = numbers[OUTSIDE_BALL_VX + axis];
}

static void roots(const void *data, const double *y, double *out)
{
	const struct outside_cloth *cloth = data;
	double *pair = out + cloth->count * OUTSIDE_BALL_ROOTS;

	for (size_t i = 0; i < cloth->count; i++)
		ball_roots(cloth, i, y, out + i * OUTSIDE_BALL_ROOTS);
	for (size_t i = 0; i < cloth->count; i++)
		for (size_t j = i + 1; j < cloth->count; j++, pair += 2) {
			const struct outside_ball *a = &cloth->balls[i], *b = &cloth->balls[j];
			bool moves = a->phase != OUTSIDE_RESTS || b->phase != OUTSIDE_RESTS;

			pair[0] = pair[1] = 1.0;
			if (!a->on_table || !b->on_table || !moves)
				continue;
			pair[0] = outside_cloth_pair_gap(cloth, i, j, y) + LATE;
			pair[1] = outside_cloth_pair_rate(i, j, y);
		}
}

/* Gaps, slips, speeds and spins are awaited from above; where a ball turns round or is nearest to
 * another, either way. */
static const bool *falling_roots(size_t count)
{
	static const bool table[OUTSIDE_BALLS + 1][OUTSIDE_ROOTS] = {
#define OF_BALL true, true, true, true, false, false, true, true
#define OF_PAIR true, false
	    {false},
	    {OF_BALL},
	    {OF_BALL, OF_BALL, OF_PAIR},
	    {OF_BALL, OF_BALL, OF_BALL, OF_PAIR, OF_PAIR, OF_PAIR},
	    {OF_BALL, OF_BALL, OF_BALL, OF_BALL, OF_PAIR, OF_PAIR, OF_PAIR, OF_PAIR, OF_PAIR,
	     OF_PAIR},
	    {OF_BALL, OF_BALL, OF_BALL, OF_BALL, OF_BALL, OF_PAIR, OF_PAIR, OF_PAIR, OF_PAIR,
	     OF_PAIR, OF_PAIR, OF_PAIR, OF_PAIR, OF_PAIR, OF_PAIR},
#undef OF_BALL
#undef OF_PAIR
	};

	return table[count];
}

struct outside_system outside_cloth_system(const struct outside_cloth *cloth)
{
	return (struct outside_system){.size = outside_cloth_size(cloth->count),
	                               .root_count = outside_cloth_roots(cloth->count),
	                               .rates = rates,
	                               .roots = roots,
	                               .falling = falling_roots(cloth->count),
	                               .jacobian = NULL,
	                               .data = cloth};
}

static void roll(double *ball)
{
	ball[OUTSIDE_BALL_WX] = -ball[OUTSIDE_BALL_VY];
	ball[OUTSIDE_BALL_WY] = ball[OUTSIDE_BALL_VX];
}

static void stop(double *ball)
{
	ball[OUTSIDE_BALL_VX] = ball[OUTSIDE_BALL_VY] = 0.0;
	ball[OUTSIDE_BALL_WX] = ball[OUTSIDE_BALL_WY] = 0.0;
}

/* Which rails a ball may lie at; there the slope toward the rail does nothing. */
static void find_pull(const struct outside_cloth *cloth, size_t i, const double *y,
                      struct outside_ball *ball)
{
	const struct constant_terms *terms = &cloth->constants->terms;

	ball->pull[0] = -STANDARD_GRAVITY * terms->slope_short;
	ball->pull[1] = -STANDARD_GRAVITY * terms->slope_long;
	memset(ball->carried, 0, sizeof ball->carried);
	for (int rail = 0; rail < RAIL_COUNT && cloth->table != NULL; rail++) {
		double *pull = &ball->pull[rail_axis((enum rail)rail)];

		if (outside_cloth_rail_gap(cloth, i, y, (enum rail)rail) > AT_RAIL ||
		    outside_cloth_rail_speed(i, y, (enum rail)rail) != 0.0)
			continue;
		if (*pull * rail_side((enum rail)rail) > 0.0)
			*pull = 0.0;
		ball->carried[rail] = true;
	}
}

/* A ball that is driven off the rail does not lie there. */
static void find_driven(struct outside_cloth *cloth, size_t i, const double *y)
{
	double acceleration[2];

	outside_cloth_acceleration(cloth, i, y, acceleration);
	for (int rail = 0; rail < RAIL_COUNT; rail++)
		if (acceleration[rail_axis((enum rail)rail)] * rail_side((enum rail)rail) < 0.0)
			cloth->balls[i].carried[rail] = false;
	for (int axis = 0; axis < 2; axis++)
		cloth->balls[i].straight[axis] =
		    fabs(numbers_of(y, i)[OUTSIDE_BALL_VX + axis]) <= STRAIGHT &&
		    fabs(acceleration[axis]) <= STRAIGHT;
}

void outside_cloth_begin(struct outside_cloth *cloth, double *y)
{
	for (size_t i = 0; i < cloth->count; i++) {
		struct outside_ball *ball = &cloth->balls[i];
		double *numbers = y + i * OUTSIDE_BALL_NUMBERS, opposed[2], size;

		ball->phase = OUTSIDE_SLIDES;
		find_opposed(ball->phase, numbers, opposed);
		if (hypot(opposed[0], opposed[1]) <= NOTHING) {
			ball->phase = OUTSIDE_ROLLS;
			roll(numbers);
			find_opposed(ball->phase, numbers, opposed);
		}
		size = hypot(opposed[0], opposed[1]);
		if (size <= NOTHING) {
			ball->phase = OUTSIDE_RESTS;
			stop(numbers);
		}
		for (int axis = 0; axis < 2; axis++)
			ball->toward[axis] = size > 0.0 ? opposed[axis] / size : 0.0;
		if (fabs(numbers[OUTSIDE_BALL_WZ]) <= NO_SPIN)
			numbers[OUTSIDE_BALL_WZ] = 0.0;
		ball->turning =
		    (double)((numbers[OUTSIDE_BALL_WZ] > 0.0) - (numbers[OUTSIDE_BALL_WZ] < 0.0));
		find_pull(cloth, i, y, ball);
		find_driven(cloth, i, y);
	}
}

void outside_cloth_follow(struct outside_cloth *cloth, const double *y)
{
	for (size_t i = 0; i < cloth->count; i++) {
		struct outside_ball *ball = &cloth->balls[i];
		double direction[2];

		if (ball->phase == OUTSIDE_RESTS)
			continue;
		if (find_direction(ball, numbers_of(y, i), direction) != 0.0)
			memcpy(ball->toward, direction, sizeof direction);
	}
}

double outside_cloth_end_phase(struct outside_cloth *cloth, size_t i, double *y)
{
	struct outside_ball *ball = &cloth->balls[i];
	double *numbers = y + i * OUTSIDE_BALL_NUMBERS;
	double change[OUTSIDE_BALLS * OUTSIDE_BALL_NUMBERS], rate[2], direction[2], size, left;

	rates(cloth, y, change);
	find_opposed(ball->phase, change + i * OUTSIDE_BALL_NUMBERS, rate);
	size = find_direction(ball, numbers, direction);
	left = -size / (rate[0] * direction[0] + rate[1] * direction[1]);
	for (int k = 0; k < outside_cloth_size(cloth->count); k++)
		y[k] += left * change[k];
	if (ball->phase == OUTSIDE_SLIDES)
		roll(numbers);
	else
		stop(numbers);
	return left;
}
