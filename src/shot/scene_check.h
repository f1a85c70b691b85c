/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_SCENE_CHECK_H
#define RESTPOINT_SHOT_SCENE_CHECK_H

#include "shot/play.h"

/* Whether a shot can be played in a scene at all: every number is finite, every body on the table
 * has a size, a mass and a grip, and balls come to rest on its slopes. */
bool scene_check(const struct shot_scene *scene);

#endif
