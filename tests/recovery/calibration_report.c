/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "calibration_report.h"

#include <math.h>

void calibration_report_legend(FILE *to)
{
	fputs("Tables drawn from the whole prior, players with habits of their own, fitted.\n"
	      "  68, 95     intervals of the draws that hold the truth, %, in all sessions\n"
	      "  told       95 % intervals as the program tells them that do, %\n"
	      "  n          sessions that call the constant determined, and the same of them\n"
	      "  z, rms     (mean of the draws - truth) / their standard deviation: mean with its\n"
	      "             standard error, and root mean square\n"
	      "  error      median standard error, % of the value\n"
	      "  learned    median share by which the measurements narrowed the prior, %\n"
	      "  rank p     chi-square of the places of the truth among the draws against even\n",
	      to);
}

static double percent(size_t part, size_t whole)
{
	return 100.0 * (double)part / (double)whole;
}

static void print_sessions(const struct calibration_wish *wish,
                           const struct calibration_summary *summary, FILE *to)
{
	fprintf(to, "\n%s: %zu sessions, numbers %zu to %zu of seed %llu\n", wish->protocol,
	        summary->sessions, wish->first, wish->first + summary->sessions - 1,
	        (unsigned long long)wish->seed);
	fprintf(to,
	        "  not converged %.2f %%, not answered %.2f %%, chi-square not likely %.2f %%\n",
	        percent(summary->not_converged, summary->sessions),
	        percent(summary->unanswered, summary->sessions),
	        percent(summary->unlikely, summary->sessions));
	fprintf(to, "  false ends %zu of %zu searches compared with the end next to the truth\n",
	        summary->false_ends, summary->ends_compared);
	fprintf(to,
	        "  set aside %zu of %zu strokes; processor time of a fit: median %.2f s, "
	        "95 %% below %.2f s\n",
	        summary->set_aside, summary->strokes, summary->seconds_median, summary->seconds_95);
}

/* A share of the determined; a dash when there are none. */
static void print_share(size_t part, size_t whole, FILE *to)
{
	if (whole == 0)
		fprintf(to, " %5s", "-");
	else
		fprintf(to, " %5.1f", percent(part, whole));
}

static void print_constant(const char *title, const struct calibration_figures *figures,
                           size_t sessions, FILE *to)
{
	fprintf(to, "%-19s", title);
	print_share(figures->held68, sessions, to);
	print_share(figures->held95, sessions, to);
	print_share(figures->told95, sessions, to);
	fprintf(to, " %5zu", figures->determined);
	print_share(figures->determined68, figures->determined, to);
	print_share(figures->determined95, figures->determined, to);
	fprintf(to, "  %+5.2f +-%4.2f %5.2f %6.2f %7.1f", figures->bias, figures->bias_error,
	        figures->rms, 100.0 * figures->relative, 100.0 * figures->learned);
	if (isnan(figures->rank_p))
		fprintf(to, " %7s\n", "-");
	else
		fprintf(to, " %7.2g\n", figures->rank_p);
}

void calibration_report_print(const struct calibration_wish *wish,
                              const struct calibration_summary *summary, FILE *to)
{
	print_sessions(wish, summary, to);
	fprintf(to, "%-19s %5s %5s %5s %5s %5s %5s  %-12s %5s %6s %7s %7s\n", "constant", "68",
	        "95", "told", "n", "68", "95", "    z", "rms", "error", "learned", "rank p");
	for (int id = 0; id < CONSTANT_COUNT; id++)
		print_constant(constant_prior((enum constant_id)id)->title, &summary->figures[id],
		               summary->sessions, to);
	fflush(to);
}
