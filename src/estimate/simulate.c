/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/simulate.h"

#include <math.h>
#include <string.h>

#include "base/random.h"
#include "estimate/readings.h"
#include "physics/cushion.h"

/* Streams of random numbers under one seed: the player's habits, then one for each stroke, so that
 * another shot more or less does not change the others. */
enum { STREAM_PLAYER = 1, STREAM_SHOT = 1000, STREAM_STROKE = 1000000 };

struct simulation {
	const struct protocol *protocol;
	const struct session *session;
	const struct constants *constants;
	uint64_t seed;
	bool noise;
	double habits[SHARED_UNKNOWNS]; /* speed, height, side, delay of the session; and what the
	                                   table and its balls have besides the constants */
	struct simulated_truth *truth;  /* of each row; NULL: not asked for */
	size_t truth_count;
};

/* Everything that can be read of a shot: rests of its balls, four rails of each, its intervals,
 * all sounds. */
static uint32_t full_mask(const struct shot_design *design)
{
	uint32_t mask = 0;

	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);
		bool there = quantity.kind == QUANTITY_WATCH
		                 ? quantity.number <= design->watch_count
		                 : quantity.kind == QUANTITY_SOUND ||
		                       design->place[quantity.ball].present;

		/* The first sound after a ramp is where its clock starts: left blank. */
		if (quantity.kind == QUANTITY_SOUND && quantity.number == 1 && design->launch.by_ramp)
			there = false;
		if (there)
			mask |= UINT32_C(1) << number;
	}
	return mask;
}

static double stable_ramp_habit(const struct simulation *simulation, const char *ramp)
{
	uint64_t hash = UINT64_C(14695981039346656037); /* FNV-1a: the same ramp, the same speed */
	struct random_stream stream;

	for (const char *c = ramp; *c != '\0'; c++)
		hash = (hash ^ (unsigned char)*c) * UINT64_C(1099511628211);
	stream = random_start(simulation->seed, hash | UINT64_C(1) << 63);
	return random_normal(&stream);
}

/* Shared unknowns of a shot and own unknowns of one stroke of it. */
static void draw_unknowns(const struct simulation *simulation, size_t shot, size_t stroke,
                          double shared[SHARED_UNKNOWNS], double own[OWN_UNKNOWNS])
{
	const struct launch *launch = &simulation->protocol->shots[shot].launch;
	struct random_stream aim = random_start(simulation->seed, STREAM_SHOT + shot);
	struct random_stream stream = random_start(simulation->seed, STREAM_STROKE + stroke);

	memcpy(shared, simulation->habits, SHARED_UNKNOWNS * sizeof *shared);
	memset(own, 0, OWN_UNKNOWNS * sizeof *own);
	if (!simulation->noise)
		return;
	shared[SHARED_AIM] = random_normal(&aim);
	if (launch->by_ramp)
		shared[SHARED_RAMP] = stable_ramp_habit(simulation, launch->ramp);
	for (int i = 0; i < OWN_UNKNOWNS; i++)
		own[i] = random_normal(&stream);
}

/* Reading errors of the watch: one error of each press, shared by the intervals it is part of. */
static void watch_errors(const struct simulation *simulation, const struct shot_design *design,
                         struct random_stream *stream, double errors[WATCH_READINGS])
{
	const struct reading_errors *sizes = &simulation->session->errors;
	struct moment moments[2 * WATCH_READINGS];
	double presses[2 * WATCH_READINGS];
	int count = 0;

	for (int i = 0; i < design->watch_count; i++) {
		double ends[2];
		struct moment both[2] = {design->watch[i].from, design->watch[i].to};

		for (int end = 0; end < 2; end++) {
			int k = 0;

			while (k < count && !moments_equal(moments[k], both[end]))
				k++;
			if (k == count) {
				moments[count] = both[end];
				presses[count++] =
				    press_error(sizes, both[end]) * random_normal(stream);
			}
			ends[end] = presses[k];
		}
		errors[i] = ends[1] - ends[0];
		if (sizes->frames_per_second > 0.0)
			errors[i] = FRAME_ERROR / sizes->frames_per_second * random_normal(stream);
	}
}

