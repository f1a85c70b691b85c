/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <float.h>
#include <string.h>

#include "../fuzz/shot_checks.h"
#include "files/protocol_file.h"
#include "physics/cushion.h"
#include "session_support.h"
#include "shot/setup.h"
#include "shot_support.h"

/* Never hangs, never lies: random scenes that no table has, and random protocols, are played to an
 * end, and what is said of them holds (the rules stand in ../fuzz/shot_checks.h). The environment
 * variable HOSTILE_SHOTS is how many shots are drawn. */

#define SHOTS 20000
#define SHOTS_PER_PROTOCOL 50 /* one changed protocol for so many shots */
#define MOST_NUMBERS 1000
#define ENDINGS 4

static const char *const endings[ENDINGS] = {"complete", "enough", "capped", "broken"};

/* Everything that a play reads. */
struct hostile {
	struct shot_support shot;
	struct rail_irregularity irregular[SHOT_BALLS][SHOT_IRREGULAR];
	bool present[SHOT_BALLS];
	double *numbers[MOST_NUMBERS]; /* each of them */
	size_t count;
};

static long shots_wanted(void)
{
	const char *text = getenv("HOSTILE_SHOTS");
	long wanted = text != NULL ? strtol(text, NULL, 10) : 0;

	return wanted > 0 ? wanted : SHOTS;
}

static size_t draw_below(struct random_stream *stream, size_t limit)
{
	return (size_t)(random_bits(stream) % limit);
}

static double log_uniform(struct random_stream *stream, double low, double high)
{
	return exp(shot_support_between(stream, log(low), log(high)));
}

static void add_numbers(struct hostile *hostile, double *numbers, size_t count)
{
	for (size_t i = 0; i < count && hostile->count < MOST_NUMBERS; i++)
		hostile->numbers[hostile->count++] = &numbers[i];
}

static void list_numbers(struct hostile *hostile)
{
	struct shot_support *shot = &hostile->shot;
	struct constant_terms *terms = &shot->constants.terms;

	hostile->count = 0;
	add_numbers(hostile, &shot->table.length, 1);
	add_numbers(hostile, &shot->table.width, 1);
	add_numbers(hostile, &shot->table.nose_height, 1);
	add_numbers(hostile, &shot->table.corner_mouth, 1);
	add_numbers(hostile, &shot->table.side_mouth, 1);
	add_numbers(hostile, shot->constants.value, CONSTANT_COUNT);
	add_numbers(hostile, &terms->slope_long, 1);
	add_numbers(hostile, &terms->slope_short, 1);
	add_numbers(hostile, &terms->liveliness_fall, 1);
	add_numbers(hostile, &terms->ball_friction_fall, 1);
	add_numbers(hostile, &terms->bed_restitution, 1);
	add_numbers(hostile, &shot->scene.tolerance, 1);
	for (size_t i = 0; i < shot->scene.ball_count; i++) {
		add_numbers(hostile, &shot->bodies[i].radius, 1);
		add_numbers(hostile, &shot->bodies[i].mass, 1);
		add_numbers(hostile, &shot->bodies[i].grip, 1);
		add_numbers(hostile, &shot->states[i].position.x, 1);
		add_numbers(hostile, &shot->states[i].position.y, 1);
		add_numbers(hostile, &shot->states[i].position.z, 1);
		add_numbers(hostile, &shot->states[i].velocity.x, 1);
		add_numbers(hostile, &shot->states[i].velocity.y, 1);
		add_numbers(hostile, &shot->states[i].velocity.z, 1);
		add_numbers(hostile, &shot->states[i].spin.x, 1);
		add_numbers(hostile, &shot->states[i].spin.y, 1);
		add_numbers(hostile, &shot->states[i].spin.z, 1);
		add_numbers(hostile, &hostile->irregular[i][0].liveliness, 1);
		add_numbers(hostile, &hostile->irregular[i][0].turn, 1);
	}
}

/* Some terms of the model, more often none. */
static void draw_terms(struct random_stream *stream, struct constant_terms *terms)
{
	if (random_bits(stream) % 4 == 0) {
		terms->slope_long = shot_support_between(stream, -0.01, 0.01);
		terms->slope_short = shot_support_between(stream, -0.01, 0.01);
	}
	if (random_bits(stream) % 4 == 0)
		terms->liveliness_fall = shot_support_between(stream, 0.0, 0.1);
	if (random_bits(stream) % 4 == 0)
		terms->ball_friction_fall = shot_support_between(stream, 0.0, 2.0);
	if (random_bits(stream) % 4 == 0)
		terms->bed_restitution = shot_support_between(stream, 0.0, 0.8);
}

