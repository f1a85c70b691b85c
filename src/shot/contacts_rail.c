/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "physics/cushion.h"
#include "physics/cushion_free.h"
#include "physics/flight.h"
#include "shot/contacts.h"
#include "shot/tangents.h"

/* A ball as near to the line of a rail lies at it: what rounding and the accuracy of rebounds make of
 * a motion along it stays far below [m]. */
#define AT_RAIL 1e-8

/* The ball is off the bed for good: in a pocket, or over a rail. */
static void leave(struct play *play, size_t i, enum rail rail, double approach, bool over)
{
	struct moving_ball *ball = &play->balls[i];
	struct shot_event *event =
	    play_record(play, over ? EVENT_LEAVE : EVENT_POCKET, i, approach);

	if (event != NULL)
		event->rail = rail;
	ball->on_table = false;
	play->record->ends[i] = (struct ball_end){.pocketed = true,
	                                          .left = over,
	                                          .position = ball->start.position,
	                                          .rest_time = play->time,
	                                          .still_time = play->time};
	tangents_end(play, i);
}

static void record_rail(struct play *play, size_t i, enum rail rail, double approach)
{
	struct moving_ball *ball = &play->balls[i];
	struct shot_event *event = play_record(play, EVENT_RAIL, i, approach);

	if (event != NULL)
		event->rail = rail;
	if (!ball->away[rail])
		return;
	ball->away[rail] = false;
	ball->contacts++;
	if (event != NULL)
		event->number = ball->contacts;
}

/* A slow ball stays at the rail: what drives it into the rail is taken away, its motion along the
 * rail stays. Ends the endless series of rebounds of a ball with topspin. */
static void stay_at_rail(struct play *play, size_t i, enum rail rail)
{
	struct ball_state *state = &play->balls[i].start;

	if (rail_is_long(rail)) {
		state->velocity.x = 0.0;
		state->spin.y = 0.0;
	} else {
		state->velocity.y = 0.0;
		state->spin.x = 0.0;
	}
	tangents_stay(play, i, rail);
}

/* The contact as constants, irregularity and approach have it; also what its derivatives need. */
static struct cushion_contact contact_of(struct play *play, size_t i, enum rail rail, double sine,
                                         struct tangent_rebound *rebound)
{
	const struct shot_scene *scene = play->scene;
	const double *value = scene->constants->value;
	const struct ball_body *body = &scene->bodies[i];
	const struct ball_state *state = &play->balls[i].start;
	struct vector3 velocity = cushion_to_rail(rail, state->velocity);
	unsigned number = play->record->impacts[i]++;
	struct rail_character character = {.liveliness = 0.0, .grip = 1.0};
	double liveliness = 0.0, even, used;

	if (scene->rails != NULL)
		character = scene->rails[rail];
	rebound->rail = rail;
	rebound->impact = number;
	rebound->turn = 0.0;
	if (scene->irregular != NULL && number < SHOT_IRREGULAR) {
		liveliness = scene->irregular[i][number].liveliness;
		rebound->turn = scene->irregular[i][number].turn;
	}
	rebound->nose_cosine = sqrt(1.0 - sine * sine);
	rebound->excess = velocity.y * rebound->nose_cosine + velocity.z * sine - 1.0;
	even = value[CUSHION_RESTITUTION] -
	       scene->constants->terms.liveliness_fall * rebound->excess;
	rebound->restitution = even * (1.0 + character.liveliness);
	used = rebound->restitution * (1.0 + liveliness);
	rebound->factor = used > 0.0 && used < 1.0
	                      ? (1.0 + liveliness) * (1.0 + character.liveliness)
	                      : 0.0;
	rebound->by_rail = even * (1.0 + liveliness);
	rebound->friction = value[CUSHION_FRICTION] * body->grip;
	rebound->rail_grip = character.grip;
	return (struct cushion_contact){.nose_sine = sine,
	                                .restitution = fmin(1.0, fmax(0.0, used)),
	                                .friction = rebound->friction * character.grip,
	                                .bed_friction = value[SLIDING_FRICTION] * body->grip,
	                                .may_lift = scene->constants->terms.bed_restitution > 0.0};
}

/* An impact of a ball on the bed, with its derivatives if the play carries any. */
static bool solve_on_bed(const struct play *play, const struct cushion_contact *contact,
                         struct vector3 *velocity, struct vector3 *spin_speed,
                         struct tangent_rebound *rebound)
{
	double tolerance = play->scene->tolerance;

