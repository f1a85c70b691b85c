/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_MODEL_STROKE_H
#define RESTPOINT_MODEL_STROKE_H

/* One stroke as it was really played. */
struct stroke {
	double speed;     /* horizontal, just after the strike [m/s] */
	double turn;      /* direction beside the designed aim, counter-clockwise from above [rad] */
	double height;    /* tip above the centre, fraction of the radius */
	double side;      /* tip to the right of the centre, fraction of the radius */
	double elevation; /* of the cue's butt [rad] */
};

#endif
