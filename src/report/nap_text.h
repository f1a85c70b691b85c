/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_NAP_TEXT_H
#define RESTPOINT_REPORT_NAP_TEXT_H

#include "base/text.h"
#include "model/profile.h"

/* How the nap of a cloth pushes rolling balls, as a block of a profile that holds it. */
void nap_text_print(const struct profile *profile, struct text *out);

#endif
