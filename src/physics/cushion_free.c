/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/cushion_free.h"

#include <math.h>

/* A slip below this part of the speeds has ended: it is what rounding leaves. */
#define NO_SLIP 1e-14

struct nose {
	double sine, cosine;
};

/* Slip of the surface at the nose, along X and along the upward tangent T = (0, -s, c). */
struct nose_slip {
	double along, upward, size;
};

static struct nose nose_make(const struct cushion_contact *contact)
{
	return (struct nose){contact->nose_sine,
	                     sqrt(1.0 - contact->nose_sine * contact->nose_sine)};
}

static double normal_speed(const struct nose *nose, struct vector3 velocity)
{
	return velocity.y * nose->cosine + velocity.z * nose->sine;
}

static struct nose_slip find_slip(const struct nose *nose, struct vector3 v, struct vector3 rw)
{
	double s = nose->sine, c = nose->cosine;
	struct nose_slip slip = {.along = v.x + rw.y * s - rw.z * c,
	                         .upward = v.z * c - v.y * s + rw.x};

	slip.size = hypot(slip.along, slip.upward);
	if (slip.size <= NO_SLIP * (vector3_norm(v) + vector3_norm(rw)))
		slip.along = slip.upward = slip.size = 0.0;
	return slip;
}

/* K, while the slip lasts. */
static double bed_reaction(const struct nose *nose, double friction, const struct nose_slip *slip)
{
	if (slip->size <= 0.0)
		return nose->sine;
	return nose->sine + friction * nose->cosine * slip->upward / slip->size;
}

bool cushion_lifts(const struct cushion_contact *contact, struct vector3 velocity,
                   struct vector3 spin_speed)
{
	struct nose nose = nose_make(contact);
	struct nose_slip slip = find_slip(&nose, velocity, spin_speed);

	return bed_reaction(&nose, contact->friction, &slip) < 0.0;
}

/* A normal impulse against n, and friction that takes `share` of the slip, 2/7 at most. Torques:
 * n x X = (0, s, -c), n x T = X, times 5/2. */
static void push(const struct nose *nose, double normal, double share,
                 const struct nose_slip *slip, struct vector3 *v, struct vector3 *rw)
{
	double along = share * slip->along, upward = share * slip->upward;

	v->x -= along;
	v->y -= normal * nose->cosine - upward * nose->sine;
	v->z -= normal * nose->sine + upward * nose->cosine;
	rw->x -= 2.5 * upward;
	rw->y -= 2.5 * nose->sine * along;
	rw->z += 2.5 * nose->cosine * along;
}

static bool are_finite(const struct cushion_contact *contact, struct vector3 velocity,
                       struct vector3 spin_speed)
{
	return isfinite(velocity.x) && isfinite(velocity.y) && isfinite(velocity.z) &&
	       isfinite(spin_speed.x) && isfinite(spin_speed.y) && isfinite(spin_speed.z) &&
	       isfinite(contact->friction) && isfinite(contact->restitution) &&
	       fabs(contact->nose_sine) < 1.0;
}

enum status cushion_free_solve(const struct cushion_contact *contact, struct vector3 *velocity,
                               struct vector3 *spin_speed, struct cushion_outcome *outcome)
{
	double e = fmin(1.0, fmax(0.0, contact->restitution)), approach, normal, share;
	struct nose_slip slip;
	struct nose nose;
	bool sticks;

	if (!are_finite(contact, *velocity, *spin_speed))
		return STATUS_INTERNAL;
	nose = nose_make(contact);
	approach = normal_speed(&nose, *velocity);
	if (!(approach > 0.0))
		return STATUS_INTERNAL;
	slip = find_slip(&nose, *velocity, *spin_speed);
	normal = (1.0 + e) * approach;
	sticks = 2.0 / 7.0 * slip.size <= contact->friction * normal;
	if (sticks)
		share = 2.0 / 7.0;
	else
		share = contact->friction * normal / slip.size;
	push(&nose, normal, share, &slip, velocity, spin_speed);
	if (outcome != NULL)
		*outcome = (struct cushion_outcome){
		    .approach = approach, .impulse = normal, .steps = 1, .sticks = sticks};
	return STATUS_OK;
}

/* The impulse in which the part ends: v . n falls by the impulse, and work by its integral. */
static double part_length(enum free_part part, double speed, double work)
{
	if (part == FREE_COMPRESSION)
		return fmax(0.0, speed);
	if (!(work > 0.0))
		return 0.0;
	return 2.0 * work / (sqrt(speed * speed + 2.0 * work) - speed);
}

/* When the ball comes down on the bed; HUGE_VAL while the nose does not press it down. */
static double bed_length(double height_speed, double reaction)
{
	return reaction > 0.0 ? fmax(0.0, height_speed) / reaction : (double)HUGE_VAL;
}

enum free_end free_impact_advance(const struct cushion_contact *contact, enum free_part part,
                                  struct free_impact *impact)
{
	struct nose nose = nose_make(contact);
	struct nose_slip slip = find_slip(&nose, impact->velocity, impact->spin_speed);

	for (;;) { /* twice at most: while it slips, and after */
		bool slips = slip.size > 0.0 && contact->friction > 0.0;
		double speed = normal_speed(&nose, impact->velocity);
		double part_end = part_length(part, speed, impact->work);
		double bed_back = bed_length(impact->velocity.z,
		                             bed_reaction(&nose, contact->friction, &slip));
		double slip_end = slips ? slip.size / (3.5 * contact->friction) : (double)HUGE_VAL;
		double length = fmin(slip_end, fmin(part_end, bed_back));

		push(&nose, length, slips ? contact->friction * length / slip.size : 0.0, &slip,
		     &impact->velocity, &impact->spin_speed);
		impact->work += length * (speed - 0.5 * length);
		impact->impulse += length;
		if (length == bed_back) {
			impact->velocity.z = 0.0;
			return FREE_BED_BACK;
		}
		if (length == part_end) {
			if (part == FREE_RESTITUTION)
				impact->work = 0.0;
			return FREE_PART_ENDED;
		}
		slip.along = slip.upward = slip.size = 0.0;
	}
}
