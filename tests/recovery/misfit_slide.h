/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_TESTS_MISFIT_SLIDE_H
#define RESTPOINT_TESTS_MISFIT_SLIDE_H

/* Sliding friction that falls with slip speed, which the engine does not have: a program linked with
 * --wrap=cloth_motion_start,--wrap=cloth_advance and misfit_slide.c plays it. sliding_friction then
 * holds at a slip of 1 m/s and is exp(-fall (slip - 1 m/s)) of that elsewhere.
 *
 * The friction keeps its direction while a ball slides, whatever its size, so that a slide remains
 * one straight push, only of changing strength. It is played in pieces over each of which the slip
 * falls by MISFIT_PIECE and the friction is that of the middle: the time of a piece is then wrong by
 * (fall * piece)^2 / 24 of itself, 4e-6 for a fall of 0.1 s/m. A level bed only; in a cushion's
 * impact the friction stays that of 1 m/s. */

#define MISFIT_PIECE 0.1 /* [m/s] */

/* Sets the fall [s/m] for all that is played from now on in this process; 0, the default, leaves the
 * engine as it is. No two threads may play different ones. */
void misfit_slide_set(double fall);

#endif
