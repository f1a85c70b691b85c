/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_PROGRESS_TEXT_H
#define RESTPOINT_REPORT_PROGRESS_TEXT_H

#include "base/text.h"

/* One line that shows how far work is, without a line end, at most 79 columns:
 *   fitting [#######-------------]  35 %, 0:52 left
 *   fraction  done, 0 to 1 (beyond is cut)
 *   elapsed   since the work began [s]
 *   phase     a word or two; cut to 30 columns */
void progress_text(double fraction, double elapsed, const char *phase, struct text *out);

#endif
