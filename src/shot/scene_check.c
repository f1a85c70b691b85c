/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/scene_check.h"

#include <math.h>

#include "physics/slope.h"

static bool table_finite(const struct table *table)
{
	return isfinite(table->length) && isfinite(table->width) && isfinite(table->nose_height) &&
	       (!table->pockets || (isfinite(table->corner_mouth) && isfinite(table->side_mouth)));
}

static bool constants_play(const struct constants *constants)
{
	const struct constant_terms *terms = &constants->terms;

	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (!isfinite(constants->value[id]))
			return false;
	return isfinite(terms->slope_long) && isfinite(terms->slope_short) &&
	       isfinite(terms->liveliness_fall) && isfinite(terms->ball_friction_fall) &&
	       isfinite(terms->bed_restitution) && slope_stops(constants);
}

static bool body_solid(const struct ball_body *body)
{
	return isfinite(body->radius) && isfinite(body->mass) && isfinite(body->grip) &&
	       body->radius > 0.0 && body->mass > 0.0 && body->grip > 0.0;
}

static bool rails_finite(const struct rail_irregularity irregular[SHOT_IRREGULAR])
{
	for (int k = 0; k < SHOT_IRREGULAR; k++)
		if (!isfinite(irregular[k].liveliness) || !isfinite(irregular[k].turn))
			return false;
	return true;
}

bool scene_check(const struct shot_scene *scene)
{
	if (!table_finite(scene->table) || !constants_play(scene->constants) ||
	    !isfinite(scene->tolerance))
		return false;
	for (size_t i = 0; i < scene->ball_count; i++) {
		if (scene->present != NULL && !scene->present[i])
			continue;
		if (!body_solid(&scene->bodies[i]) ||
		    (scene->irregular != NULL && !rails_finite(scene->irregular[i])))
			return false;
	}
	return true;
}
