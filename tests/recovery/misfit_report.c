/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "misfit_report.h"

#include <math.h>

#include <gsl/gsl_cdf.h>

#include "estimate/omissions.h"

#define UNLIKELY 0.01
#define SEEN_POWER 0.9
#define SEEN_SHARE 0.8
#define LARGE_BIAS 2.0
#define UNSEEN_POWER 0.5
#define NAMED_SHARE 0.5

static void add_constants(const struct misfit_outcome *outcome, struct misfit_cell *cell)
{
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		const struct misfit_constant *constant = &outcome->constants[id];

		cell->bias[id] += constant->z;
		cell->square[id] += constant->z * constant->z;
		cell->linear[id] += constant->foreseen;
		cell->known[id] += constant->known;
		cell->held[id] += constant->holds;
		cell->named[id] += constant->named;
		cell->widened[id] += constant->widened;
		if (fabs(constant->z) > fabs(cell->worst[id]))
			cell->worst[id] = constant->z;
	}
}

static void add_outcome(const struct misfit_outcome *outcome, struct misfit_cell *cell)
{
	cell->answered++;
	cell->scaled += outcome->scaled > 0.0;
	cell->aside += (size_t)outcome->set_aside;
	cell->foreseen += outcome->noncentrality;
	cell->power += outcome->power;
	add_constants(outcome, cell);
	if (isnan(outcome->p))
		return;
	cell->tested++;
	cell->flagged += outcome->p < MISFIT_LEVEL;
	cell->between += outcome->between;
	cell->between_freedom += outcome->between_freedom;
	cell->within += outcome->within;
	cell->within_freedom += outcome->within_freedom;
}

static void take_means(struct misfit_cell *cell)
{
	double tested = (double)cell->tested, answered = (double)cell->answered;

	cell->between /= tested;
	cell->between_freedom /= tested;
	cell->within /= tested;
	cell->within_freedom /= tested;
	cell->foreseen /= answered;
	cell->power /= answered;
	for (int id = 0; id < CONSTANT_COUNT; id++) {
		cell->bias[id] /= answered;
		cell->square[id] /= answered;
		cell->linear[id] /= answered;
		cell->known[id] /= answered;
		cell->held[id] /= answered;
		cell->named[id] /= answered;
		cell->widened[id] /= answered;
	}
}

void misfit_cell_fill(const struct misfit_outcome *outcomes, size_t count,
                      const struct misfit_cell *none, struct misfit_cell *cell)
{
	*cell = (struct misfit_cell){
	    .protocol = cell->protocol, .number = cell->number, .sessions = count};
	for (size_t i = 0; i < count; i++)
		if (outcomes[i].answered > 0.0)
			add_outcome(&outcomes[i], cell);
	take_means(cell);
	cell->noncentrality = cell->between - cell->between_freedom;
	if (none != NULL)
		cell->noncentrality -= none->between - none->between_freedom;
}

void misfit_share(size_t x, size_t n, double *low, double *high)
{
	*low = x == 0 ? 0.0 : gsl_cdf_beta_Pinv(0.025, (double)x, (double)(n - x) + 1.0);
	*high = x == n ? 1.0 : gsl_cdf_beta_Pinv(0.975, (double)x + 1.0, (double)(n - x));
}

void misfit_report_legend(FILE *stream)
{
	fprintf(
	    stream,
	    "between, within: mean squares over degrees of freedom; nc: noncentrality of "
	    "between, found\nand by linear theory; power: of a lack-of-fit p below %.2f, by "
	    "linear theory; z: error of the\nconstant in told standard errors; known: share of "
	    "sessions that tell it; held: share of told\n95 %% intervals that hold the truth.\n",
	    MISFIT_LEVEL);
	for (int i = 0; i < MISFIT_CASES; i++)
		fprintf(stream, "  %s: %s (%s)\n", misfit_rule((enum misfit_case)i)->name,
		        misfit_rule((enum misfit_case)i)->what,
		        misfit_rule((enum misfit_case)i)->source);
}

