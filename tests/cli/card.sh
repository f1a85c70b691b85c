#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# card: its three forms, every shipped protocol, what is refused, and that a file is replaced whole.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

make_protocol
make_constants
cp "$abs_top_srcdir"/protocols/*.json data/protocols

# One PDF of all sheets, one or (where the machine's type is wide) two for each shot; where pdfinfo is
# at hand, as many pages as sheets.
for protocol in full phone usual trial; do
	run card "$protocol" -o "$protocol.pdf" --json
	expect_status 0
	sheets=$(grep -c '"about": ' out)
	[ "$(grep -c '"about": "shot' out)" -eq "$(grep -c '"shot":' "data/protocols/$protocol.json")" ] ||
		fail "not a sheet for each shot"
	holds err "$sheets sheets written to $protocol.pdf, seed 1"
	[ "$(head -c 5 "$protocol.pdf")" = '%PDF-' ] || fail "no PDF"
	[ "$(tail -c 6 "$protocol.pdf" | tr -d '\n')" = '%%EOF' ] || fail "the PDF is cut off"
	if command -v pdfinfo >/dev/null 2>&1; then
		[ "$(pdfinfo "$protocol.pdf" | sed -n 's/^Pages: *//p')" -eq "$sheets" ] ||
			fail "not a page for each sheet"
	fi
done

# The same call gives the same file; the seed and the constants change it; an old file is replaced
# whole and nothing is left beside it.
run card usual -o again.pdf
expect_status 0
expect_no_out
cmp -s usual.pdf again.pdf || fail "two cards of one protocol differ"
run card usual -o again.pdf --seed=2
holds err 'seed 2'
if cmp -s usual.pdf again.pdf; then fail "another seed, the same card"; fi
mkdir alone
seq 20000 >alone/old.pdf
run card usual -o alone/old.pdf
cmp -s usual.pdf alone/old.pdf || fail "the old file was not replaced whole"
[ "$(ls alone)" = old.pdf ] || fail "something is left beside the file"
run card usual -o again.pdf --constants=constants.json
expect_status 0
if cmp -s usual.pdf again.pdf; then fail "other constants, the same card"; fi

# A numbered file for each sheet of a form that has one, with numbers of one length; one sheet alone
# keeps its name.
run card full -o sheet.SVG
expect_status 0
expect_no_out
holds err 'sheets written to sheet-01.SVG to sheet-1'
for file in sheet-*.SVG; do
	[ "$(head -c 5 "$file")" = '<?xml' ] || fail "no XML"
	if command -v xmllint >/dev/null 2>&1; then
		xmllint --noout --nonet "$file" || fail "the SVG is not well-formed"
	fi
done
[ ! -e sheet.SVG ] && [ ! -e sheet-1.SVG ] && [ -e sheet-10.SVG ] || fail "other files than the sheets"
run card usual -o us.svg --paper=letter
holds err 'sheets written to us-1.svg to us-'
holds us-1.svg 'width="215.9mm" height="279.4mm"'
holds sheet-01.SVG 'width="210mm" height="297mm"'
run card usual -o one.png --shot=lag
expect_status 0
same err <<'END'
restpoint card: 1 sheet written to one.png, seed 1
END
[ "$(head -c 8 one.png | od -An -tx1 | tr -d ' \n')" = 89504e470d0a1a0a ] || fail "no PNG"

# With --json the facts of the sheets. Drop of a ramp: 0.7 v^2 / g, and v^2 / (2 g) (1 + 2/(5 s^2))
# in a groove, s = sin(45 degrees): 25.6968 mm and 132.155 mm by hand.
cat >data/protocols/ramps.json <<'END'
{ "format": "restpoint-protocol", "version": 1, "name": "ramps", "title": "t", "purpose": "Invented.",
  "minutes": 9, "kit": ["tape", "ramp"],
  "shots": [
   { "shot": "there", "title": "Roll", "tries": 2, "place": { "cue": { "long": 2, "short": 1.875 } },
     "aim": { "point": { "long": 8, "short": 1.875 } },
     "launch": { "by": "ramp", "ramp": "board", "speed_m_s": 0.6 },
     "measure": ["cue_rest_long"], "how": "Roll." },
   { "shot": "back", "title": "Roll back", "tries": 2, "place": { "cue": { "long": 6, "short": 2 } },
     "aim": { "point": { "long": 0, "short": 2 } },
     "launch": { "by": "ramp", "ramp": "board", "speed_m_s": 0.6 },
     "measure": ["cue_rest_long"], "how": "Roll back." },
   { "shot": "kick", "title": "Kick", "tries": 40, "place": { "cue": { "long": 1, "short": 1 } },
     "aim": { "sight": { "rail": "right", "at": 2.5 } },
     "launch": { "by": "ramp", "ramp": "angle", "speed_m_s": 1.2, "groove_deg": 90 },
     "measure": ["cue_rail1", "cue_rail2"], "how": "Kick." },
   { "shot": "curve", "title": "Curve", "tries": 2, "place": { "cue": { "long": 2, "short": 1 } },
     "aim": { "point": { "long": 8, "short": 2 } },
     "launch": { "by": "cue", "speed_m_s": 1.4, "speed_spread": 0.1, "height": -0.2,
                 "height_spread": 0.05, "side": -0.3, "side_spread": 0.05, "elevation_deg": 35 },
     "measure": ["cue_rail1"], "how": "Curve." } ] }
