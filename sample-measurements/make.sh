#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Makes the simulated sessions of this folder again, each with its constants, its seed and its
# settings, by `restpoint` as the shell finds it:
#
#   sh sample-measurements/make.sh FOLDER
#
# writes them into FOLDER, which must exist. All of it is invented: no such table, player or event.
set -eu
here=$(dirname "$0")
folder=${1:?name the folder to write into}

# session FILE PROTOCOL CONSTANTS SEED SETTING...
session()
{
	file=$folder/$1 protocol=$2 constants=$here/$3 seed=$4
	shift 4
	for setting; do
		set -- "$@" --set "$setting"
		shift
	done
	restpoint simulate --protocol "$protocol" --constants "$constants" --seed "$seed" "$@" \
		--set note="invented: simulated, no real table" --output "$file"
}

session club-table-before-cleaning.csv full constants-club-before.json 308 \
	table=pool-9ft session="before cleaning" date=2026-03-09 place="club room" \
	table_name="Table 3" ball_set="house set, as found" cloth="worsted, blue" cloth_days=412 \
	temperature_c=20.5 humidity_percent=51 player=AB

session club-table-after-cleaning.csv full constants-club-after.json 311 \
	table=pool-9ft session="after cleaning" date=2026-03-10 place="club room" \
	table_name="Table 3" ball_set="house set, washed and dried" cloth="worsted, blue, brushed" \
	cloth_days=413 temperature_c=20.5 humidity_percent=49 player=AB

session event-table-by-phone.csv phone constants-event.json 617 \
	table=pool-9ft session="set-up day" date=2026-06-12T17:40:00+02:00 place="sports hall" \
	table_name="Table 7 of 10" ball_set="event set, new" cloth="worsted, new" cloth_days=3 \
	temperature_c=23 humidity_percent=44 player=CD microphone_long=4 microphone_short=0

session usual-three-shots.csv usual constants-usual.json 117 \
	table=pool-9ft session="five minutes before the match" date=2026-01-17 \
	place="away club" table_name="Table 1" player=EF
