#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# A guided session by a script: questions on standard output, answers on standard input, line by
# line. The terminal has its own test, test_guide_terminal.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"
make_protocol
make_constants
SOURCE_DATE_EPOCH=1773446400
export SOURCE_DATE_EPOCH

# guide ARGUMENT...: a session with the standard input as its answers.
guide()
{
	label="restpoint guide $*"
	status=0
	"$restpoint" guide "$@" >out 2>err || status=$?
}

# A session: two settings of six, a stroke, a slip taken back, a reading passed over, a miscue, and the end
# of the input in the middle of a stroke. What was typed stands in the file, all of it.
guide trial -o session.csv --no-fit <<'END'

Table 3
AB



0.871
undo
0.917
8.35
3 3/8
note off the line
0.884
-
f head
0.9
miscue thin
0.902
END
expect_status 0
expect_no_err
at_most_80 out
cat >session.wanted <<'END'
#table,pool-9ft
#protocol,trial
#date,2026-03-14
#table_name,Table 3
#player,AB
shot,try,cue_rest_long,watch1,watch2,valid,note
timed-lag,1,3.375,0.917,8.35,,off the line
timed-lag,2,f head,0.884,,,
timed-lag,3,,0.9,,no,miscue: thin
timed-lag,4,,0.902,,,
END
same session.csv <session.wanted
holds out 'Shot 1 of 4, timed-lag, stroke 1 of 3: Lag with two split times'
holds out '       |        C..............................|'
holds out "(1/3) seconds from the strike to the cue ball's 1st rail: 0.871"
holds out '    = long 3.38 diamonds'
holds out '    = not measured'
holds out '    = frozen to the head rail'
holds out 'Taken back.'
holds out 'session.csv: 3 strokes of trial, 1 set aside; 10 still to play.'
holds out 'Go on with: restpoint guide trial -o session.csv'
[ "$(find . -name '*session.csv*' | wc -l)" -eq 1 ] || fail "something was left behind"

# Started again it goes on with the reading that is missing. Nothing typed, nothing changed.
guide trial -o session.csv --no-fit </dev/null
expect_status 0
holds out 'session.csv holds 4 strokes; it goes on from there.'
holds out 'Shot 1 of 4, timed-lag, stroke 3 of 3: Lag with two split times'
holds out "(2/3) seconds from the cue ball's 1st rail to the cue ball at rest:"
same session.csv <session.wanted

# A reading that cannot be is refused with the reason and asked for again; one that no stroke gives
# is doubted, and kept after a yes or when it is typed again.
guide trial -o session.csv --player CD --no-fit <<'END'
31/2
8.1
3.1
right 5.19
left 1.08
right 6.19
right 6.19
5
yes
5.1
no
0.5
undo
undo
END
expect_status 0
at_most_80 out
holds out 'Not understood: "31/2".'
holds out ' simulated strokes of this shot with the'
holds out 'Keep it? yes, or the right reading: right 6.19'
holds out 'Keep it? yes, or the right reading: '
holds session.csv 'firm-half,1,CD'
run check session.csv
expect_status 0

# Words that are no reading.
guide trial -o words.csv --table=pool-8ft --table-name='Table 3' --player=AB --ball-set=house \
	--cloth=blue --set microphone_long=4 --set microphone_short=1.5 <<'END'
help
shot
shot nowhere
shot cross-side
leave
known

unod
f head
undo
enough
0.5
END
expect_status 0
at_most_80 out
holds out 'miscue WHY    set this stroke aside and play it again'
holds out 'cross-side           0 of 3 played'
holds out 'There is no shot "nowhere" in this protocol; its shots are:'
holds out 'Shot 3 of 4, cross-side, stroke 1 of 3: Square across with right side'
holds out 'Left out: cross-side (shot cross-side brings it back, or a new start).'
holds out 'Nothing is known yet'
holds out 'Type the reading, - where it was not taken, or help.'
holds out 'There is nothing to do that to.'
holds out 'Did you mean undo?'
[ "$(grep -c 'Did you mean' out)" -eq 1 ] || fail "a reading was taken for a word"
lacks out 'Settings of the session'
same words.csv <<'END'
#table,pool-8ft
#protocol,trial
#date,2026-03-14
#table_name,Table 3
#ball_set,house
#cloth,blue
#player,AB
#microphone_long,4
#microphone_short,1.5
shot
END

# What could not stand in the file does not get there.
printf 'note a\tb\nmiscue \377\n\377\n0.9\n' >answers.txt
guide trial -o words.csv --no-fit --player 'E,F "G"' <answers.txt
expect_status 0
[ "$(grep -c 'Not understood: a' out)" -eq 3 ] || fail "not three refusals"
holds words.csv 'timed-lag,1,"E,F ""G""",0.9'
run check words.csv
expect_status 0
cp words.csv kept.csv
guide trial -o words.csv --player "$(printf 'E\tF')" </dev/null
expect_status 2
cmp -s words.csv kept.csv || fail "the file was changed"

# A file that counts frames and tenths of diamonds is asked and written so.
guide trial -o tenths.csv --no-fit --table=pool-9ft --table-name=a --player=b --ball-set=c --cloth=d \
	--set microphone_long=4 --set microphone_short=1.5 --set frames_per_second=60 \
	--set diamond_value=10 <<'END'
55
501
33.5
END
expect_status 0
holds out "(1/3) frames from the strike to the cue ball's 1st rail: 55"
holds out '    = 0.917 s'
holds out '    = long 3.35 diamonds'
holds tenths.csv 'timed-lag,1,33.5,55,501'

