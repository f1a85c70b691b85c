/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_REFERENCE_IMPACT_REFERENCE_H
#define RESTPOINT_TESTS_REFERENCE_IMPACT_REFERENCE_H

#include <math.h>
#include <string.h>

/* A second, plain cushion impact to compare with: forces and torques as vectors at two points of a
 * sphere of radius and mass 1, Coulomb's direction smoothed below a small slip, and Runge and
 * Kutta's method of order 4 with steps short against the slips. It shares no code with src/physics,
 * knows no sticking and no events, and takes some thousand times as long. */

struct reference_impact {
	double sine, restitution, nose_friction, bed_friction;
	double smoothing; /* slip at which the friction has 1/sqrt(2) of its full size */
};

/* Velocity, spin and work on the cushion. */
enum { REFERENCE_V, REFERENCE_W = 3, REFERENCE_WORK = 6, REFERENCE_SIZE };

static inline void reference_cross(const double a[3], const double b[3], double out[3])
{
	out[0] = a[1] * b[2] - a[2] * b[1];
	out[1] = a[2] * b[0] - a[0] * b[2];
	out[2] = a[0] * b[1] - a[1] * b[0];
}

/* Slip of the surface at the point out of the centre, without its part along out; returns its
 * size. */
static inline double reference_slip(const double state[REFERENCE_SIZE], const double out[3],
                                    double slip[3])
{
	double normal;

	reference_cross(state + REFERENCE_W, out, slip);
	for (int i = 0; i < 3; i++)
		slip[i] += state[REFERENCE_V + i];
	normal = slip[0] * out[0] + slip[1] * out[1] + slip[2] * out[2];
	for (int i = 0; i < 3; i++)
		slip[i] -= normal * out[i];
	return sqrt(slip[0] * slip[0] + slip[1] * slip[1] + slip[2] * slip[2]);
}

/* Adds a contact's force and torque per normal impulse at the nose to the rates. */
static inline void reference_push(double rates[REFERENCE_SIZE], const double at[3],
                                  const double force[3])
{
	double torque[3];

	reference_cross(at, force, torque);
	for (int i = 0; i < 3; i++) {
		rates[REFERENCE_V + i] += force[i];
		rates[REFERENCE_W + i] += 2.5 * torque[i];
	}
}

/* Rates per normal impulse at the nose; returns the smaller of the two slips. */
static inline double reference_rates(const struct reference_impact *impact,
                                     const double state[REFERENCE_SIZE],
                                     double rates[REFERENCE_SIZE])
{
	const double nose[3] = {0.0, sqrt(1.0 - impact->sine * impact->sine), impact->sine};
	const double bed[3] = {0.0, 0.0, -1.0};
	double slip[3], force[3], nose_size, bed_size, pressed;

	for (int i = 0; i < REFERENCE_SIZE; i++)
		rates[i] = 0.0;
	nose_size = reference_slip(state, nose, slip);
	for (int i = 0; i < 3; i++)
		force[i] =
		    -nose[i] - impact->nose_friction * slip[i] / fmax(nose_size, impact->smoothing);
	reference_push(rates, nose, force);
	pressed = fmax(0.0, -force[2]);
	bed_size = reference_slip(state, bed, slip);
	for (int i = 0; i < 3; i++)
		force[i] =
		    -impact->bed_friction * pressed * slip[i] / fmax(bed_size, impact->smoothing);
	reference_push(rates, bed, force);
	rates[REFERENCE_V + 2] = 0.0;
	rates[REFERENCE_WORK] = nose[1] * state[REFERENCE_V + 1];
	return fmin(nose_size, bed_size);
}

static inline void reference_step(const struct reference_impact *impact, double step,
                                  const double from[REFERENCE_SIZE], double to[REFERENCE_SIZE])
{
	static const double reach[4] = {0.0, 0.5, 0.5, 1.0};
	static const double weight[4] = {1.0 / 6, 1.0 / 3, 1.0 / 3, 1.0 / 6};
	double rates[REFERENCE_SIZE] = {0.0}, stage[REFERENCE_SIZE];

	for (int i = 0; i < REFERENCE_SIZE; i++)
		to[i] = from[i];
	for (int j = 0; j < 4; j++) {
		for (int i = 0; i < REFERENCE_SIZE; i++)
			stage[i] = from[i] + reach[j] * step * rates[i];
		reference_rates(impact, stage, rates);
		for (int i = 0; i < REFERENCE_SIZE; i++)
			to[i] += weight[j] * step * rates[i];
	}
}

/* One step whose length suits the slips at its start: a slip changes by at most 5 per impulse. */
static inline void reference_advance(const struct reference_impact *impact,
                                     const double from[REFERENCE_SIZE], double to[REFERENCE_SIZE])
{
	double rates[REFERENCE_SIZE];
	double slip = reference_rates(impact, from, rates);

	reference_step(impact, fmin(1e-3, fmax(0.004 * slip, 0.5 * impact->smoothing)), from, to);
}

/* Steps on until the number called falling has come down to the end, found inside the last step
 * along its chord. */
static inline void reference_run(const struct reference_impact *impact, int falling, double end,
                                 double state[REFERENCE_SIZE])
{
	double next[REFERENCE_SIZE], share;

	reference_advance(impact, state, next);
	while (next[falling] > end) {
		memcpy(state, next, sizeof next);
		reference_advance(impact, state, next);
	}
	share = (state[falling] - end) / (state[falling] - next[falling]);
	for (int i = 0; i < REFERENCE_SIZE; i++)
		state[i] += share * (next[i] - state[i]);
}

/* The whole impact: to the end of the approach, then until the cushion has given back restitution
 * squared of its work. Restitution must be positive. */
static inline void reference_solve(const struct reference_impact *impact,
                                   double state[REFERENCE_SIZE])
{
	double lost = 1.0 - impact->restitution * impact->restitution;

	state[REFERENCE_WORK] = 0.0;
	reference_run(impact, REFERENCE_V + 1, 0.0, state);
	reference_run(impact, REFERENCE_WORK, lost * state[REFERENCE_WORK], state);
}

#endif
