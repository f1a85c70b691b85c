/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_PHYSICS_CUSHION_RATES_H
#define RESTPOINT_PHYSICS_CUSHION_RATES_H

#include <math.h>
#include <stdbool.h>

/* The friction of a cushion impact at one state, and what happens to a contact whose slip has
 * ended. Internal to src/physics; frame and equations of physics.md 2. Everything is per unit of
 * normal impulse / mass, so friction is a pure number. */

/* A vector in the plane of a contact: along X and the upward tangent at the nose, along X and Y at
 * the bed. The compilers' vector type does arithmetic on both parts at once: an impact consists of
 * little else. */
typedef double vector2 __attribute__((vector_size(16)));

/* Before a function in which such arithmetic takes most of the time: it is compiled once more for
 * processors with AVX, whose instructions do not overwrite what they read, and the program takes the
 * one that serves as it starts. The numbers are the same to the last digit: it does not allow
 * products and sums to be rounded as one. Clang gives such functions names that other files do not
 * find. */
#ifndef VECTOR_CLONES
#if defined(__x86_64__) && defined(__GLIBC__) && defined(__GNUC__) && !defined(__clang__)
#define VECTOR_CLONES __attribute__((target_clones("avx", "default")))
#else
#define VECTOR_CLONES
#endif
#endif

static inline double vector2_dot(vector2 a, vector2 b)
{
	return a[0] * b[0] + a[1] * b[1];
}

/* How far b is turned counter-clockwise from a. */
static inline double vector2_cross(vector2 a, vector2 b)
{
	return a[0] * b[1] - a[1] * b[0];
}

/* a turned counter-clockwise by a right angle. */
static inline vector2 vector2_turn(vector2 a)
{
	return (vector2){-a[1], a[0]};
}

/* Both parts alike. */
static inline vector2 vector2_both(double value)
{
	return (vector2){value, value};
}

static inline vector2 vector2_absolute(vector2 a)
{
	return (vector2){a[0] < 0.0 ? -a[0] : a[0], a[1] < 0.0 ? -a[1] : a[1]};
}

/* As fmax without its care for what is not a number, which takes a call. */
static inline double larger(double a, double b)
{
	return a > b ? a : b;
}

enum contact_place { CONTACT_NOSE, CONTACT_BED, CONTACT_PLACES };

/* A contact slides, the direction of its friction given by its slip; or it follows: its slip is
 * zero or small, and goes the one way in which friction and drive let it go, to which any other
 * slip so small would turn at once; or it sticks. */
enum contact_motion { CONTACT_SLIDES, CONTACT_FOLLOWS, CONTACT_STICKS };

struct impact {
	double sine, cosine;             /* of the nose's height above the centre */
	double friction[CONTACT_PLACES]; /* nose, bed */
	/* d(slip)/d(impulse) = normal - own * friction here - shared * friction at the other contact,
	 * part by part. */
	vector2 normal[CONTACT_PLACES], own[CONTACT_PLACES], shared;
	bool lifted; /* the bed reaction is clamped at 0 */
	enum contact_motion motion[CONTACT_PLACES];
	vector2 direction[CONTACT_PLACES]; /* of the slip, of size 1; unused while sticking */
};

/* Friction along the slip it opposes, and the rate at which it and the normal forces change the
 * slips. */
struct friction {
	vector2 force[CONTACT_PLACES];
	vector2 rate[CONTACT_PLACES];
	double reaction; /* K, of the bed; not clamped */
};

/* An impact in which both contacts slide, directions still to be set. */
struct impact impact_make(double sine, double nose_friction, double bed_friction);

/* Friction for the present motions and directions. */
void friction_find(const struct impact *impact, struct friction *friction);

/* The change of friction of the same order as a change of the directions. rest is the part of
 * that order of K (p, q) that is made of lower orders: zero for a small change, and in a power
 * series the products of the coefficients in between. */
void friction_change(const struct impact *impact, const struct friction *friction,
                     const vector2 direction[CONTACT_PLACES], vector2 rest,
                     struct friction *change);

/* The change of friction and slip rates with a small change, grip, of coefficient times direction
 * at both contacts. */
void friction_respond(const struct impact *impact, const struct friction *friction,
                      const vector2 grip[CONTACT_PLACES], struct friction *change);

/* d(turning rate of the slip of a contact)/d(angle of the slip of another or the same); the
 * turning rate is cross(direction, slip rate). Negative where a slip is drawn to its direction. */
double friction_turn_slope(const struct impact *impact, const struct friction *friction,
                           enum contact_place turned, enum contact_place changed);

/* The square of the friction there can be, less the square of the friction that a sticking contact
 * needs: positive while it holds. */
double friction_cone_margin(const struct impact *impact, const struct friction *friction,
                            enum contact_place place);

/* Turns the direction of a contact by an angle. */
void impact_turn(struct impact *impact, enum contact_place place, double angle);

/* Sets lifted for the present directions. */
void impact_lift(struct impact *impact);

/* Decides how the contacts marked in ended, whose slip is zero, go on: sticking where the friction
 * that keeps the slip zero lies inside the cone, else following. */
void impact_settle(struct impact *impact, const bool ended[CONTACT_PLACES]);

/* The contacts marked in released stuck until now and have come to the edge of the cone: they
 * follow in the direction that their friction opposes. */
void impact_release(struct impact *impact, const bool released[CONTACT_PLACES]);

#endif
