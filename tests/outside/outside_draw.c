/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "outside_draw.h"

#include <math.h>
#include <string.h>

#define PI 3.14159265358979323846

static double between(struct random_stream *stream, double low, double high)
{
	return low + (high - low) * random_uniform(stream);
}

static void draw_constants(struct random_stream *stream, struct constants *constants)
{
	memset(constants, 0, sizeof *constants);
	for (int i = 0; i < CONSTANT_COUNT; i++) {
		enum constant_id id = (enum constant_id)i;
		const struct constant_prior *prior = constant_prior(id);
		double middle = constant_to_scale(id, prior->centre), value;

		do
			value =
			    constant_from_scale(id, middle + prior->spread * random_normal(stream));
		while (value < prior->lowest || value > prior->highest);
		constants->value[i] = value;
	}
}

static void draw_bodies(struct random_stream *stream, struct outside_shot *shot)
{
	const struct table *table = &shot->table;
	bool gripping = random_uniform(stream) < 0.5;

	for (size_t i = 0; i < shot->count; i++) {
		double grip = between(stream, 0.6, 1.4);

		shot->bodies[i] = (struct ball_body){0.5 * table->ball_diameter, table->ball_mass,
		                                     gripping ? grip : 1.0};
	}
	shot->bodies[0].radius = 0.5 * table->cue_ball_diameter;
	shot->bodies[0].mass = table->cue_ball_mass;
}

static bool is_free(const struct outside_shot *shot, size_t i)
{
	for (size_t k = 0; k < i; k++)
		if (vector3_norm(
			vector3_subtract(shot->states[i].position, shot->states[k].position)) <
		    1.01 * (shot->bodies[i].radius + shot->bodies[k].radius))
			return false;
	return true;
}

static void draw_places(struct random_stream *stream, struct outside_shot *shot)
{
	for (size_t i = 0; i < shot->count; i++) {
		double radius = shot->bodies[i].radius, edge = 1.01 * radius;

		do {
			double x = between(stream, edge, shot->table.width - edge);
			double y = between(stream, edge, shot->table.length - edge);

			shot->states[i] =
			    (struct ball_state){.position = vector3_make(x, y, radius)};
		} while (!is_free(shot, i));
	}
}

/* Puts the last ball beside the first or the second, in touch with it, where there is room. */
static void draw_touching(struct random_stream *stream, struct outside_shot *shot)
{
	size_t i = shot->count - 1;
	size_t other = i == 2 && random_uniform(stream) < 0.7 ? 1 : 0;
	double heading = between(stream, -PI, PI), radius = shot->bodies[i].radius;
	double reach = radius + shot->bodies[other].radius,
	       rise = shot->bodies[other].radius - radius;
	double flat = sqrt(reach * reach - rise * rise) + 1e-12;
	struct vector3 place = shot->states[other].position, before = shot->states[i].position;

	place.x += flat * cos(heading);
	place.y += flat * sin(heading);
	place.z = radius;
	if (place.x < radius || place.x > shot->table.width - radius || place.y < radius ||
	    place.y > shot->table.length - radius)
		return;
	shot->states[i].position = place;
	for (size_t k = 0; k < i; k++)
		if (k != other &&
		    vector3_norm(vector3_subtract(shot->states[k].position, place)) < 1.01 * reach)
			shot->states[i].position = before;
}

/* Puts the last ball on the frozen line of a long rail. */
static void draw_frozen(struct random_stream *stream, struct outside_shot *shot)
{
	size_t i = shot->count - 1;
	struct vector3 *place = &shot->states[i].position, before = *place;
	double radius = shot->bodies[i].radius;

	place->x = random_uniform(stream) < 0.5 ? radius : shot->table.width - radius;
	if (!is_free(shot, i))
		*place = before;
}

/* At the second ball, or anywhere. */
static double draw_aim(struct random_stream *stream, const struct outside_shot *shot)
{
	double anywhere = between(stream, -PI, PI), miss = between(stream, -1.0, 1.0);
	struct vector3 way;

	if (shot->count == 1 || random_uniform(stream) < 0.25)
		return anywhere;
	way = vector3_subtract(shot->states[1].position, shot->states[0].position);
	return atan2(way.y, way.x) +
	       asin(miss * (shot->bodies[0].radius + shot->bodies[1].radius) / vector3_norm(way));
}

/* Cases of no width that a smooth draw would never give: a straight rail without side, a full hit,
 * a slow shot. */
static void draw_special(struct random_stream *stream, struct outside_shot *shot)
{
	double kind = random_uniform(stream);

	if (kind < 0.1) {
		shot->aim = 0.5 * PI * floor(between(stream, -2.0, 2.0));
		shot->side = 0.0;
	} else if (kind < 0.2 && shot->count > 1) {
		struct vector3 way =
		    vector3_subtract(shot->states[1].position, shot->states[0].position);

		shot->aim = atan2(way.y, way.x);
	} else if (kind > 0.9) {
		shot->speed = between(stream, 0.02, 0.5);
	}
}

void outside_draw_shot(struct random_stream *stream, int which, struct outside_shot *shot)
{
	size_t presets;
	const struct table *all = table_presets(&presets);
	double tip, turn, kind, place;

	memset(shot, 0, sizeof *shot);
	shot->table = all[(size_t)which % presets];
	shot->count = 1 + (size_t)which / presets % 3;
	draw_constants(stream, &shot->constants);
	draw_bodies(stream, shot);
	draw_places(stream, shot);
	place = random_uniform(stream);
	if (place < 0.1 && shot->count > 1)
		draw_touching(stream, shot);
	else if (place > 0.9)
		draw_frozen(stream, shot);
	shot->speed = between(stream, 0.5, 6.0);
	shot->aim = draw_aim(stream, shot);
	tip = 0.5 * sqrt(random_uniform(stream));
	turn = between(stream, -PI, PI);
	shot->side = tip * cos(turn);
	shot->height = tip * sin(turn);
	draw_special(stream, shot);
	kind = random_uniform(stream);
	if (kind < 0.2)
		shot->elevation = between(stream, 0.05, 1.2);
	else if (kind < 0.4)
		shot->end_mass_ratio = between(stream, 8.0, 60.0);
}

void outside_draw_terms(struct random_stream *stream, struct outside_shot *shot)
{
	struct constant_terms *terms = &shot->constants.terms;
	double steepest = 1.4 * shot->constants.value[ROLLING_RESISTANCE];
	double slope = between(stream, 0.0, 0.7) * steepest, heading = between(stream, -PI, PI);

	terms->slope_long = slope * cos(heading);
	terms->slope_short = slope * sin(heading);
	terms->liveliness_fall = between(stream, 0.0, 0.08);
	terms->ball_friction_fall = between(stream, 0.0, 1.0);
}
