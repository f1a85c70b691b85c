/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/command.h"

#include "cli/inputs.h"
#include "report/measurement_text.h"
#include "report/remarks.h"

static enum status answer(struct invocation *invocation, const struct inputs *inputs)
{
	const struct measurement *measurement = &inputs->measurements[0];
	struct remarks remarks;

	if (!remarks_create(&remarks))
		return command_memory_out(invocation);
	remarks_measurement(&remarks, measurement, inputs->protocols[0]);
	if (invocation->messages.json)
		measurement_json_print(measurement, inputs->protocols[0], &remarks, &invocation->answer);
	else
		measurement_text_print(measurement, inputs->protocols[0], &remarks, &invocation->answer);
	invocation->answer.failed = invocation->answer.failed || remarks.failed;
	remarks_free(&remarks);
	return STATUS_OK;
}

static enum status run(struct invocation *invocation)
{
	struct inputs inputs;
	enum status status = inputs_read(invocation, &inputs);

	if (status == STATUS_OK)
		status = answer(invocation, &inputs);
	inputs_free(&inputs);
	return status;
}

static const struct option_rule rules[] = {
	{0, "protocol", "P", "read by this protocol (a name or a path) in place of the file's", false},
	{0, NULL, NULL, NULL, false},
};

const struct command command_check = {
	.name = "check",
	.summary = "reads a measurement file and says what it understood, or every fault",
	.usage = "restpoint check FILE.csv [--protocol=P] [--json]",
	.purpose = "Reads a measurement file and says what it understood: table, balls, errors, "
			   "protocol, and for each shot the strokes and the range of each reading. Where "
			   "the file is refused every fault is told at once, with its line and cell.",
	.options = rules,
	.operands_least = 1,
	.operands_most = 1,
	.run = run,
};