END
run card ramps -o ramps.pdf --json
expect_status 0
valid_json out
valid_json_lines err
holds out '"format": "restpoint-card"'
holds out '"seed": 1'
[ "$(grep -c '"about": "ramp"' out)" -eq 2 ] || fail "not one sheet for each ramp"
# Forty tries have no room beside the drawing: their boxes stand on a sheet of their own.
[ "$(grep -c '"about": "boxes"' out)" -eq 1 ] || fail "no sheet of boxes"
holds out '"drop_mm": 25.6968'
holds out '"drop_mm": 132.155'
[ "$(grep -c '"can_hurt": true' out)" -eq 1 ] || fail "not one shot that can hurt"
run card ramps -o ramps.pdf --json --shot=back --table=carom-10ft
expect_status 0
holds out '"table": "carom-10ft"'
if grep -q '"shot": "there"' out; then fail "a shot that was not asked for"; fi

# A profile tells the table and what is known of it; --table wins.
sed 's/"preset": "pool-9ft"/"preset": "pool-8ft"/' "$abs_top_srcdir/tests/unit/corpus/good-profile.json" \
	>profile.json
run card usual -o profile.pdf --constants=profile.json --shot=lag --json
expect_status 0
holds out '"table": "pool-8ft"'
holds out '"constants": "what the profile given knows of this table"'
run card usual -o profile.pdf --constants=profile.json --shot=lag --table=pool-7ft --json
holds out '"table": "pool-7ft"'

# refused STATUS COMPLAINT ARGUMENT...: nothing is written and nothing answered.
refused()
{
	wanted_status=$1 complaint=$2
	shift 2
	run card "$@"
	expect_status "$wanted_status"
	expect_no_out
	holds err "$complaint"
	[ -z "$(ls new* 2>/dev/null)" ] || fail "something was written"
}
refused 2 'a file or name is missing' -o new.pdf
refused 2 'option --output is missing; name a file that ends in .pdf, .svg or .png' usual
refused 2 'option --output: found "new.ps"; accepted: a file whose name ends in .pdf, .svg or .png' \
	usual -o new.ps
refused 2 'option --output: found ".pdf"; accepted:' usual -o .pdf
refused 2 'option --paper: found "a5"; accepted: a4, letter' usual -o new.pdf --paper=a5
refused 2 'option --table: found "pool-9tf"; did you mean pool-9ft?' usual -o new.pdf \
	--table=pool-9tf
refused 2 'option --table: found "zzzzzz"; accepted: pool-9ft, pool-8ft' usual -o new.pdf \
	--table=zzzzzz
refused 2 'option --shot: found "lga"; did you mean lag?' usual -o new.pdf --shot=lga
refused 2 'option --seed: found "x"; accepted: a whole number' usual -o new.pdf --seed=x
refused 3 'found "usaul", which is not installed; accepted:' usaul -o new.pdf
echo '{ "format": "restpoint-protocol", "version": 1, "name": "b" }' >b.json
refused 3 'b.json:1:' ./b.json -o new.pdf
echo '{ "sliding_friction": 2 }' >bad-constants.json
refused 3 'bad-constants.json:1:' usual -o new.pdf --constants=bad-constants.json
refused 5 'missing/new.pdf cannot be written: folder missing: No such file or directory' usual \
	-o missing/new.pdf
mkdir folder.pdf
refused 5 'folder.pdf is a folder; name a file in it' usual -o folder.pdf

# A shot that has no room on the table names itself, and the old file stays.
echo old >kept.pdf
sed 's/"long": 3, "short": 2.25/"long": 2.63, "short": 2.25/' data/protocols/trial.json \
	>data/protocols/crowded.json
run card crowded -o kept.pdf
expect_status 3
expect_no_out
holds err 'shot spin-on-the-spot: no card of it on this table: found two balls stand inside one another'
echo old | same kept.pdf
finish
