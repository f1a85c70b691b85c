/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "estimate/robust_loss.h"

#include <math.h>

struct robust_loss robust_loss(double cost, double limit)
{
	if (cost <= limit)
		return (struct robust_loss){.value = cost, .slope = 1.0};
	return (struct robust_loss){.value = 2.0 * sqrt(limit * cost) - limit,
	                            .slope = sqrt(limit / cost)};
}

struct robust_factors robust_factors(double cost, double limit)
{
	struct robust_loss loss = robust_loss(cost, limit);
	double residual;

	if (cost <= limit)
		return (struct robust_factors){.residual = 1.0, .derivative = 1.0};
	residual = sqrt(loss.value / cost);
	return (struct robust_factors){.residual = residual, .derivative = loss.slope / residual};
}
