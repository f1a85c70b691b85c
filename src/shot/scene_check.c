/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot/scene_check.h"

#include <math.h>

#include "physics/slope.h"

#define SHORTEST 1e-3 /* [m] */
#define LONGEST 100.0 /* [m] */
#define FASTEST 1e3   /* of a ball, and of radius times spin [m/s] */
#define LEAST_FRICTION 1e-12
#define MOST_FRICTION 10.0  /* also of what changes it with speed [s/m], and of a grip */
#define MOST_IRREGULAR 10.0 /* relative, or [rad] */
#define ON_BED 1e-9         /* a ball's height may differ from its radius by so much of it */

/* False for what is not a number, too. */
static bool within(double low, double value, double high)
{
	return value >= low && value <= high;
}

static bool vector_within(struct vector3 v, double most)
{
	return fabs(v.x) <= most && fabs(v.y) <= most && fabs(v.z) <= most;
}

static bool table_stands(const struct table *table)
{
	return within(SHORTEST, table->length, LONGEST) &&
	       within(SHORTEST, table->width, LONGEST) &&
	       within(SHORTEST, table->nose_height, LONGEST) &&
	       (!table->pockets || (within(0.0, table->corner_mouth, LONGEST) &&
	                            within(0.0, table->side_mouth, LONGEST)));
}

static bool constants_play(const struct constants *constants)
{
	const struct constant_terms *terms = &constants->terms;
	const double *value = constants->value;

	return within(LEAST_FRICTION, value[SLIDING_FRICTION], MOST_FRICTION) &&
	       within(LEAST_FRICTION, value[ROLLING_RESISTANCE], MOST_FRICTION) &&
	       within(0.0, value[SPIN_FRICTION], MOST_FRICTION) &&
	       within(0.0, value[CUSHION_FRICTION], MOST_FRICTION) &&
	       within(0.0, value[BALL_FRICTION], MOST_FRICTION) &&
	       within(0.0, value[CUSHION_RESTITUTION], 1.0) &&
	       within(0.0, value[BALL_RESTITUTION], 1.0) &&
	       within(-MOST_FRICTION, terms->liveliness_fall, MOST_FRICTION) &&
	       within(-MOST_FRICTION, terms->ball_friction_fall, MOST_FRICTION) &&
	       within(-MOST_FRICTION, terms->nap_long, MOST_FRICTION) &&
	       within(0.0, terms->bed_restitution, 1.0) && slope_stops(constants);
}

static bool body_solid(const struct ball_body *body)
{
	return within(SHORTEST, body->radius, 1.0) && within(1e-6, body->mass, 1e3) &&
	       within(1e-3, body->grip, MOST_FRICTION);
}

static bool rails_within(const struct rail_irregularity irregular[SHOT_IRREGULAR])
{
	for (int k = 0; k < SHOT_IRREGULAR; k++)
		if (!within(-MOST_IRREGULAR, irregular[k].liveliness, MOST_IRREGULAR) ||
		    !within(-MOST_IRREGULAR, irregular[k].turn, MOST_IRREGULAR))
			return false;
	return true;
}

/* Of all rails; NULL: alike. */
static bool characters_within(const struct rail_character *rails)
{
	for (int rail = 0; rails != NULL && rail < RAIL_COUNT; rail++)
		if (!within(-1.0, rails[rail].liveliness, MOST_IRREGULAR) ||
		    !within(1e-3, rails[rail].grip, MOST_FRICTION))
			return false;
	return true;
}

static bool state_plays(const struct ball_state *state, double radius, bool flies)
{
	double above = state->position.z - radius;

	return vector_within(state->position, LONGEST) && vector_within(state->velocity, FASTEST) &&
	       vector_within(state->spin, FASTEST / radius) && above >= -ON_BED * radius &&
	       (flies || above <= ON_BED * radius);
}

static bool is_present(const struct shot_scene *scene, size_t i)
{
	return scene->present == NULL || scene->present[i];
}

/* Whether a ball is far enough from those before it. */
static bool stands_apart(const struct shot_scene *scene, const struct ball_state *states, size_t i)
{
	for (size_t j = 0; j < i; j++) {
		struct vector3 line = vector3_subtract(states[i].position, states[j].position);
		double reach = scene->bodies[i].radius + scene->bodies[j].radius;

		if (is_present(scene, j) && !(vector3_norm(line) > 0.5 * reach))
			return false;
	}
	return true;
}

bool scene_check(const struct shot_scene *scene, const struct ball_state *states)
{
	bool flies = scene->constants->terms.bed_restitution > 0.0;

	if (!table_stands(scene->table) || !constants_play(scene->constants) ||
	    !characters_within(scene->rails) || !within(0.0, scene->tolerance, 1.0))
		return false;
	for (size_t i = 0; i < scene->ball_count; i++)
		if (is_present(scene, i) &&
		    !(body_solid(&scene->bodies[i]) &&
		      state_plays(&states[i], scene->bodies[i].radius, flies) &&
		      stands_apart(scene, states, i) &&
		      (scene->irregular == NULL || rails_within(scene->irregular[i]))))
			return false;
	return true;
}
