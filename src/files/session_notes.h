/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_FILES_SESSION_NOTES_H
#define RESTPOINT_FILES_SESSION_NOTES_H

#include <stdbool.h>

#include "model/measurement.h"

/* Whether a note is a number: days, degrees or percent. */
bool session_note_is_number(enum session_note note);

/* NULL when the text is accepted for that note (a number written with `.`, a date, any text that
 * is not blank); else the words for what is accepted. */
const char *session_note_check(enum session_note note, const char *text);

#endif
