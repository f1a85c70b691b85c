/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/rails_text.h"

#include <math.h>

#include "base/number.h"
#include "report/paragraph.h"
#include "report/profile_text.h"

void rails_text_sentence(enum rail rail, bool grip, const struct estimate *factor,
                         struct text *out)
{
	double percent = 100.0 * (factor->best.value - 1.0);
	char shown[NUMBER_SIZE];

	number_print_fixed(fabs(percent), fabs(percent) < 10.0 ? 1 : 0, shown);
	if (grip)
		text_print(out, "the %s rail grips %s %% %s", rail_name(rail), shown,
		           percent < 0.0 ? "less" : "more");
	else
		text_print(out, "the %s rail is %s %% %s", rail_name(rail), shown,
		           percent < 0.0 ? "dead" : "lively");
}

static void print_factor(enum rail rail, bool grip, const struct estimate *factor,
                         struct text *out)
{
	struct text title = {0}, meaning = {0};

	text_print(&title, "%s of the %s rail", grip ? "grip" : "liveliness", rail_name(rail));
	text_print(&meaning, "cushion %s of this rail over that of all four",
	           grip ? "friction" : "restitution");
	if (profile_factor_stands_out(factor)) {
		text_add(&meaning, "; beyond doubt: ");
		rails_text_sentence(rail, grip, factor, &meaning);
	}
	profile_text_estimate(text_bytes(&title), factor, "", text_bytes(&meaning),
	                      grip ? "send a ball with side squarely to this rail and to the one "
	                             "across, and read where each comes back"
	                           : "roll a ball squarely to this rail and to the one across, and "
	                             "read where it stops or time it",
	                      out);
	out->failed = out->failed || title.failed || meaning.failed;
	text_free(&title);
	text_free(&meaning);
}

void rails_text_print(const struct profile_rails *rails, struct text *out)
{
	text_add(out, "\nRails (factors about the mean of the four, value \302\261 standard error)\n");
	for (int grip = 0; grip < 2; grip++)
		for (int rail = 0; rail < RAIL_COUNT; rail++)
			print_factor((enum rail)rail, grip == 1,
			             grip == 1 ? &rails->rail[rail].grip
			                       : &rails->rail[rail].liveliness,
			             out);
}
