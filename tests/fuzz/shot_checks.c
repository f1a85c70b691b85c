/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shot_checks.h"

#include <float.h>
#include <math.h>

#include "physics/slope.h"
#include "shot/contacts.h"

#define OUTSIDE 1e-9      /* a centre may be past the frozen line by rounding [m] */
#define INSIDE 1e-5       /* pressed balls may be inside one another by a few micrometres [m] */
#define ENERGY_SLACK 1e-9 /* relative: a cushion impact is solved to 1e-8 of a speed */
#define FASTEST 20.0      /* [m/s] */
#define FASTEST_SPIN 50.0 /* radius times spin [m/s] */
#define HIGHEST 1.5       /* nose, in radii: a higher one may hold a ball between it and the bed */
#define STEEPEST 0.02     /* rise per run */

bool __real_contacts_rail(struct play *play, size_t ball);
void __real_contacts_balls(struct play *play, size_t first, size_t second);
bool __wrap_contacts_rail(struct play *play, size_t ball);
void __wrap_contacts_balls(struct play *play, size_t first, size_t second);

/* What is watched during one play. */
static struct {
	bool on;
	double energy; /* at the latest moment looked at [J] */
	struct vector3 places[SHOT_BALLS]; /* then */
	double scale;  /* at the strike, with what the balls could fall [J] */
	double rise;   /* the largest rise, relative to the scale */
	double jump;   /* the farthest that a contact moved a ball along the bed [m] */
	const char *where;
} watch;

static bool present(const struct shot_scene *scene, size_t i)
{
	return scene->present == NULL || scene->present[i];
}

static bool between(double low, double value, double high)
{
	return value >= low && value <= high;
}

static bool vector_finite(struct vector3 v)
{
	return isfinite(v.x) && isfinite(v.y) && isfinite(v.z);
}

/* Kinetic energy and that of height, on a table that slopes. */
static double energy_of(const struct shot_scene *scene, const struct ball_state *state, size_t i)
{
	const struct ball_body *body = &scene->bodies[i];
	const struct constant_terms *terms = &scene->constants->terms;
	double height = state->position.z - body->radius + terms->slope_long * state->position.y +
	                terms->slope_short * state->position.x;

	return ball_energy(state, body) + body->mass * STANDARD_GRAVITY * height;
}

/* What a contact adds to the energy of height as it moves a ball a little along a bed that slopes:
 * pressed balls are set apart, and a ball is put on the line of a rail. Notes how far. */
static double lift_by_contact(const struct play *play, const struct ball_state *state, size_t i)
{
	const struct constant_terms *terms = &play->scene->constants->terms;
	struct vector3 way = vector3_subtract(state->position, watch.places[i]);

	watch.jump = fmax(watch.jump, vector3_norm_flat(way));
	return play->scene->bodies[i].mass * STANDARD_GRAVITY *
	       (terms->slope_long * way.y + terms->slope_short * way.x);
}

/* Looks at the energy before or after a contact. */
static void look(const struct play *play, const char *where, bool after)
{
	double energy = 0.0, lift = 0.0, rise;

	if (!watch.on)
		return;
	for (size_t i = 0; i < play->scene->ball_count; i++)
		if (play->balls[i].on_table) {
			struct ball_state state = play_state(play, i);

			energy += energy_of(play->scene, &state, i);
			if (after)
				lift += lift_by_contact(play, &state, i);
			watch.places[i] = state.position;
		}
	rise = (energy - lift - watch.energy) / watch.scale;
	if (!(rise <= watch.rise)) {
		watch.rise = rise;
		watch.where = where;
	}
	watch.energy = energy;
}

/* A ball that falls takes its energy with it, which may be negative on a slope: the next look
 * starts anew. */
static void look_anew(const struct play *play)
{
	double rise = watch.rise;

	watch.rise = HUGE_VAL;
	look(play, "", false);
	watch.rise = rise;
}

bool __wrap_contacts_rail(struct play *play, size_t ball)
{
	bool solved;

	look(play, "on the way to a rail", false);
	solved = __real_contacts_rail(play, ball);
	if (play->balls[ball].on_table)
		look(play, "at a rail", true);
	else
		look_anew(play);
	return solved;
}

void __wrap_contacts_balls(struct play *play, size_t first, size_t second)
{
	look(play, "on the way to another ball", false);
	__real_contacts_balls(play, first, second);
	look(play, "ball on ball", true);
}