/* A ball that moves in any way that a stroke or a contact could leave it in. */
static void draw_motion(struct random_stream *stream, struct ball_state *state, double radius)
{
	double heading = shot_support_between(stream, -M_PI, M_PI);
	double speed = log_uniform(stream, 1e-3, 12.0);

	state->velocity = vector3_make(speed * cos(heading), speed * sin(heading), 0.0);
	state->spin.x = speed / radius * random_normal(stream);
	state->spin.y = speed / radius * random_normal(stream);
	state->spin.z = speed / radius * random_normal(stream);
}

/* A scene and a start that a table can have. Few balls mostly, as the most are slow to play. */
static void draw_proper(struct random_stream *stream, struct hostile *hostile)
{
	struct shot_support *shot = &hostile->shot;
	size_t balls = 1 + draw_below(stream, random_bits(stream) % 8 == 0 ? SHOT_BALLS : 5);

	memset(hostile, 0, sizeof *hostile);
	shot_support_start(shot, balls);
	shot->table.pockets = random_bits(stream) % 2 == 0;
	if (random_bits(stream) % 2 == 0)
		shot_support_draw_constants(stream, &shot->constants);
	draw_terms(stream, &shot->constants.terms);
	for (size_t i = 0; i < balls && random_bits(stream) % 4 == 0; i++) {
		shot->bodies[i].radius *= shot_support_between(stream, 0.9, 1.1);
		shot->bodies[i].mass *= shot_support_between(stream, 0.7, 1.4);
		shot->bodies[i].grip = shot_support_between(stream, 0.5, 2.0);
	}
	shot_support_draw_shot(stream, shot);
	for (size_t i = 1; i < balls && random_bits(stream) % 2 == 0; i++)
		draw_motion(stream, &shot->states[i], shot->bodies[i].radius);
	for (size_t i = 0; i < balls; i++) {
		hostile->present[i] = i == 0 || random_bits(stream) % 8 != 0;
		for (int k = 0; k < SHOT_IRREGULAR; k++) {
			hostile->irregular[i][k].liveliness = 0.05 * random_uniform(stream);
			hostile->irregular[i][k].turn = 0.05 * random_uniform(stream) - 0.025;
		}
	}
	shot->scene.present = hostile->present;
	if (random_bits(stream) % 2 == 0)
		shot->scene.irregular =
		    (const struct rail_irregularity(*)[SHOT_IRREGULAR])hostile->irregular;
	list_numbers(hostile);
}

/* Balls that touch from the start, in a row, or frozen to rails. */
static void touch(struct random_stream *stream, struct hostile *hostile)
{
	struct shot_support *shot = &hostile->shot;

	for (size_t i = 1; i < shot->scene.ball_count; i++) {
		double way = shot_support_between(stream, -M_PI, M_PI);
		double reach = shot->bodies[i].radius + shot->bodies[i - 1].radius;
		struct vector3 *p = &shot->states[i].position;

		*p = shot->states[i - 1].position;
		p->x += reach * cos(way);
		p->y += reach * sin(way);
		p->z = shot->bodies[i].radius;
		if (random_bits(stream) % 4 == 0)
			p->x = random_bits(stream) % 2 == 0
			           ? shot->bodies[i].radius
			           : shot->table.width - shot->bodies[i].radius;
	}
}

/* Balls anywhere: inside one another, outside the table, below the bed. */
static void crowd(struct random_stream *stream, struct hostile *hostile)
{
	struct shot_support *shot = &hostile->shot;
	double span = log_uniform(stream, 1e-9, 10.0);
	bool together = random_bits(stream) % 2 == 0;

	if (!together)
		touch(stream, hostile);
	for (size_t i = 0; i < shot->scene.ball_count; i++) {
		struct vector3 *p = &shot->states[i].position;

		p->x = (together ? 0.6 : p->x) + shot_support_between(stream, -span, span);
		p->y = (together ? 1.2 : p->y) + shot_support_between(stream, -span, span);
		if (random_bits(stream) % 64 == 0)
			p->z = shot_support_between(stream, -span, span);
		if (random_bits(stream) % 8 == 0 && i > 0)
			*p = shot->states[i - 1].position;
		if (random_bits(stream) % 4 == 0)
			draw_motion(stream, &shot->states[i], shot->bodies[i].radius);
	}
}

/* Constants at their limits, at those of the formulas, and some beyond. */
static void stretch(struct random_stream *stream, struct hostile *hostile)
{
	static const double beyond[] = {0.0,  -0.0,  1.0, 1.0 + 1e-15,
	                                -0.3, 1e-12, 7.0, 0.9999999999};
	struct constants *constants = &hostile->shot.constants;
	double *terms[] = {&constants->terms.slope_long, &constants->terms.slope_short,
	                   &constants->terms.liveliness_fall, &constants->terms.ball_friction_fall,
	                   &constants->terms.bed_restitution};

	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct constant_prior *prior = constant_prior((enum constant_id)id);

		constants->value[id] =
		    random_bits(stream) % 2 == 0 ? prior->lowest : prior->highest;
		if (random_bits(stream) % 8 == 0)
			constants->value[id] =
			    beyond[draw_below(stream, sizeof beyond / sizeof beyond[0])];
	}
	for (size_t i = 0; i < sizeof terms / sizeof terms[0]; i++) {
		static const double values[] = {0.0,   0.0,    0.0,  0.0, 0.0, 0.0,
		                                0.001, -0.001, 0.02, 0.1, 1.0, -2.0};

		*terms[i] = values[draw_below(stream, sizeof values / sizeof values[0])];
	}
}

