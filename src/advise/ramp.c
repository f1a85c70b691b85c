/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/ramp.h"

#include <math.h>

#include "model/constants.h"

/* How far ahead a ball that leaves with that speed along the lean comes down from that height. */
static double fall_distance(double speed, double lean, double height)
{
	double down = speed * sin(lean);
	double time =
	    (sqrt(down * down + 2.0 * STANDARD_GRAVITY * height) - down) / STANDARD_GRAVITY;

	return speed * cos(lean) * time;
}

bool ramp_layout_make(double speed, double groove, double radius, double lean,
                      struct ramp_layout *layout)
{
	double axis = sin(0.5 * groove);

	if (!(speed > 0.0 && groove > 0.0 && groove <= M_PI * (1.0 + 1e-12) && radius > 0.0 &&
	      lean > 0.0 && lean < M_PI_2))
		return false;
	layout->spin_ratio = 1.0 / axis;
	layout->drop = speed * speed / (2.0 * STANDARD_GRAVITY) * (1.0 + 0.4 / (axis * axis));
	layout->travel = layout->drop / sin(lean);
	layout->ride = radius * (1.0 / axis - 1.0);
	/* A shallow groove is both: the fall from its height, and the edge that ends below the ball. */
	layout->ahead = radius * tan(0.5 * lean) + fall_distance(speed, lean, layout->ride);
	return true;
}
