/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/number.h"
#include "report/plan_text.h"

/* Whether a session of the plan times by a recording. */
static bool hears(const struct plan_answer *answer)
{
	return (answer->protocol->kit & KIT_SOUND) != 0;
}

static bool rolls_from_ramp(const struct plan_answer *answer)
{
	return (answer->protocol->kit & KIT_RAMP) != 0;
}

void plan_remarks_fill(const struct plan_answer *answer, struct remarks *remarks)
{
	const struct session *session = &answer->request->session;
	char error[NUMBER_SIZE];

	remarks_table(remarks, &session->table);
	if (session->errors.position != ERROR_DEFAULT_POSITION) {
		number_print(session->errors.position, error);
		remarks_add(
		    remarks,
		    "A rest is taken to be read to %s diamonds: write #position_error,%s into "
		    "the measurement file, or what you really read to.",
		    error, error);
	}
	if (hears(answer) && !session->microphone_known)
		remarks_add(remarks,
		            "Where the phone lies is taken as not known; with "
		            "#microphone_long and #microphone_short in the measurement file "
		            "the sounds tell more.");
	if (rolls_from_ramp(answer))
		remarks_add(remarks,
		            "All shots from the ramp start at one mark of it, so that they "
		            "share one release speed.");
	if (answer->request->known.has_clock)
		remarks_add(remarks,
		            "What is known of the cloth counts for this session, too: fit its "
		            "file together with the earlier ones.");
}
