/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_ESTIMATE_ROBUST_LOSS_H
#define RESTPOINT_ESTIMATE_ROBUST_LOSS_H

/* Loss that grows as the squared length of a vector of residuals while that is short and only as
 * its length beyond: P. J. Huber, Ann. Math. Statist. 35, 73 (1964), who has it for a single
 * residual, taken of a whole vector's length. */
struct robust_loss {
	double value;
	double slope; /* d value / d cost: the vector's weight; 1 where it is short */
};

/* The loss of a vector.
 *   cost   its squared length, >= 0
 *   limit  squared length up to which the loss is the cost itself, > 0: the square of Huber's
 *          tuning constant k */
struct robust_loss robust_loss(double cost, double limit);

/* The same for a least-squares method, which wants residuals with derivatives: multiplied by
 * `residual`, the squares of the vector's residuals sum up to the loss; with their derivatives
 * multiplied by `derivative`, half the gradient of the loss is again derivatives times residuals. */
struct robust_factors {
	double residual, derivative;
};

struct robust_factors robust_factors(double cost, double limit);

#endif
