/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/pace.h"

#include <math.h>

#include "physics/cushion.h"
#include "shot/play.h"

double pace_lengths(const struct table *table, const struct constants *constants,
                    const struct ball_body *body, double speed)
{
	struct constants level = *constants;
	struct ball_body plain = {.radius = body->radius, .mass = body->mass, .grip = 1.0};
	struct ball_state state = {.position = {0.5 * table->width, body->radius, body->radius},
	                           .velocity = {0.0, speed, 0.0},
	                           .spin = {-speed / body->radius, 0.0, 0.0}};
	struct shot_need need = {.everything = true};
	struct shot_scene scene = {.table = table,
	                           .constants = &level,
	                           .ball_count = 1,
	                           .bodies = &plain,
	                           .tolerance = CUSHION_TOLERANCE};
	struct shot_record record;
	double way = 0.0, last = body->radius;

	level.terms.slope_long = level.terms.slope_short = level.terms.bed_restitution = 0.0;
	shot_play(&scene, &state, &need, &record);
	if (record.ending != SHOT_COMPLETE || record.ends[0].pocketed)
		return (double)NAN;
	for (size_t i = 0; i < record.event_count; i++) {
		way += fabs(record.events[i].position.y - last);
		last = record.events[i].position.y;
	}
	way += fabs(record.ends[0].position.y - last);
	return way / (table->length - 2.0 * body->radius);
}
