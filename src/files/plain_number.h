/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_PLAIN_NUMBER_H
#define RESTPOINT_FILES_PLAIN_NUMBER_H

#include "base/text.h"

/* Adds value * unit as digits without exponent, as a measurement file wants them.
 *   unit      what 1 is written as: diamond_value, frames per second, or 1
 *   decimals  digits after the point, or -1 for as many as it takes that the number written,
 *             divided by the unit, is the same double again. Where no double is (that happens only
 *             to a value that was never read from a file of that unit), the nearest is taken. */
void plain_number_print(struct text *out, double value, double unit, int decimals);

#endif
