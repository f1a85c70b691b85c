#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Looks for shots that break the engine: builds fuzz_shot.c and what it plays with clang's libFuzzer
# and sanitizers, and lets it look on one processor, starting from corpus/.
#
#   sh tests/fuzz/run.sh [SECONDS [FOLDER]]
#
# SECONDS: 60 when not given. FOLDER: keeps what is found to reach new code, and starts from it too.
# Tells how many shots were played and how much of the code they reached. Status 1 when a rule was
# broken; the bytes are kept then, and their place is told. Debian: clang and libclang-rt-14-dev,
# which holds libFuzzer. Skipped (status 77) without clang.
set -eu

seconds=${1-60}
top=$(cd "${top_srcdir:-$(dirname "$0")/../..}" && pwd)
compiler=${FUZZ_CC:-clang}
flags="-std=c11 -D_GNU_SOURCE -O1 -g -fno-omit-frame-pointer -I$top/src"
sanitizers='address,undefined,float-divide-by-zero,float-cast-overflow'

case $seconds in
'' | *[!0-9]*)
	echo "run.sh: SECONDS must be a whole number, found \"$seconds\"" >&2
	exit 2
	;;
esac
if ! command -v "$compiler" >/dev/null 2>&1; then
	echo "Skipped: fuzzing needs clang, which was not found (Debian: clang)."
	exit 77
fi

scratch=$(mktemp -d)
keep=false
trap '"$keep" || rm -rf "$scratch"' EXIT
trap 'exit 130' INT
trap 'exit 143' TERM

build()
{
	for source in "$top"/src/base/*.c "$top"/src/table/*.c "$top"/src/model/*.c \
		"$top"/src/physics/*.c "$top"/src/shot/*.c "$top"/tests/fuzz/shot_checks.c \
		"$top"/tests/fuzz/fuzz_shot.c; do
		object=$scratch/$(printf '%s' "${source#"$top"/}" | tr / _).o
		# shellcheck disable=SC2086
		"$compiler" $flags -fsanitize="fuzzer-no-link,$sanitizers" \
			-fno-sanitize-recover=all -c "$source" -o "$object"
	done
	"$compiler" -fsanitize="fuzzer,$sanitizers" "$scratch"/*.o \
		-Wl,--wrap=contacts_rail,--wrap=contacts_balls \
		-o "$scratch/fuzz_shot" -lm -lpthread
}

echo "Building with $("$compiler" --version | head -n 1)."
build
mkdir "$scratch/found" "$scratch/reached"
status=0
"$scratch/fuzz_shot" -max_total_time="$seconds" -max_len=2048 -timeout=30 -rss_limit_mb=1024 \
	-artifact_prefix="$scratch/found/" -print_final_stats=1 -use_value_profile=1 \
	"${2-$scratch/reached}" "$top/tests/fuzz/corpus" >"$scratch/log" 2>&1 || status=$?

counters=$(sed -n 's/^INFO: Loaded .* modules *(\([0-9]*\) inline 8-bit counters).*/\1/p' \
	"$scratch/log" | head -n 1)
reached=$(sed -n 's/.* cov: \([0-9]*\) .*/\1/p' "$scratch/log" | tail -n 1)
played=$(sed -n 's/^stat::number_of_executed_units: *//p' "$scratch/log" | tail -n 1)
echo "Played ${played:-no} shots in $seconds s at most," \
	"reached ${reached:-0} of ${counters:-?} places in the code."

if [ "$status" -eq 72 ]; then # libFuzzer's status for that
	echo "Fuzzing was interrupted." >&2
	exit 130
fi
if [ "$status" -ne 0 ]; then
	grep -v '^#[0-9]' "$scratch/log" | tail -n 60
	keep=true
	echo "A rule was broken. The bytes and the log are kept in $scratch; play them again with"
	echo "$scratch/fuzz_shot $scratch/found/*"
	exit 1
fi