/* Puts numbers in that nobody would. */
static void poison(struct random_stream *stream, struct hostile *hostile)
{
	static const double bad[] = {NAN,     HUGE_VAL, -HUGE_VAL, 0.0,    -0.0,       5e-324,
	                             -5e-324, 1e-310,   DBL_MIN,   1e-160, DBL_MAX,    -DBL_MAX,
	                             1e154,   -1e155,   1e18,      1e6,    -1e6,       1.0,
	                             -1.0,    0.028575, 1e-9,      -1e-9,  DBL_EPSILON};

	for (size_t k = 1 + draw_below(stream, 3); k-- > 0;)
		*hostile->numbers[draw_below(stream, hostile->count)] =
		    bad[draw_below(stream, sizeof bad / sizeof bad[0])];
}

/* Every number of any size, or scaled. */
static void scale(struct random_stream *stream, struct hostile *hostile)
{
	double most = log_uniform(stream, 1.001, 1e6);

	for (size_t i = 0; i < hostile->count; i++)
		if (random_bits(stream) % 16 == 0)
			*hostile->numbers[i] *= log_uniform(stream, 1.0 / most, most) *
			                        (random_bits(stream) % 64 == 0 ? -1.0 : 1.0);
}

typedef void spoil(struct random_stream *stream, struct hostile *hostile);

static void leave(struct random_stream *stream, struct hostile *hostile)
{
	(void)stream;
	(void)hostile;
}

static spoil *const ways[] = {leave, touch, crowd, stretch, poison, scale};
static const char *const way_names[] = {"proper",    "touching", "crowded",
                                        "stretched", "poisoned", "scaled"};
#define WAYS (sizeof ways / sizeof ways[0])

static void draw_need(struct random_stream *stream, const struct shot_support *shot,
                      struct shot_need *need)
{
	memset(need, 0, sizeof *need);
	need->everything = random_bits(stream) % 4 != 0;
	need->struck = random_bits(stream) % 2 == 0;
	need->ball_contacts = (int)(random_bits(stream) % 3);
	need->sounds = (int)(random_bits(stream) % 3);
	for (size_t i = 0; i < shot->scene.ball_count; i++)
		need->rails[i] = (int)(random_bits(stream) % 3);
}

/* Plays shot number i, from a stream of its own, so that each can be repeated alone. */
static int play_hostile(long i, long counts[WAYS][ENDINGS], long *proper)
{
	static struct hostile hostile;
	static struct shot_record record;
	struct random_stream stream = random_start(5501, (uint64_t)i);
	size_t way = (size_t)i % WAYS;
	struct shot_need need;
	const char *wrong, *where;
	double rise;

	draw_proper(&stream, &hostile);
	ways[way](&stream, &hostile);
	draw_need(&stream, &hostile.shot, &need);
	*proper += shot_checks_proper(&hostile.shot.scene, hostile.shot.states);
	wrong = shot_checks_play(&hostile.shot.scene, hostile.shot.states, &need, &record);
	if (wrong == NULL) {
		counts[way][record.ending]++;
		return 0;
	}
	rise = shot_checks_rise(&where);
	fprintf(
	    stderr, "shot %ld (%s, %zu balls, ending %d): %s; energy rises at most by %.3g %s\n", i,
	    way_names[way], hostile.shot.scene.ball_count, (int)record.ending, wrong, rise, where);
	return 1;
}

START_TEST(hostile_shots_end)
{
	long counts[WAYS][ENDINGS] = {{0}}, wanted = shots_wanted(), proper = 0;
	const char *only = getenv("HOSTILE_SHOT"); /* the number of one shot, to look at it */
	int misses = 0;

	if (only != NULL) {
		ck_assert_int_eq(play_hostile(strtol(only, NULL, 10), counts, &proper), 0);
		return;
	}
	for (long i = 0; i < wanted; i++)
		misses += play_hostile(i, counts, &proper);
	for (size_t way = 0; way < WAYS; way++) {
		printf("%-10s", way_names[way]);
		for (int k = 0; k < ENDINGS; k++)
			printf(" %s %ld", endings[k], counts[way][k]);
		printf("\n");
	}
	printf("proper %ld of %ld, wrong %d\n", proper, wanted, misses);
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(proper, wanted / 4);
	for (int k = 0; k < ENDINGS && wanted >= SHOTS; k++)
		ck_assert_int_gt(counts[2][k] + counts[3][k] + counts[4][k] + counts[5][k], 0);
}
END_TEST

