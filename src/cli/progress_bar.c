/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/progress_bar.h"

#include <stdio.h>
#include <time.h>
#include <unistd.h>

#include "base/text.h"
#include "cli/signals.h"
#include "report/paragraph.h"
#include "report/progress_text.h"

#define QUIET_SECONDS 1.0
#define REDRAW_SECONDS 0.1

static double seconds_now(void)
{
	struct timespec now;

	if (clock_gettime(CLOCK_MONOTONIC, &now) != 0)
		return 0;
	return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* Writes a line over the one that stands there. */
static void draw(struct progress_bar *bar, const char *words)
{
	size_t columns = text_columns(words);
	struct text line = {0};

	text_print(&line, "\r%s", words);
	if (columns < bar->columns)
		paragraph_blanks(&line, bar->columns - columns);
	if (columns == 0)
		text_add(&line, "\r");
	if (!line.failed) {
		fwrite(line.bytes, 1, line.length, stderr);
		fflush(stderr);
		bar->columns = columns;
	}
	text_free(&line);
}

static void report(void *context, double fraction, const char *phase)
{
	struct progress_bar *bar = context;
	double now = seconds_now();
	struct text words = {0};

	if (now - bar->started < QUIET_SECONDS || now - bar->drawn < REDRAW_SECONDS)
		return;
	progress_text(fraction, now - bar->started, phase, &words);
	draw(bar, text_bytes(&words));
	bar->drawn = now;
	text_free(&words);
}

void progress_bar_start(struct progress_bar *bar, struct progress *progress)
{
	bar->wanted = isatty(STDERR_FILENO) == 1;
	bar->started = seconds_now();
	bar->drawn = bar->started;
	bar->columns = 0;
	progress->stop = signals_flag();
	progress->report = bar->wanted ? report : NULL;
	progress->context = bar;
}

void progress_bar_clear(struct progress_bar *bar)
{
	if (bar->columns > 0)
		draw(bar, "");
}
