#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# predict: its answer as text and JSON, its drawings, the ways to name a shot, what is refused.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

make_protocol
cp "$abs_top_srcdir"/protocols/*.json data/protocols
cp "$abs_top_srcdir/tests/unit/corpus/good-profile.json" profile.json

# The text: 80 columns, the seed, what was not measured, units; nothing on standard error.
run predict profile.json --shot=usual
expect_status 0
expect_no_err
at_most_80 out
holds out '4000 of each shot, seed 1'
holds out 'exactly as designed'
holds out 'Spin friction was not determined; what little is known of it is used:'
[ "$(grep -c '^Shot ' out)" -eq 3 ] || fail "not every shot of the protocol"
holds out '    1st rail   foot rail at short '
holds out '    watch 1    '
cp out usual.txt

# The same call, the same answer; another seed, another; more plays are told.
run predict profile.json --shot=usual
same usual.txt <out
run predict profile.json --shot=usual --seed=2
holds out 'seed 2'
if cmp -s out usual.txt; then fail "another seed, the same answer"; fi
run predict profile.json --shot=usual --draws=150
holds out '150 of each shot'

# A shot by its protocol, by its key alone, and by a file of its own give the same numbers.
sed -n '/^Shot running-kick/,/^$/p' usual.txt >wanted-kick
[ -s wanted-kick ] || fail "no such shot"
for form in "--protocol=usual --shot=running-kick" --shot=running-kick --shot=data/protocols/usual.json \
	--protocol=usual; do
	# shellcheck disable=SC2086
	run predict profile.json $form
	expect_status 0
	sed -n '/^Shot running-kick/,/^$/p' out | same wanted-kick
done

# The pace of a stroke exactly as designed does not scatter, that of a player does.
cat >roll.json <<'END'
{ "format": "restpoint-protocol", "version": 1, "name": "roll", "title": "t", "purpose": "Invented.",
  "minutes": 1, "kit": ["tape", "watch"],
  "shots": [
   { "shot": "roll", "title": "Roll", "tries": 2, "place": { "cue": { "long": 1, "short": 2 } },
     "aim": { "point": { "long": 8, "short": 2 } },
     "launch": { "by": "cue", "speed_m_s": 0.5, "speed_spread": 0.05, "height": 0.4,
                 "height_spread": 0.05, "side": 0, "side_spread": 0.05 },
     "watch": [ { "from": "strike", "to": "cue_rest" } ],
     "measure": ["cue_rest_long", "watch1"], "how": "Roll." },
   { "shot": "pot", "title": "Pot", "tries": 2, "place": { "cue": { "long": 4, "short": 1 } },
     "aim": { "nose": { "rail": "left", "at": 4 } },
     "launch": { "by": "cue", "speed_m_s": 1, "speed_spread": 0.05, "height": 0.4,
                 "height_spread": 0.05, "side": 0, "side_spread": 0.05 },
     "measure": ["cue_rest_long"], "how": "Pot." } ] }
END
# A rolling ball runs v^2 / (2 mu_r g) = 0.25 / (2 x 0.0105 x 9.80665) m = 3.8235 diamonds, in
# v / (mu_r g) = 4.8557 s, both by hand.
run predict profile.json --shot=./roll.json
holds out '    stops      long 4.82 diamonds (4.'
holds out '    watch 1    4.856 s (4.'
holds out '    falls      into the left side pocket, in every play, as designed'
run predict profile.json --shot=roll.json --player
holds out 'as a person plays it'
at_most_80 out

# JSON: one object with the same facts.
run predict profile.json --shot=roll.json --json
expect_status 0
expect_no_err
valid_json out
holds out '"format": "restpoint-prediction"'
holds out '"seed": 1'
holds out '"not_determined": ["spin_friction"]'
holds out '"player": false'
holds out '"reading": "cue_rest_long", "unit": "diamonds", "as_designed": 4.82'
holds out '"reading": "watch1", "unit": "s", "from": "strike", "to": "cue_rest", "as_designed": 4.855'
holds out '"pockets": { "left side": 1 }'
holds out '"designed_pocket": "left side"'

# width OPTION...: of the interval of where the rolled ball stops.
width()
{
	run predict profile.json --protocol=roll.json --shot=roll --json "$@"
	expect_status 0
	sed -n 's/.*"cue_rest_long".*"low95": \([0-9.]*\), "high95": \([0-9.]*\).*/\1 \2/p' out |
		awk '{ printf "%.6f\n", $2 - $1 }'
}
# is_larger FIRST SECOND
is_larger()
{
	awk -v a="$1" -v b="$2" 'BEGIN { exit !(a > b) }' || fail "$1 is not larger than $2"
}
exact=$(width) player=$(width --player)
is_larger "$player" "$exact"
is_larger "$exact" 0.001

