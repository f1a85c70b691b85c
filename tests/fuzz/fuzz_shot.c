/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "physics/cushion.h"
#include "shot_checks.h"

/* Plays a shot made from bytes and stops the program when a rule of shot_checks.h is broken. For
 * libFuzzer (run.sh) and for fuzz_corpus.c, which needs no other compiler.
 *
 * The first byte is the number of balls and the way numbers are written: small integers on scales
 * that make a table, so that a change of a byte is a sensible change, or raw doubles, so that
 * anything is reached. What the bytes do not reach is that of a usual table. With FUZZ_TELL in the
 * environment a line tells what was played. */

#define RAW 0x80      /* in the first byte: numbers are doubles */
#define GAP_UNIT 1e-6 /* [m] */

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

struct reader {
	const uint8_t *bytes;
	size_t left;
	bool raw;
};

/* Everything that a play reads. */
struct scenery {
	struct table table;
	struct constants constants;
	struct ball_body bodies[SHOT_BALLS];
	struct ball_state states[SHOT_BALLS];
	struct rail_irregularity irregular[SHOT_BALLS][SHOT_IRREGULAR];
	bool present[SHOT_BALLS];
	struct shot_scene scene;
	struct shot_need need;
};

static unsigned read_byte(struct reader *reader)
{
	if (reader->left == 0)
		return 0;
	reader->left--;
	return *reader->bytes++;
}

/* The next number: a double, or 16 bits for low to high. `usual` when no bytes are left. */
static double read_number(struct reader *reader, double low, double high, double usual)
{
	double value;
	uint16_t small;

	if (reader->left < (reader->raw ? sizeof value : sizeof small))
		return usual;
	if (reader->raw) {
		memcpy(&value, reader->bytes, sizeof value);
		reader->bytes += sizeof value;
		reader->left -= sizeof value;
		return value;
	}
	small = (uint16_t)(read_byte(reader) << 8);
	small = (uint16_t)(small | read_byte(reader));
	return low + (high - low) * (double)small / UINT16_MAX;
}

static void read_table(struct reader *reader, struct table *table)
{
	size_t count;
	const struct table *presets = table_presets(&count);
	unsigned choice = read_byte(reader);

	*table = presets[(choice & 0x3f) % count];
	table->pockets = (choice & 0x40) != 0;
	if ((choice & 0x80) == 0)
		return;
	table->length = read_number(reader, 1.0, 4.0, table->length);
	table->width = read_number(reader, 0.5, 2.5, table->width);
	table->nose_height = read_number(reader, 0.02, 0.06, table->nose_height);
	table->corner_mouth = read_number(reader, 0.0, 0.2, table->corner_mouth);
	table->side_mouth = read_number(reader, 0.0, 0.2, table->side_mouth);
}

static void read_constants(struct reader *reader, struct constants *constants)
{
	unsigned which = read_byte(reader), terms = read_byte(reader);

	*constants = constants_centre();
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)id);

		if ((which >> id & 1u) != 0)
			constants->value[id] =
			    read_number(reader, prior->lowest, prior->highest, prior->centre);
	}
	if ((terms & 1) != 0)
		constants->terms.slope_long = read_number(reader, -0.01, 0.01, 0.0);
	if ((terms & 2) != 0)
		constants->terms.slope_short = read_number(reader, -0.01, 0.01, 0.0);
	if ((terms & 4) != 0)
		constants->terms.liveliness_fall = read_number(reader, 0.0, 0.2, 0.0);
	if ((terms & 8) != 0)
		constants->terms.ball_friction_fall = read_number(reader, 0.0, 3.0, 0.0);
	if ((terms & 16) != 0)
		constants->terms.bed_restitution = read_number(reader, 0.0, 0.9, 0.0);
}

static void read_vector(struct reader *reader, double most, struct vector3 *v)
{
	v->x = read_number(reader, -most, most, 0.0);
	v->y = read_number(reader, -most, most, 0.0);
	v->z = read_number(reader, -most, most, 0.0);
}

/* Against the ball before, at an angle and with a gap that may be none or less. */
static void read_touching(struct reader *reader, struct scenery *scenery, size_t i)
{
	double reach = scenery->bodies[i].radius + scenery->bodies[i - 1].radius;
	double way = read_number(reader, -M_PI, M_PI, 0.3);
	double gap = GAP_UNIT * ((double)read_byte(reader) - 16.0);

	if (gap > -15.5 * GAP_UNIT && gap < 0.0)
		gap = 0.0;
	scenery->states[i].position.x =
	    scenery->states[i - 1].position.x + (reach + gap) * cos(way);
	scenery->states[i].position.y =
	    scenery->states[i - 1].position.y + (reach + gap) * sin(way);
}

