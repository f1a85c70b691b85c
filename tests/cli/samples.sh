#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# The sample sessions: made again by their script they are the same bytes, the program understands
# each, and each says that it is invented. Wanted: the files themselves.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
samples=$abs_top_srcdir/sample-measurements
RESTPOINT_DATA=$abs_top_srcdir

mkdir bin made
ln -s "$restpoint" bin/restpoint
label='sample-measurements/make.sh'
PATH=$scratch/bin:$PATH sh "$samples/make.sh" made >make.out 2>&1 || {
	fail "ended with a failure"
	cat make.out
}

count=0
for sample in "$samples"/*.csv; do
	name=${sample##*/}
	count=$((count + 1))
	label=$name
	if [ "$name" != usual-by-hand.csv ]; then
		[ -f "made/$name" ] || fail "is not made by make.sh"
		cmp "$sample" "made/$name" || fail "is not what make.sh makes"
	fi
	grep -q '^#note[,;]"*invented' "$sample" || fail "does not say that it is invented"
	grep -q -F "\`$name\`" "$samples/README.md" || fail "is not named in README.md"
	run check "$sample"
	expect_status 0
	expect_no_err
done
label='sample-measurements'
[ "$count" -ge 5 ] || fail "holds $count sessions, wanted 5"
for file in made/*; do
	[ -f "$samples/${file##*/}" ] || fail "make.sh makes ${file##*/}, which is not kept"
done

# Each seed and file of constants stands in the table of README.md.
label='README.md of the samples'
sed -n 's/^session \([^ ]*\) [^ ]* \([^ ]*\) \([0-9]*\) .*/\1 \2 \3/p' "$samples/make.sh" >stated
[ "$(wc -l <stated)" -eq 4 ] || fail "make.sh was not understood"
while read -r name constants seed; do
	grep -q "^| \`$name\` .*| \`$constants\` | $seed |\$" "$samples/README.md" ||
		fail "tells another seed or other constants of $name"
	tr -d '{}":\n' <"$samples/$constants" | tr -s ' ' | tr ',' '\n' | sed 's/^ //; s/ $//' >values
	echo >>values
	[ "$(grep -c . values)" -eq 7 ] || fail "$constants does not hold seven constants"
	while read -r value; do
		holds "$samples/$name" "; $value"
	done <values
done <stated
finish