	if (play->gradient == NULL)
		return cushion_solve(contact, tolerance, velocity, spin_speed, NULL) == STATUS_OK;
	return cushion_solve_slopes(contact, tolerance, velocity, spin_speed, NULL,
	                            &rebound->slopes) == STATUS_OK;
}

static bool rebound(struct play *play, size_t i, enum rail rail, bool flies, double sine)
{
	struct ball_state *state = &play->balls[i].start;
	double radius = play->scene->bodies[i].radius;
	struct tangent_rebound tangent;
	struct cushion_contact contact = contact_of(play, i, rail, sine, &tangent);
	struct vector3 velocity = cushion_to_rail(rail, state->velocity);
	struct vector3 spin_speed = vector3_scale(radius, cushion_to_rail(rail, state->spin));
	bool solved = flies ? cushion_free_solve(&contact, &velocity, &spin_speed, NULL) == STATUS_OK
	                    : solve_on_bed(play, &contact, &velocity, &spin_speed, &tangent);

	if (!flies && velocity.z > 0.0 && play->gradient != NULL) /* it hops */
		play->gradient->complete = false;
	if (!solved)
		return false;
	tangent.turned = cushion_turn(velocity, tangent.turn);
	tangent.turned_back = tangent.turned.y == 0.0;
	state->velocity = cushion_from_rail(rail, tangent.turned);
	state->spin = vector3_scale(1.0 / radius, cushion_from_rail(rail, spin_speed));
	if (flies) { /* the nose may press a ball that is still down into the bed */
		if (state->velocity.z < 0.0 && state->position.z <= radius)
			flight_land(state, &play->scene->bodies[i], play->scene->constants);
		return true;
	}
	tangents_rebound(play, i, &tangent);
	return true;
}

/* Whether a ball has been at a rail ever since its present motion began. */
static bool lies_at_rail(const struct play *play, size_t i, enum rail rail)
{
	const struct moving_ball *ball = &play->balls[i];
	double radius = play->scene->bodies[i].radius;
	double line = table_frozen_line(play->scene->table, rail, radius);

	return cloth_farthest(&ball->start, &ball->motion, radius, rail_is_long(rail) ? 0 : 1, line,
	                      play->time - ball->start_time) <= AT_RAIL;
}

bool contacts_rail(struct play *play, size_t i)
{
	struct moving_ball *ball = &play->balls[i];
	const struct table *table = play->scene->table;
	enum rail rail = ball->rail;
	bool flies = ball->motion.phase == CLOTH_FLYING, lies = lies_at_rail(play, i, rail), falls;
	double radius = play->scene->bodies[i].radius;
	double line = table_frozen_line(table, rail, radius);
	double along, approach, sine;

	play_rebase(play, i);
	if (rail_is_long(rail))
		ball->start.position.x = line;
	else
		ball->start.position.y = line;
	along = rail_is_long(rail) ? ball->start.position.y : ball->start.position.x;
	approach = cushion_to_rail(rail, ball->start.velocity).y;
	sine = (table->nose_height - ball->start.position.z) / radius;
	falls = sine <= -1.0 || table_in_pocket(table, rail, along);
	if (lies && !falls && approach < SHOT_SLOW) { /* no contact: it has never been away */
		stay_at_rail(play, i, rail);
		return true;
	}
	tangents_meet_rail(play, i, rail);
	if (falls) {
		leave(play, i, rail, approach, sine <= -1.0);
		return true;
	}
	record_rail(play, i, rail, approach);
	if (flies && ball->start.position.z <= radius + 1e-9) { /* it lands at this instant */
		flight_land(&ball->start, &play->scene->bodies[i], play->scene->constants);
		flies = ball->start.velocity.z > 0.0;
		approach = cushion_to_rail(rail, ball->start.velocity).y;
		sine = (table->nose_height - ball->start.position.z) / radius;
	}
	/* One that comes down past the nose is not sent back by it. */
	if (approach < SHOT_SLOW ||
	    (flies && approach * sqrt(1.0 - sine * sine) + ball->start.velocity.z * sine <
	                  SHOT_SLOW)) {
		stay_at_rail(play, i, rail);
		return true;
	}
	return rebound(play, i, rail, flies, sine);
}
