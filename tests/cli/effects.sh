#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# effects: its answer as text and JSON, the ways to say what changes, what is refused.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

cp "$abs_top_srcdir/tests/unit/corpus/good-profile.json" before.json

# The text: 80 columns, groups, the seed, cautions, units; nothing on standard error.
run effects before.json --grip=0.7
expect_status 0
expect_no_err
at_most_80 out
holds out 'grip of the cue ball times 0.7'
holds out '1000 of each set-up, seed 1'
for words in 'On the cloth' 'At a rail' 'Between balls' Remarks; do
	grep -q "^$words\$" out || fail "no part $words"
done
holds out 'Common practice, no source, of a more slippery ball: the same stroke draws'
holds out 'Here the opposite. A shot of this kind lies outside the rule.'
holds out 'degrees before and after: no change in any table'
holds out 'before.json: spin friction was not determined; what little is known'
[ "$(grep -c 'Caution: jump and masse strokes can hurt eyes and tear the cloth;' out)" -eq 2 ] ||
	fail "no caution where it belongs"
holds out 'Conditions drift within hours'
grep -A 1 '^  Draw, ball 2 diamonds away$' out |
	grep -q '^    before [0-9.]*, after [0-9.]* diamonds; change +[0-9.]* (+[0-9.]* to +[0-9.]*) diamonds,' ||
	fail "no numbers of the draw"
cp out slick.txt

# The same call, the same answer; another seed, another, and it is told.
run effects before.json --grip 0.7
same slick.txt <out
run effects before.json --grip=0.7 --seed=2
holds out 'seed 2'
if cmp -s out slick.txt; then fail "another seed, the same answer"; fi

# No change: nothing changes.
run effects before.json --grip=1 --draws=200
expect_status 0
[ "$(grep -c 'no change in any table' out)" -eq "$(grep -c 'Set-up:' out)" ] || fail "something changed"
holds out '200 of each set-up'
lacks out 'So here'

# The other balls change a bank.
run effects before.json --grip=0.7 --all-balls --draws=200
holds out 'grip of all balls times 0.7'
sed -n '/^  Bank$/,/Set-up/p' out >bank
sed -n '/^  Bank$/,/Set-up/p' slick.txt >bank-of-cue-ball
if cmp -s bank bank-of-cue-ball; then fail "the object ball does not count"; fi

# Another ball of the profile; two profiles, one file twice.
run effects before.json --ball=B --draws=200
expect_status 0
holds out 'ball B is struck in place of the reference ball'
sed 's/"value": 0.2031/"value": 0.1431/; s/"low95": 0.19513848/"low95": 0.137/; s/"high95": 0.21106152/"high95": 0.149/' \
	before.json >after.json
run effects before.json after.json --draws=200
expect_status 0
at_most_80 out
holds out 'from one profile to the other, measured independently'
holds out "the profiles' values"
holds out 'So here.'
tr -s ' \n' '  ' <out | grep -q "the cue ball's cushion friction is not beyond doubt lower or higher" ||
	fail "like cushions are taken as more slippery"
holds out 'after.json: spin friction was not determined'
run effects before.json before.json --draws=200
expect_status 0
tr -s ' \n' '  ' <out | grep -q -e 'So here' -e 'Here the opposite' -e '[es], beyond doubt' &&
	fail "the same table is told apart from itself"

# A pace of one's own.
run effects before.json --grip=0.7 --speed=3 --draws=200
expect_status 0
at_most_80 out
holds out 'played at 3 m/s'
lacks out 'Stun line kept, firm pace'
sed -n '/^  Follow along a rail, distance$/,/^$/p' out | holds /dev/stdin 'Here the opposite'

# The numbers alone.
run effects before.json --grip=0.7 --brief
expect_status 0
lacks out 'Set-up:'
holds out 'the opposite of common practice (no source)'
holds out 'Caution: jump and masse'
[ "$(grep -c 'before ' out)" -ge 40 ] || fail "rows are missing"

# JSON: the same facts.
run effects before.json --grip=0.7 --json
expect_status 0
valid_json out
holds out '"format": "restpoint-effects"'
holds out '"seed": 1'
holds out '"grip": 0.7'
holds out '"caution": "Caution: jump and masse'
[ "$(grep -c '"effect": ' out)" -eq "$(grep -c 'Set-up:' slick.txt)" ] || fail "other rows than the text"
[ "$(grep -c '"opposite_of_practice": true' out)" -eq "$(tr -s ' \n' '  ' <slick.txt | grep -o 'Here the opposite' | wc -l)" ] ||
	fail "another number of reversed rows"

# refused STATUS COMPLAINT ARGUMENT...: nothing is answered.
refused()
{
	wanted_status=$1 complaint=$2
	shift 2
	run effects "$@"
	expect_status "$wanted_status"
	expect_no_out
	holds err "$complaint"
}
refused 2 'one profile needs a change: a second profile, --grip=G or --ball=LABEL' before.json
refused 2 'one profile needs only one change' before.json --grip=0.7 --ball=B
refused 2 'two profiles are the change themselves; leave out --grip' before.json after.json --grip=0.7
refused 2 'option --all-balls: goes with --grip=G' before.json --ball=B --all-balls
refused 2 'option --grip: found "0"; accepted: a number from 0.1 to 3' before.json --grip=0
refused 2 'option --grip: found "70%"' before.json --grip=70%
refused 2 'option --grip: found "nan"' before.json --grip=nan
refused 2 'option --speed: found "0"; accepted: m/s, a number from 0.5 to 10' before.json --grip=0.7 \
	--speed=0
refused 2 'option --draws: found "199"; accepted: a whole number from 200 to 100000' before.json \
	--grip=0.7 --draws=199
refused 2 'option --seed: found "x"' before.json --grip=0.7 --seed=x
refused 2 'option --ball: found "C"; accepted: a ball of the profile: A, B' before.json --ball=C
refused 2 'a file or name is missing' --grip=0.7
refused 3 'missing.json' before.json missing.json
echo '{ "format": "restpoint-profile", "version": 1 }' >bad.json
refused 3 'bad.json:1:' bad.json --grip=0.7
finish