/* One byte says which of the rest follows: body, place (free, frozen to a rail, touching), motion,
 * flight, irregularities. */
static void read_ball(struct reader *reader, struct scenery *scenery, size_t i)
{
	struct ball_body *body = &scenery->bodies[i];
	struct ball_state *state = &scenery->states[i];
	const struct table *table = &scenery->table;
	unsigned parts = read_byte(reader);

	*body = (struct ball_body){0.5 * table->ball_diameter, table->ball_mass, 1.0};
	scenery->present[i] = (parts & 0x80) == 0;
	if ((parts & 1) != 0) {
		body->radius = read_number(reader, 0.02, 0.035, body->radius);
		body->mass = read_number(reader, 0.1, 0.25, body->mass);
		body->grip = read_number(reader, 0.2, 5.0, body->grip);
	}
	if ((parts & 2) != 0 && i > 0) {
		read_touching(reader, scenery, i);
	} else {
		state->position.x = read_number(reader, body->radius, table->width - body->radius,
		                                0.1 + 0.09 * (double)(i % 8));
		state->position.y = read_number(reader, body->radius, table->length - body->radius,
		                                0.2 + 0.11 * (double)i);
	}
	state->position.z = body->radius;
	if ((parts & 4) != 0)
		state->position.x = (parts & 8) != 0 ? body->radius : table->width - body->radius;
	if ((parts & 16) != 0 || i == 0) {
		read_vector(reader, 8.0, &state->velocity);
		read_vector(reader, 300.0, &state->spin);
	}
	if ((parts & 32) != 0)
		state->position.z = read_number(reader, body->radius, 0.2, body->radius);
	else
		state->velocity.z = 0.0;
	for (int k = 0; (parts & 64) != 0 && k < SHOT_IRREGULAR; k++) {
		scenery->irregular[i][k].liveliness = read_number(reader, -0.2, 0.2, 0.0);
		scenery->irregular[i][k].turn = read_number(reader, -0.2, 0.2, 0.0);
	}
}

static void read_need(struct reader *reader, size_t balls, struct shot_need *need)
{
	unsigned wanted = read_byte(reader);

	need->everything = (wanted & 1) == 0;
	need->struck = (wanted & 2) != 0;
	need->ball_contacts = (int)(wanted >> 2 & 3);
	need->sounds = (int)(wanted >> 4 & 3);
	for (size_t i = 0; i < balls && (wanted & 64) != 0; i++)
		need->rails[i] = (int)(read_byte(reader) % 5);
}

static void read_scenery(struct reader *reader, struct scenery *scenery)
{
	unsigned first = read_byte(reader);
	size_t balls = 1 + (first & 0x1f) % SHOT_BALLS;

	memset(scenery, 0, sizeof *scenery);
	reader->raw = (first & RAW) != 0;
	read_table(reader, &scenery->table);
	read_constants(reader, &scenery->constants);
	read_need(reader, balls, &scenery->need);
	for (size_t i = 0; i < balls; i++)
		read_ball(reader, scenery, i);
	scenery->scene = (struct shot_scene){
	    .table = &scenery->table,
	    .constants = &scenery->constants,
	    .ball_count = balls,
	    .bodies = scenery->bodies,
	    .present = scenery->present,
	    .irregular = (const struct rail_irregularity(*)[SHOT_IRREGULAR])scenery->irregular,
	    .tolerance = CUSHION_TOLERANCE,
	};
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
	static struct scenery scenery;
	static struct shot_record record;
	struct reader reader = {bytes, length, false};
	const char *wrong, *where;
	double rise;

	read_scenery(&reader, &scenery);
	wrong = shot_checks_play(&scenery.scene, scenery.states, &scenery.need, &record);
	if (getenv("FUZZ_TELL") != NULL)
		printf("%zu balls, ending %d, %zu events\n", record.ball_count, (int)record.ending,
		       record.event_count);
	if (wrong == NULL)
		return 0;
	rise = shot_checks_rise(&where);
	fprintf(stderr, "%s; %zu balls, ending %d, %zu events; energy rises at most by %.3g %s\n",
	        wrong, record.ball_count, (int)record.ending, record.event_count, rise, where);
	__builtin_trap();
}
