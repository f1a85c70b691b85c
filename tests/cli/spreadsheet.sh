#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# A file as a spreadsheet with a decimal comma saves it: byte order mark, CR LF, `;`, settings rows
# padded with empty cells, blank rows, fractions, units, frozen balls, blanks for what was not seen.
# The readings are those of a simulated session, written by hand as a player would.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
{
	printf '\357\273\277'
	sed 's/$/\r/' <<'END'
#table;pool-9ft;;;;;;;;;;;
#protocol;trial;;;;;;;;;;;
#table_name;Table 4, at the window;;;;;;;;;;;
#temperature_c;21,5;;;;;;;;;;;
#rail_error;0,08;;;;;;;;;;;
#note;"Monday; cloth brushed";;;;;;;;;;;
;;;;;;;;;;;;
shot;try;valid;note;cue_rest_long;cue_rail1;cue_rail2;object_rest_long;object_rail1;watch1;watch2;sound1;sound2
timed-lag;1;;;3 7/8;;;;;1,05;7,66;;
timed-lag;2;;;"4,93";;;;;1,35;7,81;;
timed-lag;3;yes;good;88.7in;;;;;0,62;8,42;;
timed-lag;;no;hit bit firm;f head;;;;;-;n/a;;
;;;;;;;;;;;;
firm-half;1;;;;right 4,63;;;foot 1,72;;;0,236;1,157
firm-half;2;;;;right 4½;;;1,41;;;0,178;0,774
firm-half;3;;;;4,54;;;1 3/8;;;0,224;0,962
firm-half;4;;;;right 4-1/2;;;foot 1¼;;;0,193;0,862
cross-side;1;;;;3,08;1,66;;;;;;
cross-side;2;;;;3,32;1⅞;;;;;;
cross-side;3;;;;3,21;left 1,95;;;;;;
spin-on-the-spot;1;;;;;;4,97;;5,06;;;
spin-on-the-spot;2;;;;;;3½;;5,39;;;
;;;;;;;;;;;;
END
} >monday.csv

run check monday.csv
expect_status 0
expect_no_err
at_most_80 out
holds out '  written with   ; between cells, decimal comma allowed'
holds out '  table name     Table 4, at the window'
holds out '  temperature    21.5 °C'
holds out '  note           Monday; cloth brushed'
holds out '  timed-lag: 3 strokes, 1 set aside, 9 readings'
# 88.7 in of 12.5 in a diamond are 7.096.
holds out '    cue_rest_long         3  3.88 to 7.10 diamonds'
holds out '    cue_rail1             4  4.50 to 4.63 diamonds'
holds out '    object_rail1          4  1.25 to 1.72 diamonds'
holds out '    object_rest_long      2  3.50 to 4.97 diamonds'
holds out '  line 12, shot timed-lag: hit bit firm'
run fit monday.csv -o profile.json
expect_status 0
holds out '12 strokes used, 1 row set aside.'
holds out '  monday.csv line 12, shot timed-lag: hit bit firm'
holds profile.json '"table_name": "Table 4, at the window"'
holds profile.json '"line": 12'
finish
