/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_BASE_RANDOM_H
#define RESTPOINT_BASE_RANDOM_H

#include <stdint.h>

/* The seed used when the person gives none; echoed in every output that used randomness. */
#define RANDOM_DEFAULT_SEED 1u

/* A seeded stream of random numbers, the same on every machine: xoshiro256++ of Blackman & Vigna,
 * ACM Trans. Math. Softw. 47, 36 (2021), started by splitmix64. Not for secrets. */
struct random_stream {
	uint64_t state[4];
};

/* The stream of that number under a seed: streams of different numbers are independent, so work
 * may be split without its result depending on the order. */
struct random_stream random_start(uint64_t seed, uint64_t number);

/* The next 64 bits of the generator itself. */
uint64_t random_bits(struct random_stream *stream);

/* Uniform in [0, 1), 53 bits. */
double random_uniform(struct random_stream *stream);

/* Standard normal (Marsaglia's polar method, nothing kept between calls). */
double random_normal(struct random_stream *stream);

#endif
