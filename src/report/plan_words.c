/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/plan_text.h"

#include <math.h>

#include "base/number.h"
#include "estimate/fit_states.h"
#include "report/plan_how.h"
#include "report/wording.h"

const char *plan_text_title(int quantity)
{
	return quantity < CONSTANT_COUNT
	           ? constant_prior((enum constant_id)quantity)->title
	           : wording_condition((enum condition_id)(quantity - CONSTANT_COUNT))->title;
}

void plan_text_percent(double share, struct text *out)
{
	char number[NUMBER_SIZE];

	number_print_fixed(100.0 * share, share < 0.0995 ? 1 : 0, number);
	text_print(out, "%s %%", number);
}

/* Error of a quantity that nothing but the prior tells. */
static double prior_error(const struct plan *plan, int quantity)
{
	const struct constant_prior *prior;

	if (quantity >= CONSTANT_COUNT)
		return plan->before[quantity];
	prior = constant_prior((enum constant_id)quantity);
	return prior->spread * constant_scale_slope((enum constant_id)quantity, prior->centre) /
	       prior->centre;
}

enum knowledge plan_text_state(const struct plan *plan, int quantity)
{
	double error = plan->expected[quantity];

	if (plan_quantity_needs_clock(quantity) && !plan->has_clock)
		return KNOWLEDGE_NOT_DETERMINED;
	if (error > (1.0 - FIT_LEARNED_ENOUGH) * prior_error(plan, quantity) &&
	    error > (1.0 - FIT_LEARNED_ENOUGH) * plan->before[quantity])
		return KNOWLEDGE_NOT_DETERMINED;
	return error > FIT_WEAK_ABOVE ? KNOWLEDGE_WEAK : KNOWLEDGE_DETERMINED;
}

/* What the shots that tell a constant need and the kit lacks. */
static const char *missing_kit(const struct plan_request *request, enum constant_id id)
{
	if (id == SPIN_FRICTION && !(request->kit & KIT_WATCH))
		return "only spin on the spot tells it well, and that needs a watch";
	if (!(request->kit & KIT_SOUND) && id == SLIDING_FRICTION)
		return "the sounds of a recording would tell it better: add sound to the kit";
	return NULL;
}

/* No plan has more strokes. */
static bool is_full(const struct plan *plan)
{
	int strokes = 0;

	for (size_t i = 0; i < plan->count; i++)
		strokes += plan->shots[i].design.tries;
	return strokes >= PLAN_STROKES;
}

const char *plan_text_reason(const struct plan_request *request, const struct plan *plan,
                             int quantity)
{
	enum constant_id id = plan_quantity_rests_on(quantity);
	double want = request->want[quantity];
	bool unknown = plan_text_state(plan, quantity) == KNOWLEDGE_NOT_DETERMINED;
	const char *missing;

	if (want > 0.0 ? plan->expected[quantity] <= want : !unknown)
		return NULL;
	if (plan_quantity_needs_clock(quantity) && !plan->has_clock)
		return "positions alone have no clock: add watch or sound to the kit";
	if (!(want > 0.0))
		return "it was not asked for, and no shot was chosen for it";
	missing = missing_kit(request, id);
	if (missing != NULL)
		return missing;
	if (request->minutes > 0.0 || request->strokes > 0 || is_full(plan))
		return "more shots would tell it better: allow more minutes or shots";
	return "no shot of this kit tells it better";
}

static const char *keep(struct arena *arena, struct text *words)
{
	const char *kept = words->failed || words->length == 0
	                       ? NULL
	                       : arena_copy(arena, words->bytes, words->length);

	text_free(words);
	return kept;
}

/* Those of the quantities from first on that are known, or the names of those that are not. */
static void add_list(const struct plan *plan, int first, int end, bool known, struct text *out)
{
	int count = 0;

	for (int q = first; q < end; q++) {
		if ((plan_text_state(plan, q) != KNOWLEDGE_NOT_DETERMINED) != known)
			continue;
		text_print(out, "%s%s", count > 0 ? ", " : "", plan_text_title(q));
		if (known) {
			text_add(out, " ");
			plan_text_percent(plan->expected[q], out);
		}
		count++;
	}
	if (count == 0)
		text_add(out, "none");
}

void plan_text_expected(const struct plan *plan, struct text *out)
{
	text_add(out, "Expected errors, 1 standard deviation relative to the value: ");
	add_list(plan, 0, CONSTANT_COUNT, true, out);
	text_add(out, "; in players' terms: ");
	add_list(plan, CONSTANT_COUNT, PLAN_QUANTITIES, true, out);
	text_add(out, "; not known: ");
	add_list(plan, 0, CONSTANT_COUNT, false, out);
	text_add(out, ".");
}

static const char *make_purpose(const struct plan_request *request, const struct plan *plan,
                                struct arena *arena)
{
	struct text words = {0};

	text_add(&words, "Chosen by restpoint plan for a table of the kind ");
	text_add(&words, request->session.table.preset);
	text_add(&words, ". ");
	plan_text_expected(plan, &words);
	return keep(arena, &words);
}

static bool fill_shot(const struct plan_shot *shot, double length, struct arena *arena,
                      struct shot_design *design)
{
	struct text words = {0};

	*design = shot->design;
	plan_how_title(shot->kind, &shot->design, &words);
	design->title = keep(arena, &words);
	plan_how_sentences(shot->kind, &shot->design, length, &words);
	design->how = keep(arena, &words);
	return design->title != NULL && design->how != NULL;
}

/* The kit that the shots really need. */
static unsigned kit_used(const struct plan_request *request, const struct plan *plan)
{
	unsigned kit = request->kit & KIT_TAPE;

	for (size_t i = 0; i < plan->count; i++) {
		const struct shot_design *design = &plan->shots[i].design;

		kit |= design->launch.by_ramp ? KIT_RAMP : 0u;
		kit |= design->watch_count > 0 ? KIT_WATCH : 0u;
		for (int number = 0; number < QUANTITY_COUNT; number++)
			if ((design->measure & (UINT32_C(1) << number)) &&
			    quantity_at(number).kind == QUANTITY_SOUND)
				kit |= KIT_SOUND;
	}
	return kit;
}

bool plan_text_protocol(const struct plan_request *request, const struct plan *plan,
                        const char *name, struct arena *arena, struct protocol *protocol)
{
	double seconds = plan->count > 0 ? plan->shots[plan->count - 1].seconds : 0.0;

	*protocol = (struct protocol){.name = name,
	                              .title = "Planned shots",
	                              .purpose = make_purpose(request, plan, arena),
	                              .minutes = ceil(seconds / 60.0),
	                              .kit = kit_used(request, plan),
	                              .shot_count = plan->count};
	protocol->shots = arena_allocate(arena, plan->count * sizeof *protocol->shots);
	if (protocol->shots == NULL || protocol->purpose == NULL)
		return false;
	for (size_t i = 0; i < plan->count; i++)
		if (!fill_shot(&plan->shots[i], request->session.table.length, arena,
		               &protocol->shots[i]))
			return false;
	return true;
}