static void watch_start(const struct shot_scene *scene, const struct ball_state *states)
{
	const struct constant_terms *terms = &scene->constants->terms;
	double fall = fabs(terms->slope_long) * scene->table->length +
	              fabs(terms->slope_short) * scene->table->width;

	watch.energy = watch.scale = watch.rise = watch.jump = 0.0;
	for (size_t i = 0; i < scene->ball_count; i++)
		if (present(scene, i)) {
			double weight = scene->bodies[i].mass * STANDARD_GRAVITY;

			watch.energy += energy_of(scene, &states[i], i);
			watch.scale += ball_energy(&states[i], &scene->bodies[i]) +
			               weight * (fall + states[i].position.z);
		}
	watch.where = "nowhere";
	watch.on = true;
}

static bool table_finite(const struct table *table)
{
	return isfinite(table->length) && isfinite(table->width) && isfinite(table->nose_height) &&
	       (!table->pockets || (isfinite(table->corner_mouth) && isfinite(table->side_mouth)));
}

static bool constants_finite(const struct constants *constants)
{
	const struct constant_terms *terms = &constants->terms;

	for (int id = 0; id < CONSTANT_COUNT; id++)
		if (!isfinite(constants->value[id]))
			return false;
	return isfinite(terms->slope_long) && isfinite(terms->slope_short) &&
	       isfinite(terms->liveliness_fall) && isfinite(terms->ball_friction_fall) &&
	       isfinite(terms->bed_restitution) && isfinite(terms->nap_long);
}

static bool irregular_within(const struct shot_scene *scene, size_t i, double most)
{
	for (int k = 0; scene->irregular != NULL && k < SHOT_IRREGULAR; k++)
		if (!(fabs(scene->irregular[i][k].liveliness) <= most) ||
		    !(fabs(scene->irregular[i][k].turn) <= most))
			return false;
	return true;
}

static bool body_sound(const struct ball_body *body)
{
	return isfinite(body->radius) && isfinite(body->mass) && isfinite(body->grip) &&
	       body->radius > 0.0 && body->mass > 0.0;
}

bool shot_checks_sound(const struct shot_scene *scene, const struct ball_state *states)
{
	if (!table_finite(scene->table) || !constants_finite(scene->constants) ||
	    !isfinite(scene->tolerance))
		return false;
	for (size_t i = 0; i < scene->ball_count; i++)
		if (present(scene, i) &&
		    !(vector_finite(states[i].position) && vector_finite(states[i].velocity) &&
		      vector_finite(states[i].spin) && body_sound(&scene->bodies[i]) &&
		      irregular_within(scene, i, DBL_MAX)))
			return false;
	return true;
}

static bool terms_proper(const struct constant_terms *terms)
{
	return fabs(terms->slope_long) <= STEEPEST && fabs(terms->slope_short) <= STEEPEST &&
	       between(0.0, terms->liveliness_fall, 0.5) &&
	       between(0.0, terms->ball_friction_fall, 5.0) &&
	       between(0.0, terms->bed_restitution, 0.9);
}

static bool inside(const struct table *table, struct vector3 p, double radius)
{
	return between(radius - OUTSIDE, p.x, table->width - radius + OUTSIDE) &&
	       between(radius - OUTSIDE, p.y, table->length - radius + OUTSIDE);
}

/* With more friction than the constants may have, nose and bed may hold a ball between them. */
static bool frictions_proper(const struct constants *constants, double grip)
{
	const double *value = constants->value;

	return grip >= 0.2 &&
	       grip * value[CUSHION_FRICTION] <= constant_prior(CUSHION_FRICTION)->highest &&
	       grip * value[SLIDING_FRICTION] <= constant_prior(SLIDING_FRICTION)->highest;
}

static bool ball_proper(const struct shot_scene *scene, const struct ball_state *state, size_t i)
{
	const struct ball_body *body = &scene->bodies[i];
	bool flies = scene->constants->terms.bed_restitution > 0.0;
	double nose = scene->table->nose_height;

	return between(0.01, body->radius, 0.05) && between(0.02, body->mass, 0.5) &&
	       frictions_proper(scene->constants, body->grip) && nose > 1.02 * body->radius &&
	       nose <= HIGHEST * body->radius &&
	       inside(scene->table, state->position, body->radius) &&
	       (flies ? between(body->radius, state->position.z, 0.5)
	              : state->position.z == body->radius && state->velocity.z == 0.0) &&
	       vector3_norm(state->velocity) <= FASTEST &&
	       body->radius * vector3_norm(state->spin) <= FASTEST_SPIN &&
	       irregular_within(scene, i, 0.5);
}

