#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Listing and showing protocols, and where they are found (formats.md 6).
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
sed 's/"trial"/"again"/; s/"minutes": 9,//; s/"kit": .*/"kit": [],/' data/protocols/trial.json \
	>data/protocols/again.json
echo 'not a protocol' >data/protocols/notes.txt

run protocols
expect_status 0
expect_no_err
expect_out <<END
again: Shots for the tests of the commands
    12 strokes; kit: nothing
    To try every command on. Invented; not for a real table.
trial: Shots for the tests of the commands
    9 minutes, 12 strokes; kit: tape, watch, sound
    To try every command on. Invented; not for a real table.
2 protocols in $scratch/data/protocols
END
run protocols --json
expect_status 0
valid_json out
holds out '"format": "restpoint-protocols"'
holds out '"name": "again"'
holds out '"kit": ["tape", "watch", "sound"]'

# In full, by name and by path; as JSON the file itself.
run protocols trial
expect_status 0
at_most_80 out
holds out '1. Lag with two split times (shot timed-lag), 3 tries'
holds out 'strike    lag pace, about 2.25 m/s; tip 0.4 of the radius above the centre, no'
holds out '(cue_rest_long)'
cp out by_name
run protocols data/protocols/trial.json
cmp -s by_name out || fail "differs from the one by name"
run protocols trial --json
expect_status 0
cmp -s out data/protocols/trial.json || fail "is not the file"

# Unknown names: what there is.
run protocols trail
expect_status 3
expect_no_out
expect_err <<'END'
restpoint protocols: protocol: found "trail", which is not installed; accepted: an installed protocol (again, trial), or a path that ends in .json or holds /; name one of these or the path of a protocol file.
END
run protocols ./trial.json
expect_status 3
expect_err <<'END'
./trial.json: opening: found No such file or directory; check the spelling of the path.
END

# A broken protocol is told, the others are listed.
echo '{ "format": "restpoint-protocol", "version": 1, }' >data/protocols/broken.json
run protocols
expect_status 3
holds out 'trial: Shots for the tests'
holds err "$scratch/data/protocols/broken.json:1:"
rm data/protocols/broken.json

# Beside the program, without the variable; the variable goes first.
mkdir -p prefix/bin prefix/share/restpoint/protocols
cp "$restpoint" prefix/bin/restpoint
cp data/protocols/again.json prefix/share/restpoint/protocols/beside.json
restpoint=$scratch/prefix/bin/restpoint
run protocols
holds out "2 protocols in $scratch/data/protocols"
unset RESTPOINT_DATA
run protocols
expect_status 0
holds out "1 protocol in $scratch/prefix/bin/../share/restpoint/protocols"
expect_err <<END
restpoint protocols: $scratch/prefix/bin/../share/restpoint/protocols/beside.json: its name is again, but it is found as beside
END
run protocols beside
expect_status 0
RESTPOINT_DATA=$scratch/nowhere
export RESTPOINT_DATA
run protocols
expect_status 5
expect_err <<END
$scratch/nowhere/protocols: folder of installed protocols: found No such file or directory; accepted: a folder that can be read; install restpoint, or set RESTPOINT_DATA to the folder that holds protocols/.
END

# The presets: assumed numbers are marked.
run protocols --tables
expect_status 0
at_most_80 out
for preset in pool-9ft pool-8ft pool-7ft carom-10ft snooker-12ft blackball-7ft; do
	holds out "$preset"
done
holds out '  noses        29.4 mm above the bed (assumed)'
holds out '  sight marks  93.66 mm behind the noses (assumed)'
run protocols --tables --json
expect_status 0
valid_json out
holds out '"format": "restpoint-tables"'
holds out '"assumed": ["nose_height_m", "corner_mouth_m", "side_mouth_m"]'
finish
