#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# compare: its answer as text and JSON, equal profiles, units, what is refused.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

cp "$abs_top_srcdir/tests/unit/corpus/good-profile.json" home.json
# The same table with a cloth of 1.21 times the rolling resistance, a pace of 1.1 times for a ball
# that only rolls.
sed '/"rolling_resistance": {/,/}/{
	s/"value": 0.0105/"value": 0.012705/
	s/"standard_error": 0.00021/"standard_error": 0.0002541/
	s/"low95": 0.0100884/"low95": 0.012206964/
	s/"high95": 0.0109116/"high95": 0.013203036/
}' home.json >here.json
if cmp -s home.json here.json; then fail "no other profile made"; fi

run compare home.json here.json
expect_status 0
expect_no_err
at_most_80 out
holds out '400 pairs of tables, seed 1'
holds out 'rolling resistance             0.01050    0.01270    +21 % (+14 to +28) *'
holds out 'spin friction                  -          -          - (not known on both)'
holds out '- Lag, 1 length, to long 7.5: hit 10 % harder (+7 to +13); struck as at home:'
holds out '  1 length, to long 7.5  0.60   0.66   10 % harder (+7 to +13)'
holds out '      struck as at home: 1.0 diamonds short (-1.2 to -0.7)'
holds out 'making from 0.10 diamonds.'
holds out 'Not determined at home: spin friction.'
holds out 'no change worth making ('

# The same call, the same answer; another seed, another.
run compare home.json here.json --draws=100
holds out '100 pairs of tables'
cp out few.txt
run compare home.json here.json --draws=100
same few.txt <out
run compare home.json here.json --draws=100 --seed=2
holds out 'seed 2'
if cmp -s out few.txt; then fail "another seed, the same answer"; fi

# The other way round: 1 / 1.1.
run compare here.json home.json --draws=100
holds out 'hit 9 % softer'

# A table against itself: every adjustment is worth nothing, and the summary says so.
run compare home.json home.json --draws=100
expect_status 0
holds out 'Nothing: play as at home.'
holds out 'Both profiles are one and the same measurement'
run compare home.json home.json --draws=100 --json
expect_status 0
valid_json out
all=$(grep -c '"adjustment": ' out)
[ "$all" -eq 35 ] || fail "$all adjustments"
[ "$(grep -c '"verdict": "no change worth making"' out)" -eq "$all" ] || fail "a change to itself"

# JSON: one object with the same facts.
run compare home.json here.json --draws=100 --json
expect_status 0
expect_no_err
valid_json out
holds out '"format": "restpoint-comparison"'
holds out '"seed": 1'
holds out '"not_determined": ["spin_friction"]'
holds out '"adjustment": "lag-1"'
holds out '"direction": "harder"'
holds out '"change_unit": "percent"'

# median KEY WHAT: of the answer in out.
median()
{
	sed -n '/"adjustment": "'"$1"'"/,/"sure"/s/.*"'"$2"'": { "median": \([-0-9.e]*\),.*/\1/p' out
}
# ask OPTION...
ask()
{
	run compare home.json here.json --draws=100 --json "$@"
	expect_status 0
}
# is_times FIRST SECOND FACTOR
is_times()
{
	awk -v a="$1" -v b="$2" -v f="$3" '
		BEGIN { d = a - b * f; exit !(b != 0 && d * d < 1e-12 * a * a) }' ||
		fail "$1 is not $3 times $2"
}
# A diamond of this table is 0.3175 m, its ball 57.15 mm across; tips are 13 mm by default. The aim
# with right side: squirt moves it to the right, an elevated cue back to the left.
ask
aim=$(median kick-three-rails change) tip=$(median draw-4 change) plain=$(median side-firm home)
ask --unit=diamonds --elevation=10
is_times "$(median kick-three-rails change)" "$aim" 1
is_times "$(median draw-4 change)" "$tip" 0.04094488188976378
raised=$(median side-firm home)
ask --unit=balls
is_times "$(median kick-three-rails change)" "$aim" 5.555555555555555
is_times "$(median draw-4 change)" "$tip" 0.2274715660542432
ask --unit=tips --tip-width=12.5
is_times "$(median kick-three-rails change)" "$aim" 25.4
is_times "$(median draw-4 change)" "$tip" 1.04
ask --end-mass-ratio=20
squirting=$(median side-firm home)
awk -v a="$plain" -v b="$squirting" -v c="$raised" 'BEGIN { exit !(b > a + 0.05 && c < a - 0.01) }' ||
	fail "aims with side: plain $plain, squirt $squirting, raised $raised"

# The card: one sheet in three forms, beside the answer.
run compare home.json here.json --draws=100 -o card.pdf
expect_status 0
same few.txt <out
same err <<'END'
restpoint compare: table card written to card.pdf, seed 1
END
[ "$(head -c 5 card.pdf)" = '%PDF-' ] || fail "no PDF"
if command -v pdfinfo >/dev/null 2>&1; then
	[ "$(pdfinfo card.pdf | sed -n 's/^Pages: *//p')" -eq 1 ] || fail "not one page"
fi
run compare home.json home.json --draws=100 -o card.svg
expect_status 0
[ "$(head -c 5 card.svg)" = '<?xml' ] || fail "no XML"

# refused STATUS COMPLAINT ARGUMENT...: nothing is answered.
refused()
{
	wanted_status=$1 complaint=$2
	shift 2
	run compare "$@"
	expect_status "$wanted_status"
	expect_no_out
	holds err "$complaint"
}
refused 2 'a file or name is missing' home.json
refused 2 'option --unit: found "inch"; accepted: usual, diamonds, tips, balls' home.json here.json \
	--unit=inch
refused 2 'option --tip-width: found "0"; accepted: a number of millimetres from 5 to 20' home.json \
	here.json --tip-width=0
refused 2 'option --end-mass-ratio: found "x"; accepted: a number from 1 to 1000' home.json here.json \
	--end-mass-ratio=x
refused 2 'option --elevation: found "90"; accepted: a number of degrees from 0 to 30' home.json \
	here.json --elevation=90
refused 2 'option --draws: found "99"; accepted: a whole number from 100 to 10000' home.json here.json \
	--draws=99
refused 2 'option --seed: found "x"' home.json here.json --seed=x
refused 2 'option --output: found "new.ps"; accepted: a file whose name ends in .pdf, .svg or .png' \
	home.json here.json -o new.ps
cp home.json home.pdf
refused 2 'home.pdf is read for this comparison and would be lost' home.pdf here.json -o home.pdf
cmp -s home.json home.pdf || fail "a profile was lost"
refused 5 'missing/new.pdf cannot be written: folder missing: No such file or directory' home.json \
	here.json -o missing/new.pdf
refused 3 'missing.json' home.json missing.json
echo '{ "format": "restpoint-profile", "version": 1 }' >bad.json
# The faults of both files are told at once.
refused 3 'bad.json:1:' bad.json missing.json
holds err 'missing.json'
finish
