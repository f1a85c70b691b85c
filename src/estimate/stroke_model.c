/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/stroke_model.h"

#include <math.h>

#include "physics/cushion.h"
#include "shot/strike_gradient.h"

#define DEGREE (M_PI / 180.0)

bool stroke_scene_make(struct stroke_scene *scene, const struct shot_design *design,
                       const struct session *session, const char *const labels[BALL_ROLES],
                       uint32_t mask, const char **why)
{
	static const char *const defaults[BALL_ROLES] = {"A", "O", "O"};
	struct ball_body bodies[BALL_ROLES];

	for (int i = 0; i < BALL_ROLES; i++) {
		const char *label = labels != NULL && labels[i] != NULL ? labels[i] : defaults[i];
		double diameter, mass;

		session_placed_ball(session, &design->place[i], (enum ball_role)i, label, &diameter,
		                    &mass);
		bodies[i] = (struct ball_body){.radius = 0.5 * diameter, .mass = mass, .grip = 1.0};
	}
	*scene = (struct stroke_scene){
	    .design = design,
	    .table = &session->table,
	    .end_mass_ratio = session->cue_end_mass_ratio,
	    .microphone = {session->microphone_known, session->microphone_long,
	                   session->microphone_short},
	    .mask = mask};
	observe_need(design, mask, &scene->need);
	return shot_setup_make(design, &session->table, bodies, &scene->setup, why);
}

/* Brings a tip back to the miscue limit along its own direction. */
static void limit_offset(struct stroke *stroke)
{
	double offset = hypot(stroke->side, stroke->height);

	if (offset <= STROKE_OFFSET_FITTED)
		return;
	stroke->side *= STROKE_OFFSET_FITTED / offset;
	stroke->height *= STROKE_OFFSET_FITTED / offset;
}

struct stroke stroke_scene_free_stroke(const struct stroke_scene *scene,
                                       const double shared[SHARED_UNKNOWNS],
                                       const double own[OWN_UNKNOWNS])
{
	const struct launch *launch = &scene->design->launch;
	struct stroke stroke = shot_design_stroke(scene->design);

	stroke.turn = DEGREE * (SHARED_AIM_SPREAD_DEG * shared[SHARED_AIM] +
	                        scene->design->aim.spread_deg * own[OWN_AIM]);
	if (launch->by_ramp) {
		stroke.speed *= exp(launch->group_spread * shared[SHARED_RAMP] +
		                    launch->speed_spread * own[OWN_SPEED]);
		return stroke;
	}
	stroke.speed *= exp(SHARED_SPEED_SPREAD * shared[SHARED_SPEED] +
	                    launch->speed_spread * own[OWN_SPEED]);
	stroke.height += SHARED_OFFSET_SPREAD * shared[SHARED_HEIGHT] +
	                 launch->height_spread * own[OWN_HEIGHT];
	stroke.side += SHARED_OFFSET_SPREAD * shared[SHARED_SIDE] +
	               launch->side_spread * own[OWN_SIDE];
	return stroke;
}

struct stroke stroke_scene_stroke(const struct stroke_scene *scene,
                                  const double shared[SHARED_UNKNOWNS],
                                  const double own[OWN_UNKNOWNS])
{
	struct stroke stroke = stroke_scene_free_stroke(scene, shared, own);

	limit_offset(&stroke);
	return stroke;
}

static void irregularities(const double own[OWN_UNKNOWNS],
                           struct rail_irregularity irregular[BALL_ROLES][SHOT_IRREGULAR])
{
	for (int ball = 0; ball < BALL_ROLES; ball++)
		for (int impact = 0; impact < SHOT_IRREGULAR; impact++) {
			const double *unknown = own + own_irregular(ball, impact);

			irregular[ball][impact] = (struct rail_irregularity){
			    .liveliness = IRREGULAR_LIVELINESS_SPREAD * unknown[0],
			    .turn = DEGREE * IRREGULAR_TURN_SPREAD_DEG * unknown[1]};
		}
}

void stroke_rails(const double shared[SHARED_UNKNOWNS], struct rail_character rails[RAIL_COUNT])
{
	for (int rail = 0; rail < RAIL_COUNT; rail++)
		rails[rail] = (struct rail_character){
		    .liveliness = RAIL_LIVELINESS_SPREAD * shared[SHARED_RAIL_LIVELINESS + rail],
		    .grip = exp(RAIL_GRIP_SPREAD * shared[SHARED_RAIL_GRIP + rail])};
}

/* A stroke ready to be played. */
struct ready {
	struct ball_body bodies[BALL_ROLES];
	struct rail_character rails[RAIL_COUNT];
	struct rail_irregularity irregular[BALL_ROLES][SHOT_IRREGULAR];
	struct ball_state states[BALL_ROLES];
	struct stroke stroke;
	struct shot_scene shot;
};