/* Changes some bytes of a text: mostly digits, so that many are still read. */
static size_t change_bytes(struct random_stream *stream, char *bytes, size_t length)
{
	static const char other[] = "-.0123456789eE{}[]\",:ntf\n \\\xff";
	size_t changes = 1 + draw_below(stream, 6);

	while (changes > 0) {
		char *byte = &bytes[draw_below(stream, length)];

		if (*byte >= '0' && *byte <= '9' && random_bits(stream) % 16 != 0)
			*byte = (char)('0' + draw_below(stream, 10));
		else if (random_bits(stream) % 64 == 0)
			*byte = other[draw_below(stream, sizeof other)];
		else
			continue;
		changes--;
	}
	return random_bits(stream) % 64 == 0 ? draw_below(stream, length) : length;
}

/* Plays every shot of a protocol that can be set up. */
static int play_protocol(const struct protocol *protocol, const struct table *table, long *played)
{
	static struct shot_record record;
	struct constants constants = constants_centre();
	struct ball_body bodies[BALL_ROLES];
	int misses = 0;

	for (int k = 0; k < BALL_ROLES; k++)
		bodies[k] = (struct ball_body){0.5 * table->ball_diameter, table->ball_mass, 1.0};
	for (size_t i = 0; i < protocol->shot_count; i++) {
		const struct shot_design *design = &protocol->shots[i];
		struct stroke stroke = shot_design_stroke(design);
		struct ball_state states[BALL_ROLES];
		struct shot_setup setup;
		const char *why = NULL, *wrong;

		if (!shot_setup_make(design, table, bodies, &setup, &why)) {
			misses += close_false(design->key, (int)i, "why is told", why != NULL);
			continue;
		}
		shot_setup_strike(&setup, design, &stroke, 0.3, 0.0, states);
		struct shot_scene scene = {.table = table,
		                           .constants = &constants,
		                           .ball_count = BALL_ROLES,
		                           .bodies = setup.bodies,
		                           .present = setup.present,
		                           .tolerance = CUSHION_TOLERANCE};
		wrong = shot_checks_play(&scene, states, NULL, &record);
		misses += close_false(design->key, (int)i, wrong, wrong == NULL);
		(*played)++;
	}
	return misses;
}

/* The bytes of a shipped protocol. */
static char *read_bytes(const char *name, size_t *length)
{
	FILE *file = fopen(session_support_path(name), "rb");
	char *bytes = malloc(1 << 20);

	ck_assert_ptr_nonnull(file);
	ck_assert_ptr_nonnull(bytes);
	*length = fread(bytes, 1, 1 << 20, file);
	fclose(file);
	ck_assert_uint_gt(*length, 1000);
	return bytes;
}

START_TEST(changed_protocols_end)
{
	static const char *const names[] = {"protocols/full.json", "protocols/phone.json",
	                                    "protocols/usual.json"};
	long wanted = shots_wanted() / SHOTS_PER_PROTOCOL, read = 0, played = 0;
	const struct table *presets;
	size_t count, length;
	int misses = 0;

	presets = table_presets(&count);
	for (long i = 0; i < wanted; i++) {
		struct random_stream stream = random_start(7793, (uint64_t)i);
		char *bytes = read_bytes(names[i % 3], &length);
		struct fault_list faults;
		struct protocol protocol;

		ck_assert_int_eq(fault_list_create(&faults), STATUS_OK);
		length = change_bytes(&stream, bytes, length);
		if (protocol_file_parse("changed.json", bytes, length, &protocol, &faults) ==
		    STATUS_OK) {
			read++;
			misses +=
			    play_protocol(&protocol, &presets[draw_below(&stream, count)], &played);
		} else {
			misses += close_false("changed", (int)i, "says why", faults.count > 0);
		}
		protocol_free(&protocol);
		fault_list_free(&faults);
		free(bytes);
	}
	printf("protocols: %ld changed, %ld read, %ld shots played\n", wanted, read, played);
	ck_assert_int_eq(misses, 0);
	ck_assert_int_gt(read, wanted / 10);
	ck_assert_int_lt(read, wanted);
}
END_TEST

int main(void)
{
	Suite *suite = suite_create("hostile shots");
	TCase *hostile = tcase_create("hostile");

	tcase_add_test(hostile, hostile_shots_end);
	tcase_add_test(hostile, changed_protocols_end);
	tcase_set_timeout(hostile, 0); /* a million takes as long as it takes */
	suite_add_tcase(suite, hostile);
	return close_run(suite);
}
