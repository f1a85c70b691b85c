/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_SHOT_BATCH_H
#define RESTPOINT_SHOT_BATCH_H

#include <stddef.h>

#include "base/status.h"
#include "shot/play.h"

/* Many shots at once, on as many processors as there are. */

/* One shot to play: what shot_play is given. */
struct shot_job {
	const struct shot_scene *scene;
	const struct ball_state *states;
	const struct shot_need *need; /* may be NULL, as in shot_play: everything */
	struct shot_record *record;   /* receives the result; not that of another job */
};

/* Plays every job, each as shot_play does, to the bit, whatever the number of threads. Jobs may
 * share scenes, tables, bodies, constants, states and needs: a play reads them only. What a scene's
 * trace receives would be mixed up: a scene that wants one belongs to one job.
 *   threads  0: as many as processors are online (parallel_threads)
 * STATUS_OK: every record is filled; look at its ending. */
enum status shot_batch_play(const struct shot_job *jobs, size_t count, unsigned threads);

#endif
