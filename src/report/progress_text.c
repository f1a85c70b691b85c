/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/progress_text.h"

#include <math.h>
#include <string.h>

#define BAR_WIDTH 20
#define PHASE_WIDTH 30
#define REMAINING_LIMIT 359999.0 /* 99:59:59 */

static void add_remaining(double seconds, struct text *out)
{
	unsigned long whole;

	if (!isfinite(seconds))
		return;
	whole = (unsigned long)ceil(seconds < REMAINING_LIMIT ? seconds : REMAINING_LIMIT);
	if (whole >= 3600)
		text_print(out, ", %lu:%02lu:%02lu left", whole / 3600, whole / 60 % 60, whole % 60);
	else
		text_print(out, ", %lu:%02lu left", whole / 60, whole % 60);
}

void progress_text(double fraction, double elapsed, const char *phase, struct text *out)
{
	size_t length = strlen(phase);
	int done;

	if (!(fraction > 0))
		fraction = 0;
	if (fraction > 1)
		fraction = 1;
	done = (int)(fraction * BAR_WIDTH);
	text_add_bytes(out, phase, length < PHASE_WIDTH ? length : PHASE_WIDTH);
	text_add(out, " [");
	for (int i = 0; i < BAR_WIDTH; i++)
		text_add(out, i < done ? "#" : "-");
	text_print(out, "] %3d %%", (int)(fraction * 100));
	if (fraction > 0)
		add_remaining(elapsed * (1 - fraction) / fraction, out);
}
