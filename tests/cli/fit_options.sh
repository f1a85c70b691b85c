#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# What fit is asked for besides the constants: each option adds its part to the answer, to the object
# and to the profile, which show reads again; without it that part is not there.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

make_protocol
make_constants
run simulate --protocol trial --constants constants.json --seed 8 -o session.csv
expect_status 0
run fit session.csv -o plain.json
expect_status 0
for word in 'Slope of the bed' 'Cushions at speed' 'Rails (factors' 'The player' 'Nap of'; do
	lacks out "$word"
done
for key in slope liveliness_with_speed rails lines sessions nap; do
	lacks plain.json "\"$key\""
done

# part OPTION TITLE KEY: the option's part of the text, and its key in the profile.
part()
{
	run fit session.csv "$1" -o more.json
	expect_status 0
	holds out "$2"
	valid_json more.json
	holds more.json "\"$3\": {"
	run show more.json
	expect_status 0
	holds out "$2"
}

part --slope 'Slope of the bed' slope
part --liveliness-with-speed 'Cushions at speed' liveliness_with_speed
part --per-rail 'Rails (factors about the mean of the four' rails
part --grips 'grip of ball O ' balls
lacks more.json '"O": { "reference": false, "grip": { "value": 1, "state": "held" } }'
part --nap 'Nap of the cloth' nap
part --player 'you strike ' player
holds more.json '"sessions": ['
holds more.json '"speed_factor": { "value": '

run fit session.csv --nap --slope
expect_status 2
holds err '--nap and --slope are not told apart by how balls roll'

run fit session.csv --slope --json
expect_status 0
valid_json out
holds out '"plane": '
holds out '"lines": ['
finish