static double reading_noise(const struct simulation *simulation, struct quantity quantity,
                            const double watch[WATCH_READINGS], struct random_stream *stream)
{
	const struct reading_errors *errors = &simulation->session->errors;

	switch (quantity.kind) {
	case QUANTITY_RAIL:
		return errors->rail * random_normal(stream);
	case QUANTITY_WATCH:
		return watch[quantity.number - 1];
	case QUANTITY_SOUND:
		return (errors->frames_per_second > 0.0 ? FRAME_ERROR / errors->frames_per_second
		                                        : errors->sound) *
		       random_normal(stream);
	default:
		return errors->position * random_normal(stream);
	}
}

static double within(double value, double highest)
{
	return fmin(highest, fmax(0.0, value));
}

static double keep_in_range(double value, struct quantity quantity, enum rail rail)
{
	switch (quantity.kind) {
	case QUANTITY_REST_LONG:
		return within(value, TABLE_DIAMONDS_LONG);
	case QUANTITY_REST_SHORT:
		return within(value, TABLE_DIAMONDS_SHORT);
	case QUANTITY_RAIL:
		return within(value, rail_is_long(rail) ? TABLE_DIAMONDS_LONG : TABLE_DIAMONDS_SHORT);
	default:
		return fmax(0.0, value);
	}
}

static void fill_row(const struct simulation *simulation, const struct shot_design *design,
                     uint32_t mask, size_t stroke, const struct observed *observed,
                     struct stroke_row *row)
{
	struct random_stream stream =
	    random_start(simulation->seed, 2 * (uint64_t)STREAM_STROKE + stroke);
	const int first_watch = quantity_number((struct quantity){QUANTITY_WATCH, BALL_CUE, 1});
	const uint32_t watch_mask = ((UINT32_C(1) << WATCH_READINGS) - 1) << first_watch;
	double watch[WATCH_READINGS] = {0.0};

	if (simulation->noise && (mask & watch_mask) != 0)
		watch_errors(simulation, design, &stream, watch);
	for (int number = 0; number < QUANTITY_COUNT; number++) {
		struct quantity quantity = quantity_at(number);
		struct reading *cell = &row->readings[number];
		double noise;

		if (!(mask & (UINT32_C(1) << number)))
			continue;
		noise = simulation->noise ? reading_noise(simulation, quantity, watch, &stream) : 0.0;
		if (!observed[number].happened)
			continue;
		*cell = (struct reading){.kind = observed[number].pocketed ? READING_POCKET
		                                                           : READING_VALUE};
		cell->rail = observed[number].rail;
		cell->rail_named = quantity.kind == QUANTITY_RAIL;
		cell->value = keep_in_range(observed[number].value + noise, quantity, cell->rail);
	}
}

static void simulate_stroke(const struct simulation *simulation, size_t shot, size_t stroke,
                            struct stroke_row *row)
{
	const struct shot_design *design = &simulation->protocol->shots[shot];
	uint32_t mask = simulation->noise ? design->measure : full_mask(design);
	double shared[SHARED_UNKNOWNS], own[OWN_UNKNOWNS];
	struct observed observed[QUANTITY_COUNT];
	struct shot_record record;
	struct stroke_scene scene;
	const char *why;

	draw_unknowns(simulation, shot, stroke, shared, own);
	if (simulation->truth != NULL && stroke < simulation->truth_count) {
		memcpy(simulation->truth[stroke].shared, shared, sizeof shared);
		memcpy(simulation->truth[stroke].own, own, sizeof own);
	}
	if (!stroke_scene_make(&scene, design, simulation->session, row->ball, mask, &why))
		return; /* cannot be set up on this table: a row without readings */
	if (stroke_scene_play(&scene, simulation->constants, shared, own, CUSHION_TOLERANCE, &record,
	                      observed))
		fill_row(simulation, design, mask, stroke, observed, row);
}

static void start_row(const struct simulation *simulation, const struct shot_design *design,
                      int try_number, struct stroke_row *row)
{
	const char *player = simulation->session->notes[NOTE_PLAYER];

	*row = (struct stroke_row){.shot = design->key,
	                           .try_number = try_number,
	                           .player = player != NULL ? player : "",
	                           .valid = true};
	row->ball[BALL_CUE] = "A";
	row->ball[BALL_OBJECT] = "O";
	row->ball[BALL_OBJECT2] = "O";
}