void misfit_report_print(const struct misfit_cell *cell, FILE *stream)
{
	double low, high;

	misfit_share(cell->flagged, cell->tested, &low, &high);
	fprintf(stream,
	        "%s, %s: %zu of %zu answered, %zu scaled, %zu strokes set aside\n"
	        "  between %.2f of %.2f, within %.2f of %.2f, nc %.2f (linear %.2f), power %.2f, "
	        "flagged %zu of %zu (%.0f to %.0f %%)\n",
	        cell->protocol, misfit_rule(cell->number)->name, cell->answered, cell->sessions,
	        cell->scaled, cell->aside, cell->between, cell->between_freedom, cell->within,
	        cell->within_freedom, cell->noncentrality, cell->foreseen, cell->power,
	        cell->flagged, cell->tested, 100.0 * low, 100.0 * high);
	fprintf(stream, "  %-22s %7s %7s %7s %7s %6s %6s %6s %6s\n", "constant", "mean z", "rms z",
	        "worst z", "linear", "known", "held", "named", "with");
	for (int id = 0; id < CONSTANT_COUNT; id++)
		fprintf(stream, "  %-22s %+7.2f %7.2f %+7.2f %+7.2f %6.2f %6.2f %6.2f %6.2f%s\n",
		        constant_prior((enum constant_id)id)->title, cell->bias[id],
		        sqrt(cell->square[id]), cell->worst[id], cell->linear[id], cell->known[id],
		        cell->held[id], cell->named[id], cell->widened[id],
		        fabs(cell->bias[id]) > LARGE_BIAS && cell->power < UNSEEN_POWER
		            ? "  large and unseen"
		            : "");
}

/* A large and unseen shift must be named by the fit, and its interval hold the truth with it. */
static size_t judge_named(const struct misfit_cell *cell, enum constant_id id, FILE *stream)
{
	unsigned n = (unsigned)cell->answered;
	unsigned held = (unsigned)lround(cell->widened[id] * n);

	/* A shift that linear theory does not have is chance, not the omission. */
	if (!(fabs(cell->bias[id]) > LARGE_BIAS) || !(fabs(cell->linear[id]) > OMISSION_LARGE) ||
	    cell->power >= UNSEEN_POWER || cell->known[id] < 1.0)
		return 0;
	if (cell->named[id] >= NAMED_SHARE && gsl_cdf_binomial_P(held, SEEN_SHARE, n) >= UNLIKELY)
		return 0;
	fprintf(stream,
	        "FAILED %s, %s: %s is off by %.1f, named in %.0f %%, then held in %.0f %%\n",
	        cell->protocol, misfit_rule(cell->number)->name, constant_prior(id)->title,
	        cell->bias[id], 100.0 * cell->named[id], 100.0 * cell->widened[id]);
	return 1;
}

size_t misfit_verdict(const struct misfit_cell *cell, FILE *stream)
{
	unsigned n = (unsigned)cell->tested, x = (unsigned)cell->flagged;
	bool none = cell->number == MISFIT_NONE || cell->number == MISFIT_STEADY;
	size_t failed = 0;

	if (cell->answered < cell->sessions)
		fprintf(stream, "note %s, %s: %zu sessions without answer\n", cell->protocol,
		        misfit_rule(cell->number)->name, cell->sessions - cell->answered);
	if (none && x > 0 && gsl_cdf_binomial_Q(x - 1, MISFIT_LEVEL, n) < UNLIKELY) {
		fprintf(stream, "FAILED %s, %s: %u of %u flagged, more than %g %%\n",
		        cell->protocol, misfit_rule(cell->number)->name, x, n,
		        100.0 * MISFIT_LEVEL);
		failed++;
	}
	if (!none && cell->power >= SEEN_POWER && gsl_cdf_binomial_P(x, SEEN_SHARE, n) < UNLIKELY) {
		fprintf(stream, "FAILED %s, %s: %u of %u flagged at a power of %.2f\n",
		        cell->protocol, misfit_rule(cell->number)->name, x, n, cell->power);
		failed++;
	}
	for (int id = 0; id < CONSTANT_COUNT && !none; id++)
		failed += judge_named(cell, (enum constant_id)id, stream);
	return failed;
}
