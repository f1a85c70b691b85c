/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/random.h"

#include <math.h>

/* The step and the finaliser of splitmix64 (Steele, Lea & Flood, OOPSLA 2014; public-domain code
 * by Vigna, 2015). For one input there is one output and the other way round. */
#define SPLITMIX_STEP UINT64_C(0x9E3779B97F4A7C15)

static uint64_t splitmix_mix(uint64_t z)
{
	z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
	z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
	return z ^ (z >> 31);
}

struct random_stream random_start(uint64_t seed, uint64_t number)
{
	struct random_stream stream;
	uint64_t state;

	/* Mixed between seed and number, so that seed 1 number 2 is not seed 2 number 1, and no two
	 * numbers under one seed start alike. Four different states cannot all give 0, the one
	 * state that xoshiro must not have. */
	state = splitmix_mix(splitmix_mix(seed + SPLITMIX_STEP) + number);
	for (int i = 0; i < 4; i++) {
		state += SPLITMIX_STEP;
		stream.state[i] = splitmix_mix(state);
	}
	return stream;
}

static uint64_t rotate_left(uint64_t value, int count)
{
	return (value << count) | (value >> (64 - count));
}

uint64_t random_bits(struct random_stream *stream)
{
	uint64_t *s = stream->state;
	uint64_t result = rotate_left(s[0] + s[3], 23) + s[0];
	uint64_t shifted = s[1] << 17;

	s[2] ^= s[0];
	s[3] ^= s[1];
	s[1] ^= s[2];
	s[0] ^= s[3];
	s[2] ^= shifted;
	s[3] = rotate_left(s[3], 45);
	return result;
}

double random_uniform(struct random_stream *stream)
{
	return (double)(random_bits(stream) >> 11) * 0x1p-53;
}

double random_normal(struct random_stream *stream)
{
	double u, v, square;

	do {
		u = 2.0 * random_uniform(stream) - 1.0;
		v = 2.0 * random_uniform(stream) - 1.0;
		square = u * u + v * v;
	} while (square >= 1.0 || square == 0.0);
	return u * sqrt(-2.0 * log(square) / square);
}
