/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "../reference/close.h"

#include <stdlib.h>

#include "../fuzz/shot_checks.h"
#include "files/protocol_file.h"
#include "hostile_draw.h"
#include "physics/cushion.h"
#include "session_support.h"
#include "shot/setup.h"

/* Shipped protocols with some bytes changed: each is refused with a reason, or its shots are played
 * to an end by the rules of ../fuzz/shot_checks.h. One protocol for PER_PROTOCOL of HOSTILE_SHOTS. */

#define SHOTS 20000
#define PER_PROTOCOL 50

/* Changes some bytes of a text: mostly digits, so that many are still read. */
static size_t change_bytes(struct random_stream *stream, char *bytes, size_t length)
{
	static const char other[] = "-.0123456789eE{}[]\",:ntf\n \\\xff";
	size_t changes = 1 + hostile_draw_below(stream, 6);

	while (changes > 0) {
		char *byte = &bytes[hostile_draw_below(stream, length)];

		if (*byte >= '0' && *byte <= '9' && random_bits(stream) % 16 != 0)
			*byte = (char)('0' + hostile_draw_below(stream, 10));
		else if (random_bits(stream) % 64 == 0)
			*byte = other[hostile_draw_below(stream, sizeof other)];
		else
			continue;
		changes--;
	}
	return random_bits(stream) % 64 == 0 ? hostile_draw_below(stream, length) : length;
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
	long wanted = hostile_shots_wanted(SHOTS) / PER_PROTOCOL, read = 0, played = 0;
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
			misses += play_protocol(
			    &protocol, &presets[hostile_draw_below(&stream, count)], &played);
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
	Suite *suite = suite_create("changed protocols");
	TCase *changed = tcase_create("changed");

	tcase_add_test(changed, changed_protocols_end);
	tcase_set_timeout(changed, 0);
	suite_add_tcase(suite, changed);
	return close_run(suite);
}
