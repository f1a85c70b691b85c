/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_SCENE_CHECK_H
#define RESTPOINT_SHOT_SCENE_CHECK_H

#include "shot/play.h"

/* Whether a shot can be played from a start in a scene at all: every number that a play reads is
 * finite, and so far from the ends of the range of numbers that nothing made of them overflows or is
 * divided by zero; every body on the table has a size, a mass and a grip; balls come to rest on its
 * slopes; each is on the bed, or above it where balls fly, and none has its centre within half the
 * sum of the radii of another's, for such balls have no direction in which to part. The limits are
 * far wider than any table: lengths up to 100 m, speeds up to 1000 m/s, radii of 1 mm to 1 m, masses
 * of 1 mg to 1000 kg, frictions of 1e-12 to 10. Internal to src/shot. */
bool scene_check(const struct shot_scene *scene, const struct ball_state *states);

#endif
