#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Bad input through the real program: one message per fault, all faults of a file in one pass, each
# with file, line and cell, what was found, what is accepted, and what to do. Nothing goes to
# standard output. Wanted places and causes: counted by hand in the files below.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol

# told PLACE FOUND: the next message in order begins with this place and quotes this cause.
told()
{
	message=$((message + 1))
	line=$(sed -n "${message}p" err)
	case "$line" in
	"$1: "*"found $2"*"; accepted: "*"; "*.) ;;
	*) fail "message $message is not about $1, $2: $line" ;;
	esac
}

# no_more: all messages were told; the last line counts them.
no_more()
{
	[ "$(sed -n "$((message + 1))p" err)" = "restpoint $1: $message faults" ] ||
		fail "more than $message messages"
	expect_status 3
	expect_no_out
	message=0
}
message=0

cat >bad.csv <<'END'
#table,pool-10ft
#protocol,trial
#rail_error,0.08,0.09
#colour,blue

shot,try,cue_rest_long,cue_rail1,cue_rail2,watch1,watch2,sound1
timed-lag,1,31/2,,,1.048,7.655,
timed-lag,2,9.5,,,-1.3,7.813,
timed-lag,three,f,,,"1,2",8.419,
firm-halve,1,,right 4.63,,,,0.2
firm-half,2,,top 4.51,,,,0.178s
cross-side,1,2-Jan,right 3.08,left 1.66,,,
cross-side,2,,3.32,left 1.88,1.5,,
spin-on-the-spot,1,4.97,,,5.064,,,7
END
run check bad.csv
told bad.csv:1:2 '"pool-10ft"'
told bad.csv:3:3 '"0.09"'
told bad.csv:4:1 '"#colour"'
told bad.csv:7:3 '"31/2"'
told bad.csv:8:3 '"9.5"'
told bad.csv:8:6 '"-1.3"'
told bad.csv:9:2 '"three"'
told bad.csv:9:3 '"f"'
told bad.csv:9:6 '"1,2"'
told bad.csv:10:1 '"firm-halve"'
told bad.csv:11:4 '"top 4.51"'
told bad.csv:11:8 '"0.178s"'
told bad.csv:12:3 '"2-Jan"'
told bad.csv:13:6 '"1.5"'
told bad.csv:14:9 '"7"'
no_more check
run fit bad.csv
expect_status 3
expect_no_out
[ "$(wc -l <err)" -eq 16 ] || fail "fit tells other faults than check"

# Some sentences to the letter: both readings of 31/2, what a spreadsheet did, the near word.
label='exact messages'
grep -e 'bad.csv:7:3' -e 'bad.csv:10:1' -e 'bad.csv:12:3' err >some
same some <<'END'
bad.csv:7:3: shot timed-lag: cue_rest_long: found "31/2"; accepted: 0 to 8 diamonds (2.5, 2 1/2, 31.25in, 79.4cm, 794mm), "f head", "f foot", "pocket", or nothing; write "3 1/2" or "15.5", whichever is meant.
bad.csv:10:1: shot: found "firm-halve"; accepted: timed-lag, firm-half, cross-side, spin-on-the-spot; write "firm-half" if that is meant.
bad.csv:12:3: shot cross-side: cue_rest_long: found "2-Jan"; accepted: 0 to 8 diamonds (2.5, 2 1/2, 31.25in, 79.4cm, 794mm), "f head", "f foot", "pocket", or nothing; format the column as text and type the number again: a spreadsheet made a date of it.
END

# No protocol, an unknown one, a missing one, a folder.
printf 'shot,cue_rest_long\ntimed-lag,1\n' >nameless.csv
run check nameless.csv
expect_status 3
expect_no_out
expect_err <<'END'
nameless.csv: #protocol: found no such setting and no --protocol; accepted: an installed protocol (trial) or a path; add a row #protocol with the name, or give --protocol=NAME.
END
run check nameless.csv --protocol trail
expect_status 3
expect_err <<'END'
restpoint check: protocol: found "trail", which is not installed; accepted: an installed protocol (trial), or a path that ends in .json or holds /; name one of these or the path of a protocol file.
END
sed '1i #protocol,sub/none.json' nameless.csv >named.csv
run check named.csv
expect_status 3
expect_err <<'END'
sub/none.json: opening: found No such file or directory; check the spelling of the path.
END
run check .
expect_status 3
expect_err <<'END'
.: opening: found a folder; name a file inside it.
END
: >empty.csv
run check empty.csv --protocol trial
expect_status 3
expect_no_out
holds err 'empty.csv: '

# JSON: line and character; a misspelt key names the right one; a larger version is refused by name.
cat >constants.json <<'END'
{ "sliding_friction": 0.9, "rolling_resistance": 0.01, "spin_friction": 0.01,
  "cushion_restitution": 0.93, "cushion_friction": "0.17",
  "ball_restitution": 0.95, "bal_friction": 0.06 }
END
run simulate --protocol trial --constants constants.json
told constants.json:1:1 'nothing'
told constants.json:1:23 '0.9'
told constants.json:2:52 '"0.17"'
told constants.json:3:29 '"bal_friction"'
no_more simulate
printf '{ "format": "restpoint-profile", "version": 2 }\n' >new.json
run show new.json
expect_status 3
expect_err <<'END'
new.json:1:45: version: found 2; accepted: version 1; read this file with a newer version of this program.
END
run show bad.csv
expect_status 3
expect_no_out
holds err 'bad.csv:1:1: '
sed 's/"tries": 3/"tries": 0/; s/"rail": "foot"/"rail": "top"/' data/protocols/trial.json >wrong.json
run protocols wrong.json
told wrong.json:13:16 '0'
told wrong.json:15:34 '"top"'
told wrong.json:36:16 '0'
no_more protocols
finish
