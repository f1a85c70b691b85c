/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include "files/profile_file.h"
#include "report/profile_text.h"

static enum status run(struct invocation *invocation)
{
	struct profile profile;
	struct fault_list faults;
	enum status status = fault_list_create(&faults);

	if (status != STATUS_OK)
		return command_memory_out(invocation);
	status = profile_file_read(invocation->options.operands[0], &profile, &faults);
	messages_faults(&invocation->messages, &faults);
	if (status == STATUS_OK) {
		if (invocation->messages.json)
			profile_file_print(&profile, &invocation->answer);
		else
			profile_text_print(&profile, &invocation->answer);
		profile_free(&profile);
	}
	fault_list_free(&faults);
	return status;
}

static const struct option_rule rules[] = {
	{0, NULL, NULL, NULL, false},
};

const struct command command_show = {
	.name = "show",
	.summary = "shows a profile in players' terms and in physical ones",
	.usage = "restpoint show PROFILE.json [--json]",
	.purpose = "Shows a profile: first how the table plays in players' terms, then the physical "
			   "constants, each with its 95 % interval, and for what is not known the shot that "
			   "would settle it. With --json it prints the profile itself.",
	.options = rules,
	.operands_least = 1,
	.operands_most = 1,
	.run = run,
};