static void make_ready(const struct stroke_scene *scene, const struct constants *constants,
                       const double shared[SHARED_UNKNOWNS], const double own[OWN_UNKNOWNS],
                       double tolerance, struct ready *ready)
{
	ready->shot = (struct shot_scene){.table = scene->table,
	                                  .constants = constants,
	                                  .ball_count = BALL_ROLES,
	                                  .bodies = ready->bodies,
	                                  .present = scene->setup.present,
	                                  .irregular = ready->irregular,
	                                  .rails = ready->rails,
	                                  .tolerance = tolerance};
	for (int ball = 0; ball < BALL_ROLES; ball++) {
		ready->bodies[ball] = scene->setup.bodies[ball];
		ready->bodies[ball].grip *= exp(GRIP_SPREAD * shared[SHARED_GRIP + ball]);
	}
	stroke_rails(shared, ready->rails);
	irregularities(own, ready->irregular);
	ready->stroke = stroke_scene_stroke(scene, shared, own);
	shot_setup_strike(&scene->setup, scene->design, &ready->stroke, scene->end_mass_ratio,
	                  constants->terms.bed_restitution, ready->states);
}

/* Observes what was played; false when that did not come to its end. */
static bool observe_played(const struct stroke_scene *scene, const double shared[SHARED_UNKNOWNS],
                           const struct shot_record *record,
                           struct observed observed[QUANTITY_COUNT])
{
	if (record->ending == SHOT_CAPPED || record->ending == SHOT_BROKEN)
		return false;
	observe(record, scene->design, scene->table, &scene->microphone,
	        scene->setup.balls[BALL_CUE].position, scene->mask, observed);
	for (int number = 0; number < QUANTITY_COUNT; number++)
		if ((scene->mask & (UINT32_C(1) << number)) &&
		    quantity_at(number).kind == QUANTITY_SOUND)
			observed[number].value += SHARED_DELAY_SPREAD * shared[SHARED_DELAY];
	return true;
}

bool stroke_scene_play(const struct stroke_scene *scene, const struct constants *constants,
                       const double shared[SHARED_UNKNOWNS], const double own[OWN_UNKNOWNS],
                       double tolerance, struct shot_record *record,
                       struct observed observed[QUANTITY_COUNT])
{
	struct ready ready;

	make_ready(scene, constants, shared, own, tolerance, &ready);
	shot_play(&ready.shot, ready.states, &scene->need, record);
	return observe_played(scene, shared, record, observed);
}

bool stroke_scene_gradient(const struct stroke_scene *scene, const struct constants *constants,
                           const double shared[SHARED_UNKNOWNS], const double own[OWN_UNKNOWNS],
                           double tolerance, struct shot_record *record,
                           struct shot_gradient *gradient,
                           struct observed_gradient slopes[QUANTITY_COUNT])
{
	struct ready ready;

	make_ready(scene, constants, shared, own, tolerance, &ready);
	for (size_t i = 0; i < BALL_ROLES; i++)
		shot_gradient_still(gradient, i);
	strike_gradient(&scene->setup, scene->design, &ready.stroke, scene->end_mass_ratio,
	                gradient);
	shot_play_gradient(&ready.shot, ready.states, &scene->need, record, gradient);
	if (record->ending == SHOT_CAPPED || record->ending == SHOT_BROKEN || !gradient->complete)
		return false;
	observe_gradient(record, gradient, scene->design, scene->table, &scene->microphone,
	                 scene->mask, slopes);
	return true;
}

bool stroke_design_rails(const struct shot_design *design, const struct session *session,
                         enum rail rails[BALL_ROLES][RAIL_READINGS], const char **why)
{
	static const double nothing[SHARED_UNKNOWNS], even[OWN_UNKNOWNS];
	struct constants centre = constants_centre();
	struct observed observed[QUANTITY_COUNT];
	struct shot_record record;
	struct stroke_scene scene;
	uint32_t mask = 0;

	for (int ball = 0; ball < BALL_ROLES; ball++)
		for (int number = 1; number <= RAIL_READINGS; number++) {
			struct quantity rail = {QUANTITY_RAIL, (enum ball_role)ball, number};

			rails[ball][number - 1] = RAIL_COUNT;
			if (design->place[ball].present)
				mask |= UINT32_C(1) << quantity_number(rail);
		}
	if (!stroke_scene_make(&scene, design, session, NULL, mask, why))
		return false;
	*why = "the shot as designed cannot be played to its end";
	if (!stroke_scene_play(&scene, &centre, nothing, even, CUSHION_TOLERANCE, &record, observed))
		return false;
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);

		if ((mask & (UINT32_C(1) << number)) && observed[number].happened)
			rails[quantity.ball][quantity.number - 1] = observed[number].rail;
	}
	return true;
}
