/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_REFERENCE_IMPACT_DRAW_H
#define RESTPOINT_TESTS_REFERENCE_IMPACT_DRAW_H

#include "base/random.h"
#include "physics/cushion.h"

/* Random cushion impacts over the limits of physics.md 8, with unit speed, in the rail's frame. */
struct impact_draw {
	struct cushion_contact contact;
	struct vector3 velocity, spin_speed;
};

static inline double impact_between(struct random_stream *random, double low, double high)
{
	return low + (high - low) * random_uniform(random);
}

/* Number `which` of a series: by turns any spin at all, rolling with side, sliding with topspin or
 * draw and side, and the same square on the rail. */
static inline struct impact_draw impact_draw(struct random_stream *random, int which)
{
	double incidence = which % 8 == 7 ? 1.5707963267948966 : impact_between(random, 0.05, 3.09);
	double c = which % 8 == 7 ? 0.0 : cos(incidence), s = sin(incidence);
	double topspin = which % 4 == 1 ? 1.0 : impact_between(random, -1.5, 2.0);
	double off_axis = which % 4 == 0 ? impact_between(random, -1.0, 1.0) : 0.0;
	struct impact_draw drawn;

	drawn.contact.nose_sine = impact_between(random, 0.17, 0.42);
	drawn.contact.restitution = impact_between(random, 0.5, 1.0);
	drawn.contact.friction = impact_between(random, 0.02, 0.5);
	drawn.contact.bed_friction = impact_between(random, 0.03, 0.6);
	drawn.velocity = vector3_make(c, s, 0.0);
	drawn.spin_speed = vector3_make(-topspin * s + off_axis * c, topspin * c + off_axis * s,
	                                impact_between(random, -2.0, 2.0));
	if (which % 16 == 15)
		drawn.spin_speed.z = 0.0;
	return drawn;
}

#endif
