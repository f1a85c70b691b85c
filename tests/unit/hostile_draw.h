/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_HOSTILE_DRAW_H
#define RESTPOINT_TESTS_HOSTILE_DRAW_H

#include "shot_support.h"

/* Random scenes and starts that no table has. */

#define HOSTILE_NUMBERS 1000 /* at most */
#define HOSTILE_WAYS 6

extern const char *const hostile_way_names[HOSTILE_WAYS];

/* Everything that a play reads. Must not be copied. */
struct hostile {
	struct shot_support shot;
	struct shot_need need;
	struct rail_irregularity irregular[SHOT_BALLS][SHOT_IRREGULAR];
	bool present[SHOT_BALLS];
	double *numbers[HOSTILE_NUMBERS]; /* each of them */
	size_t count;
};

/* Shot number i, from a stream of its own, so that each can be repeated alone. Its way is i modulo
 * HOSTILE_WAYS: such as a table can have, touching, crowded, constants at their limits and beyond,
 * numbers that nobody would write, numbers scaled. */
void hostile_draw(long i, struct hostile *hostile);

/* How many shots to draw: the environment variable HOSTILE_SHOTS, or else `usual`; and the number of
 * the first: HOSTILE_FIRST, or else 0. */
long hostile_shots_wanted(long usual);
long hostile_first(void);

/* Below limit. */
size_t hostile_draw_below(struct random_stream *stream, size_t limit);

#endif