# Drawings: the three forms, numbered for several shots; the answer is given all the same.
run predict profile.json --shot=usual -o spread.pdf
expect_status 0
same out <usual.txt
same err <<'END'
restpoint predict: drawing written to spread.pdf, seed 1
END
[ "$(head -c 5 spread.pdf)" = '%PDF-' ] || fail "no PDF"
if command -v pdfinfo >/dev/null 2>&1; then
	[ "$(pdfinfo spread.pdf | sed -n 's/^Pages: *//p')" -eq 3 ] || fail "not a page for each shot"
fi
run predict profile.json --shot=usual -o spread.svg --json
expect_status 0
valid_json out
valid_json_lines err
holds out '"drawings": ["spread-1.svg", "spread-2.svg", "spread-3.svg"]'
for file in spread-?.svg; do
	[ "$(head -c 5 "$file")" = '<?xml' ] || fail "no XML"
	if command -v xmllint >/dev/null 2>&1; then
		xmllint --noout --nonet "$file" || fail "the SVG is not well-formed"
	fi
done
run predict profile.json --shot=running-kick -o one.png
expect_status 0
[ "$(head -c 8 one.png | od -An -tx1 | tr -d ' \n')" = 89504e470d0a1a0a ] || fail "no PNG"

# Another ball of the profile.
run predict profile.json --shot=running-kick --cue-ball=B
expect_status 0
sed -n '/^Shot/,/^$/p' out >slippery
if cmp -s slippery wanted-kick; then fail "a ball of grip 0.71 goes the same way"; fi

# refused STATUS COMPLAINT ARGUMENT...: nothing is written and nothing answered.
refused()
{
	wanted_status=$1 complaint=$2
	shift 2
	run predict "$@"
	expect_status "$wanted_status"
	expect_no_out
	holds err "$complaint"
	[ -z "$(ls new* 2>/dev/null)" ] || fail "something was written"
}
refused 2 'a file or name is missing' --shot=usual
refused 2 'option --shot is missing; give a protocol file, a protocol or a shot of one' profile.json
refused 2 '"half-ball" means several things: a shot of protocol full, a shot of protocol phone; say' \
	profile.json --shot=half-ball
cp data/protocols/usual.json data/protocols/running-kick.json
refused 2 '"running-kick" means several things: every shot of protocol running-kick, a shot of' \
	profile.json --shot=running-kick
rm data/protocols/running-kick.json
refused 2 'no shot of one is called "half-bal"; did you mean half-ball?' profile.json --shot=half-bal
refused 2 'found "zzzzzzzz"; accepted: a protocol file' profile.json --shot=zzzzzzzz
refused 2 'protocol usual has no shot "lga"; did you mean lag?' profile.json --protocol=usual --shot=lga
refused 2 'found "roll.json", a file, but --protocol names one already' profile.json --protocol=usual \
	--shot=roll.json
refused 2 'option --draws: found "99"; accepted: a whole number from 100 to 100000' profile.json \
	--shot=usual --draws=99
refused 2 'option --draws: found "100001"' profile.json --shot=usual --draws=100001
refused 2 'option --draws: found "1e3"' profile.json --shot=usual --draws=1e3
refused 2 'option --seed: found "x"' profile.json --shot=usual --seed=x
refused 2 'option --output: found "new.ps"; accepted: a file whose name ends in .pdf, .svg or .png' \
	profile.json --shot=usual -o new.ps
refused 2 'option --object-ball: found "C"; accepted: a ball of the profile: A, B' profile.json \
	--shot=usual --object-ball=C
refused 3 'missing.json' missing.json --shot=usual
refused 3 'missing-protocol.json' profile.json --shot=missing-protocol.json
echo '{ "format": "restpoint-profile", "version": 1 }' >bad.json
refused 3 'bad.json:1:' bad.json --shot=usual
refused 5 'missing/new.pdf cannot be written: folder missing: No such file or directory' profile.json \
	--shot=usual -o missing/new.pdf

# A shot that has no room on the table names itself.
sed 's/"long": 3, "short": 2.25/"long": 2.63, "short": 2.25/' data/protocols/trial.json >crowded.json
refused 3 'shot spin-on-the-spot: no prediction of it on the table of the profile: found two balls' \
	profile.json --shot=crowded.json
finish
