/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef RESTPOINT_BASE_VECTOR_H
#define RESTPOINT_BASE_VECTOR_H

#include <math.h>

/* A vector in the program's frame: x across the table to the right, y along it from head to foot,
 * z up. */
struct vector3 {
	double x, y, z;
};

static inline struct vector3 vector3_make(double x, double y, double z)
{
	return (struct vector3){x, y, z};
}

static inline struct vector3 vector3_add(struct vector3 a, struct vector3 b)
{
	return (struct vector3){a.x + b.x, a.y + b.y, a.z + b.z};
}

static inline struct vector3 vector3_subtract(struct vector3 a, struct vector3 b)
{
	return (struct vector3){a.x - b.x, a.y - b.y, a.z - b.z};
}

static inline struct vector3 vector3_scale(double factor, struct vector3 a)
{
	return (struct vector3){factor * a.x, factor * a.y, factor * a.z};
}

static inline double vector3_dot(struct vector3 a, struct vector3 b)
{
	return a.x * b.x + a.y * b.y + a.z * b.z;
}

static inline struct vector3 vector3_cross(struct vector3 a, struct vector3 b)
{
	return (struct vector3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z,
	                        a.x * b.y - a.y * b.x};
}

static inline double vector3_norm(struct vector3 a)
{
	return sqrt(vector3_dot(a, a));
}

/* Length of the horizontal part. */
static inline double vector3_norm_flat(struct vector3 a)
{
	return sqrt(a.x * a.x + a.y * a.y);
}

#endif
