/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>

#include "verdict.h"

/* The recovery study in small, for every make check: the example sessions, and two sessions of each
 * protocol that is to determine everything, in which three intervals of fourteen may miss: seldom
 * more (once in 300 such runs when each holds the truth in 19 of 20 cases). */

int main(void)
{
	int failed = verdict_examples();

	failed |= verdict_protocol("full", 2, 4, 3);
	failed |= verdict_protocol("phone", 2, 4, 3);
	return failed | verdict_usual(1, 4);
}
