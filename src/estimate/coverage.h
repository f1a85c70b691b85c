/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_COVERAGE_H
#define RESTPOINT_ESTIMATE_COVERAGE_H

/* How many standard deviations a 95 % interval reaches either way: the 97.5 % point of Student's
 * distribution, JCGM 100:2008 (GUM), G.3.
 *   degrees_of_freedom  what the standard deviation was itself estimated from, > 0 and not
 *                       necessarily whole; HUGE_VAL for one that was stated: 1.96 */
double coverage_factor(double degrees_of_freedom);

#endif