# A whole session, made by the simulation, goes on where the last stroke is taken out: the fit tells
# what is known, and the file is as fit and check want it.
session whole.csv --seed 5
sed '$d' whole.csv >most.csv
guide trial -o most.csv --want rolling_resistance=90% --want 'ball friction=0.1' </dev/null
expect_status 0
holds out 'Known after 11 strokes'
holds out ', reached: 90 %'
holds out ', wanted: 0.1 %'
holds out 'Most tells now: '

# The fit chooses the next shot; one object of JSON, the dialogue beside it.
guide trial -o most.csv --adapt --want rolling_resistance=1% --json <<'END'
shot cross-side
right 3.25
left 2.2
END
expect_status 0
holds err 'Working out which shot tells most ...'
holds err 'one more than planned'
valid_json out
holds out '"constant": "rolling_resistance", "state": "'
holds out '"next": {'
guide trial -o json.csv --json </dev/null
expect_status 0
valid_json out
holds out '"format": "restpoint-guide"'
holds out '"ended": "end of input"'
holds err 'Settings of the session'

# What is refused is left alone: another protocol, faults, a changed table, a folder.
sed 's/#protocol,trial/#protocol,other/' session.csv >other.csv
sed 's/"name": "trial"/"name": "other"/' data/protocols/trial.json >data/protocols/other.json
sed 's/^timed-lag,1,[^,]*/timed-lag,1,31\/2/' whole.csv >faulty.csv
for file in other faulty; do
	cp "$file.csv" kept.csv
	guide trial -o "$file.csv" <<'END'
1.5
END
	expect_status 3
	expect_no_out
	holds err "$file.csv was left as it is; mend it, or name another file with --output"
	cmp -s "$file.csv" kept.csv || fail "the file was changed"
done
guide trial -o other.csv </dev/null
holds err 'other.csv:2:2: #protocol: found "other"; accepted: trial, the protocol to be played;'
cp session.csv kept.csv
guide trial -o session.csv --table pool-7ft </dev/null
expect_status 2
holds err 'session.csv was begun with other settings than the options say'
cmp -s session.csv kept.csv || fail "the file was changed"
guide trial </dev/null
expect_status 2
holds err 'option --output is missing: it names the measurement file, as in -o session.csv'
guide trial -o new.csv --want slip=5% </dev/null
expect_status 2
holds err 'option --want: found "slip=5%"; accepted: CONSTANT=PERCENT'
guide trial -o new.csv --table billiards </dev/null
expect_status 2
guide trial -o new.csv --adapt --no-fit </dev/null
expect_status 2
guide nothing -o new.csv </dev/null
expect_status 3
guide trial -o data/protocols/trial.json </dev/null
expect_status 2
guide trial -o missing/new.csv </dev/null
expect_status 5
[ ! -e new.csv ] || fail "a file was made"

# wait_for FILE TEXT: until a line of FILE holds it.
wait_for()
{
	until grep -q -F -e "$2" "$1"; do
		sleep 0.05
	done
}

# begin FILE: a guide that is typed to by a pipe, descriptor 3; it has asked for its first reading.
begin()
{
	rm -f answers
	mkfifo answers
	env --default-signal=INT "$restpoint" guide trial -o "$1" --table=pool-9ft --table-name=a \
		--player=b --ball-set=c --cloth=d --no-fit --set microphone_long=4 \
		--set microphone_short=1.5 <answers >out 2>err &
	child=$!
	exec 3>answers
	wait_for out '(1/3) '
}

# A disk that is full: what was typed is not lost as long as the guide runs, and the end says that it
# was not written; the file is as it was. A limit of the size of files stands for the full disk.
cp session.csv kept.csv
label='full disk'
echo miscue >answers.txt
(
	trap '' XFSZ
	ulimit -f 0
	{
		"$restpoint" guide trial -o session.csv --no-fit <answers.txt 2>&1
		echo "exit status $?"
	} | grep -o -e 'Not written yet; it is tried again after the next answer.' \
		-e 'session.csv holds less than was typed' -e '^exit status 5$' | sort -u | grep -c . | grep -q -x 3
) || fail "a full disk was not told"
cmp -s session.csv kept.csv || fail "the file was changed"
[ "$(find . -name '*session.csv*' | wc -l)" -eq 1 ] || fail "something was left behind"

# Ctrl-C: everything entered is in the file.
begin stopped.csv
label='Ctrl-C'
echo 0.917 >&3
wait_for out '(2/3) '
kill -s INT "$child"
status=0
wait "$child" || status=$?
exec 3>&-
expect_status 130
holds err 'interrupted; every answer is in stopped.csv, and restpoint guide trial -o stopped.csv goes on'
holds stopped.csv 'timed-lag,1,0.917'

# Another program changes the file meanwhile: it is not written over.
begin changed.csv
label='changed meanwhile'
echo 0.917 >&3
wait_for out '(2/3) '
echo 'timed-lag,2,0.9' >>changed.csv
cp changed.csv kept.csv
echo 8.35 >&3
status=0
wait "$child" || status=$?
exec 3>&-
expect_status 3
holds err 'changed.csv was changed or taken away by another program while the guide ran'
cmp -s changed.csv kept.csv || fail "the file was written over"

# Killed without warning in the middle of a line: all but that line is there, and it goes on.
begin killed.csv
label='killed'
echo 0.917 >&3
wait_for out '(2/3) '
printf 8.3 >&3
kill -s KILL "$child"
wait "$child" 2>/dev/null || true
exec 3>&-
holds killed.csv 'timed-lag,1,0.917'
run check killed.csv
expect_status 0
guide trial -o killed.csv --no-fit </dev/null
holds out "(2/3) seconds from the cue ball's 1st rail to the cue ball at rest:"
finish