/* How far two balls are inside one another [m]. */
static double overlap(const struct shot_scene *scene, size_t i, struct vector3 a, size_t j,
                      struct vector3 b)
{
	return scene->bodies[i].radius + scene->bodies[j].radius -
	       vector3_norm(vector3_subtract(a, b));
}

bool shot_checks_proper(const struct shot_scene *scene, const struct ball_state *states)
{
	const char *why;

	if (!shot_checks_sound(scene, states) || !table_is_valid(scene->table, &why) ||
	    !terms_proper(&scene->constants->terms) || !between(1e-12, scene->tolerance, 1e-6))
		return false;
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)id);

		if (!between(prior->lowest, scene->constants->value[id], prior->highest))
			return false;
	}
	for (size_t i = 0; i < scene->ball_count; i++) {
		if (present(scene, i) && !ball_proper(scene, &states[i], i))
			return false;
		for (size_t j = 0; j < i; j++)
			if (present(scene, i) && present(scene, j) &&
			    overlap(scene, i, states[i].position, j, states[j].position) > 1e-9)
				return false;
	}
	return true;
}

static const char *judge_events(const struct shot_record *record)
{
	double time = 0.0;

	if (record->event_count > SHOT_EVENTS)
		return "more events than there is room for";
	for (size_t k = 0; k < record->event_count; k++) {
		const struct shot_event *event = &record->events[k];

		if (!(event->time >= time))
			return "events are not in the order of time";
		if (event->ball >= record->ball_count || event->other >= record->ball_count)
			return "an event of a ball that does not exist";
		time = event->time;
	}
	return NULL;
}

static const char *judge_numbers(const struct shot_scene *scene, const struct shot_record *record)
{
	for (size_t k = 0; k < record->event_count; k++)
		if (!vector_finite(record->events[k].position) ||
		    !isfinite(record->events[k].approach))
			return "complete, with an event that is not finite";
	for (size_t i = 0; i < record->ball_count; i++) {
		const struct ball_end *end = &record->ends[i];

		if (!present(scene, i))
			continue;
		if (!vector_finite(end->position) || !isfinite(end->rest_time) ||
		    isnan(end->still_time))
			return "complete, with an end that is not finite";
		if (end->still_time < end->rest_time)
			return "a ball is still before it rests";
	}
	return NULL;
}

static const char *judge_places(const struct shot_scene *scene, const struct shot_record *record)
{
	for (size_t i = 0; i < scene->ball_count; i++) {
		const struct ball_end *end = &record->ends[i];

		if (!present(scene, i) || end->left)
			continue;
		if (!inside(scene->table, end->position, scene->bodies[i].radius))
			return "a ball ends outside the table";
		for (size_t j = 0; j < i && !end->pocketed; j++)
			if (present(scene, j) && !record->ends[j].pocketed &&
			    overlap(scene, i, end->position, j, record->ends[j].position) > INSIDE)
				return "a ball ends inside another";
	}
	return NULL;
}

static const char *judge_proper(const struct shot_scene *scene, const struct shot_record *record)
{
	if (record->ending == SHOT_CAPPED)
		return "a proper shot is given up";
	if (record->ending == SHOT_BROKEN && slope_stops(scene->constants))
		return "a proper shot is broken";
	if (!(watch.rise <= ENERGY_SLACK))
		return "energy rises";
	if (!(watch.jump <= INSIDE))
		return "a contact moves a ball";
	return record->ending == SHOT_BROKEN ? NULL : judge_places(scene, record);
}

const char *shot_checks_play(const struct shot_scene *scene, const struct ball_state *states,
                             const struct shot_need *need, struct shot_record *record)
{
	bool proper = shot_checks_proper(scene, states);
	const char *wrong;

	watch.on = false;
	if (proper)
		watch_start(scene, states);
	record->ending = (enum shot_ending)99; /* must be written */
	shot_play(scene, states, need, record);
	watch.on = false;
	if ((unsigned)record->ending > (unsigned)SHOT_BROKEN ||
	    record->ball_count != scene->ball_count)
		return "no ending that exists";
	wrong = judge_events(record);
	if (wrong == NULL && record->ending != SHOT_BROKEN && !shot_checks_sound(scene, states))
		wrong = "a start that is not sound is not called broken";
	if (wrong == NULL && record->ending == SHOT_COMPLETE)
		wrong = judge_numbers(scene, record);
	if (wrong == NULL && proper)
		wrong = judge_proper(scene, record);
	return wrong;
}

double shot_checks_rise(const char **where)
{
	*where = watch.where;
	return watch.rise;
}