static void draw_habits(struct simulation *simulation)
{
	struct random_stream stream = random_start(simulation->seed, STREAM_PLAYER);

	for (int i = 0; i < SHARED_HABITS; i++)
		simulation->habits[i] = 0.0;
	if (!simulation->noise)
		return;
	simulation->habits[SHARED_SPEED] = random_normal(&stream);
	simulation->habits[SHARED_HEIGHT] = random_normal(&stream);
	simulation->habits[SHARED_SIDE] = random_normal(&stream);
	if (!simulation->session->microphone_known)
		simulation->habits[SHARED_DELAY] = random_normal(&stream);
}

static size_t count_strokes(const struct simulation *simulation)
{
	size_t count = 0;

	for (size_t i = 0; i < simulation->protocol->shot_count; i++)
		count += simulation->noise ? (size_t)simulation->protocol->shots[i].tries : 1;
	return count;
}

/* The extras as unknowns of the strokes; grips and rails of 1 and even where NULL. */
static void set_extras(struct simulation *simulation, const struct simulated_extras *extras)
{
	double *shared = simulation->habits;

	for (int i = SHARED_HABITS; i < SHARED_UNKNOWNS; i++)
		shared[i] = 0.0;
	for (int ball = 0; extras != NULL && ball < BALL_ROLES; ball++)
		shared[SHARED_GRIP + ball] = log(extras->grip[ball]) / GRIP_SPREAD;
	for (int rail = 0; extras != NULL && rail < RAIL_COUNT; rail++) {
		const struct rail_character *character = &extras->rails[rail];

		shared[SHARED_RAIL_LIVELINESS + rail] =
		    character->liveliness / RAIL_LIVELINESS_SPREAD;
		shared[SHARED_RAIL_GRIP + rail] = log(character->grip) / RAIL_GRIP_SPREAD;
	}
}

static enum status simulate(struct simulation *simulation, const struct simulated_extras *extras,
                            struct measurement *measurement)
{
	const struct protocol *protocol = simulation->protocol;
	size_t stroke = 0;

	*measurement = (struct measurement){.arena = arena_create(),
	                                    .file = "",
	                                    .separator = ',',
	                                    .session = *simulation->session};
	if (measurement->arena == NULL)
		return STATUS_SYSTEM;
	measurement->row_count = count_strokes(simulation);
	measurement->rows = arena_allocate(measurement->arena,
	                                   measurement->row_count * sizeof *measurement->rows);
	if (measurement->rows == NULL) {
		measurement_free(measurement);
		return STATUS_SYSTEM;
	}
	draw_habits(simulation);
	set_extras(simulation, extras);
	for (size_t i = 0; i < protocol->shot_count; i++) {
		int tries = simulation->noise ? protocol->shots[i].tries : 1;

		for (int k = 1; k <= tries; k++, stroke++) {
			start_row(simulation, &protocol->shots[i], k, &measurement->rows[stroke]);
			simulate_stroke(simulation, i, stroke, &measurement->rows[stroke]);
		}
	}
	return STATUS_OK;
}

enum status simulate_session(const struct protocol *protocol, const struct session *session,
                             const struct constants *constants, uint64_t seed, bool noise,
                             struct measurement *measurement)
{
	return simulate_session_truth(protocol, session, constants, seed, noise, measurement, NULL,
	                              0);
}

enum status simulate_session_truth(const struct protocol *protocol, const struct session *session,
                                   const struct constants *constants, uint64_t seed, bool noise,
                                   struct measurement *measurement, struct simulated_truth *truth,
                                   size_t truth_count)
{
	struct simulation simulation = {.protocol = protocol,
	                                .session = session,
	                                .constants = constants,
	                                .seed = seed,
	                                .noise = noise,
	                                .truth = truth,
	                                .truth_count = truth_count};

	return simulate(&simulation, NULL, measurement);
}

enum status simulate_session_with(const struct protocol *protocol, const struct session *session,
                                  const struct constants *constants,
                                  const struct simulated_extras *extras, uint64_t seed, bool noise,
                                  struct measurement *measurement)
{
	struct simulation simulation = {.protocol = protocol,
	                                .session = session,
	                                .constants = constants,
	                                .seed = seed,
	                                .noise = noise};

	return simulate(&simulation, extras, measurement);
}
