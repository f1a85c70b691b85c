/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_REPORT_CARD_JSON_H
#define RESTPOINT_REPORT_CARD_JSON_H

#include "base/text.h"
#include "report/card.h"

/* A card in numbers: one object of format "restpoint-card", with what its sheets say.
 *   files  the file of each sheet, in their order; one for all where file_count is 1 */
void card_json_print(const struct card_set *set, const char *const *files, size_t file_count,
                     struct text *out);

#endif
