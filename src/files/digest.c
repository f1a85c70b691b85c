/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The only file that uses nettle. */
#include <nettle/sha2.h>
#include <stdint.h>

#include "files/disk.h"

void disk_sha256(const char *bytes, size_t length, char out[65])
{
	static const char digits[] = "0123456789abcdef";
	struct sha256_ctx context;
	uint8_t digest[SHA256_DIGEST_SIZE];
	sha256_init(&context);
	sha256_update(&context, length, (const uint8_t *)bytes);
	sha256_digest(&context, sizeof digest, digest);
	for (size_t i = 0; i < sizeof digest; i++) {
		out[2 * i] = digits[digest[i] >> 4];
		out[2 * i + 1] = digits[digest[i] & 15];
	}
	out[64] = '\0';
}
