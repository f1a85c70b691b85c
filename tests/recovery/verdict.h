/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_RECOVERY_VERDICT_H
#define RESTPOINT_TESTS_RECOVERY_VERDICT_H

#include <stddef.h>
#include <stdint.h>

/* What is asked of each study. Each runs it, prints it, says what failed, and returns 0 when it
 * passed, else 1. */

#define VERDICT_BY_COUNT (-1L)

/* Constants of the four noisy example sessions inside their intervals in at least 25 of 28
 * cases. */
int verdict_examples(void);

/* The truth inside the 95 % intervals in at least nine of ten (constant, session) pairs (or with at
 * most allowed_misses outside), chi-squares believable in all but one of twenty sessions. */
int verdict_protocol(const char *protocol, size_t repeats, uint64_t seed, long allowed_misses);

/* `usual` with six times as many tries never calls a cloth friction weak or determined: its tip
 * error hides them (shots.md: measured before anything was built). */
int verdict_usual(size_t repeats, uint64_t seed);

#endif
