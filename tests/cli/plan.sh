#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# plan: its answer, its protocol in the hands of the other commands, and what it refuses.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
make_constants

# The answer: errors after each shot, what is not known and why, the shots; the same by every run.
run plan --kit=tape,watch --shots=4 --candidates=60 --seed=3 -o made.json
expect_status 0
expect_err <<'END'
restpoint plan: protocol made written to made.json
END
at_most_80 out
holds out 'Plan for a table of the kind pool-9ft: 4 strokes in '
holds out 'Expected error after each shot, % of the value (1 standard deviation)'
holds out 'Not expected to be known as well as asked, and why'
holds out '  known     nothing but the priors'
holds out '; seed 3'
holds out '1. '
cp out first
cp made.json first.json
run plan --seed=3 --kit watch,tape --candidates 60 --shots 4 --output made.json
cmp -s out first || fail "the same plan differs"
cmp -s made.json first.json || fail "the same protocol differs"
valid_json made.json

# The other commands take it.
run protocols made.json
expect_status 0
at_most_80 out
holds out 'made: Planned shots'
holds out '  purpose   Chosen by restpoint plan for a table of the kind pool-9ft.'
run simulate --protocol made.json --constants constants.json --seed 5 -o played.csv
expect_status 0
run check played.csv
expect_status 0
holds out 'Shots: 4 strokes that count'
run fit played.csv -o profile.json
[ "$status" -eq 0 ] || [ "$status" -eq 4 ] || fail "exit status $status"

# What a profile knows already; it gives the table.
session long.csv
"$restpoint" fit long.csv -o known.json >/dev/null 2>&1 || fail "no profile"
run plan --knowing known.json --kit tape --shots 2 --candidates 60 --name again
expect_status 0
expect_no_err
holds out '  known     known.json'
run plan --knowing known.json --table pool-8ft
expect_status 2
holds err 'restpoint plan: --knowing takes the table from the profile; leave --table out'
run plan --knowing missing.json
expect_status 3
holds err 'missing.json: opening: found No such file or directory'
run plan --knowing known.json --shots 2 -o ./known.json
expect_status 2
holds err './known.json is read by this plan and would be lost; name another file for --output'

# As JSON the same facts.
run plan --kit none --want cushion-friction=35% --shots 6 --candidates 60 --json
expect_status 0
expect_no_err
valid_json out
holds out '"format": "restpoint-plan"'
holds out '"kit": []'
holds out '"most_strokes": 6'
holds out '"wanted": 0.35'
holds out '"format": "restpoint-protocol"'
holds out '"wants_expected_to_be_met": '
holds out '"remarks": ['
run plan --for referee --kit none --minutes 4 --candidates 60
expect_status 0
at_most_80 out
holds out 'ball restitution to 1.0 %; throw at half ball to 15 %'
holds out 'at most 4 minutes; kit: nothing'
holds out '  - A rest is taken to be read to 0.1 diamonds: write #position_error,0.1 into'
run plan --kit none --want rolling-resistance=10% --shots 2 --candidates 60 -o none.json
expect_status 4
expect_no_out
holds err 'restpoint plan: no shot of this kit tells anything of what is asked; no protocol was made: add to --kit'
[ ! -e none.json ] || fail "a protocol was written"

# What is asked and can be had is had: the search does not stop short of it.
run plan --kit none --want cushion-friction=30% --candidates 300
expect_status 0
holds out 'All that was asked is expected to be known well enough.'

# Refused, each with one message that says what is accepted.
# wrong SENTENCE: exit status 2, the sentence, nothing on standard output.
wrong()
{
	expect_status 2
	expect_no_out
	[ "$(sed -n 1p err)" = "restpoint plan: $1" ] || {
		fail "wanted: $1"
		cat err
	}
}
run plan --want sliding_frction=5%
wrong 'option --want: found "sliding_frction"; accepted: the name of a constant or of a condition as in a profile; did you mean sliding_friction'
run plan --want =5%
wrong 'option --want: found ""; accepted: the name of a constant or of a condition as in a profile, such as sliding_friction or one_length_time_s'
for want in sliding_friction sliding_friction= sliding_friction=5 sliding_friction=0% \
	sliding_friction=101% sliding_friction=-5% sliding_friction=x%; do
	run plan --want "$want"
	wrong "option --want: found \"$want\"; accepted: NAME=N%, the error wanted in percent of the value, above 0 and at most 100, such as sliding_friction=5%"
done
run plan --for owner
wrong 'option --for: found "owner"; accepted: room, player, referee'
for kit in tape,,watch video tapes tape,; do
	run plan --kit "$kit"
	expect_status 2
	holds err 'accepted: none, or a list of tape, watch, sound, ramp, parted by commas'
done
for shots in 0 41 2.5 x; do
	run plan --shots "$shots"
	wrong "option --shots: found \"$shots\"; accepted: a whole number from 1 to 40"
done
for minutes in 1.9 0 -3 1441 x; do
	run plan --minutes "$minutes"
	wrong "option --minutes: found \"$minutes\"; accepted: a number of minutes from 2 to 1440"
done
run plan --candidates 49
wrong 'option --candidates: found "49"; accepted: a whole number from 50 to 20000'
run plan --spread speed=0.1,aim=7
wrong 'option --spread: found "aim=7"; accepted: aim=N, 1 standard deviation in degrees, from 0.02 to 5'
run plan --spread power=1
wrong 'option --spread: found "power=1"; accepted: speed=N, aim=N, height=N, side=N, parted by commas'
run plan --name a/b
wrong 'the name of the protocol: found "a/b"; accepted: a name of one line without / and not ending in .json; give one with --name'
run plan --table pool-9
expect_status 2
holds err 'found "pool-9"; accepted: pool-9ft, pool-8ft'
run plan --shots 2 -o missing/plan.json
expect_status 5
expect_no_out
holds err 'missing/plan.json cannot be written'
finish
