/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "advise/player_draws.h"

struct player_draws player_draws_exact(void)
{
	return (struct player_draws){.scatter = {0.0}};
}

struct player_draws player_draws_anybody(void)
{
	struct player_draws draws = {.scatter = {0.0}};

	draws.habit_spread[SHARED_HEIGHT] = 1.0;
	draws.habit_spread[SHARED_SIDE] = 1.0;
	draws.habit_spread[SHARED_AIM] = 1.0;
	for (int i = 0; i < OWN_STROKE; i++)
		draws.scatter[i] = 1.0;
	return draws;
}

void player_draws_take(const struct player_draws *draws, struct random_stream *stream,
                       double shared[SHARED_UNKNOWNS], double own[OWN_UNKNOWNS])
{
	for (int i = 0; i < SHARED_HABITS; i++)
		shared[i] = draws->habit[i] + draws->habit_spread[i] * random_normal(stream);
	for (int i = 0; i < OWN_STROKE; i++)
		own[i] = draws->scatter[i] * random_normal(stream);
}
