/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "outside_match.h"

#include <math.h>
#include <stdlib.h>

static bool same_kind(const struct outside_event *truth, const struct shot_event *got)
{
	switch (truth->kind) {
	case OUTSIDE_RAIL:
		return got->kind == EVENT_RAIL && truth->rail == got->rail;
	case OUTSIDE_POCKET:
		return got->kind == EVENT_POCKET && truth->rail == got->rail;
	default:
		return got->kind == EVENT_BALLS && truth->other == got->other;
	}
}

double outside_match_distance(const struct outside_record *truth, const struct shot_record *got,
                              size_t balls)
{
	double most = 0.0;

	if (truth->outcome != OUTSIDE_PLAYED || got->ending != SHOT_COMPLETE ||
	    truth->event_count != got->event_count)
		return HUGE_VAL;
	for (size_t k = 0; k < truth->event_count; k++) {
		const struct outside_event *a = &truth->events[k];
		const struct shot_event *b = &got->events[k];

		if (!same_kind(a, b) || a->ball != b->ball)
			return HUGE_VAL;
		most = fmax(most, vector3_norm(vector3_subtract(a->position, b->position)));
	}
	for (size_t i = 0; i < balls; i++)
		most = fmax(most, vector3_norm(vector3_subtract(truth->ends[i].position,
		                                                got->ends[i].position)));
	return most;
}

/* Plays the shot once at an accuracy. False when memory is out. */
static bool play_once(const struct outside_scene *scene, const struct ball_state *states,
                      size_t balls, const struct outside_accuracy *accuracy,
                      struct outside_record *record)
{
	struct outside_player *player = outside_player_open(balls, accuracy);

	if (player == NULL)
		return false;
	outside_player_play(player, scene, states, record);
	outside_player_close(player);
	return true;
}

/* Tries ever finer accuracies until two in a row are fine enough. */
static bool find_coarsest(const struct outside_scene *scene, const struct ball_state *states,
                          size_t balls, double error, const struct outside_record *truth,
                          struct outside_record *tried, struct outside_accuracy *accuracy,
                          double *found)
{
	const double finer = 0.31622776601683794;
	struct outside_accuracy now = {1e-2, 1e-3, 0.0};
	bool fine = false;

	for (; now.relative > 9e-14; now.relative *= finer, now.absolute *= finer) {
		double distance;

		if (!play_once(scene, states, balls, &now, tried))
			return false;
		distance = outside_record_distance(truth, tried, balls);
		if (distance > error) {
			fine = false;
			continue;
		}
		if (fine)
			return true;
		fine = true;
		*accuracy = now;
		*found = distance;
	}
	return fine;
}

bool outside_match_accuracy(const struct outside_scene *scene, const struct ball_state *states,
                            size_t balls, double error, struct outside_accuracy *accuracy,
                            double *found)
{
	struct outside_accuracy proof = OUTSIDE_PROOF;
	struct outside_record *records = calloc(2, sizeof *records);
	bool matched =
	    records != NULL && play_once(scene, states, balls, &proof, &records[0]) &&
	    records[0].outcome == OUTSIDE_PLAYED &&
	    find_coarsest(scene, states, balls, error, &records[0], &records[1], accuracy, found);

	free(records);
	return matched;
}
