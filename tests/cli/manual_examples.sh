#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Every example of the man pages, README.md and DEVELOPERS.md is run, and what it prints is what the
# document shows, byte for byte.
#
# An example is a display (.EX to .EE in a page, a fenced block in Markdown) whose first line begins
# with "$ ". In it a line "$ COMMAND" is a command, "> TEXT" below it goes on with it, and the lines
# up to the next command are all that it prints, messages on standard error included. A display that
# begins otherwise is not run. The examples of one document run one after the other in one folder,
# a copy of protocols/ and sample-measurements/, with RESTPOINT_DATA=. and a fixed time.
#
# After a change of what the program prints, look at the difference, and when it is meant, run from
# the top of the source folder, with the program built there:
#
#   abs_top_srcdir=$PWD abs_top_builddir=$PWD sh tests/cli/manual_examples.sh --update
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

# Wanted: what the document itself shows.
documents="README.md DEVELOPERS.md"
for page in "$abs_top_srcdir"/man/*.[15]; do
	documents="$documents man/${page##*/}"
done

# Shared by the two programs below. `inside` is true between the ends of a display, `fresh` on its
# first line, `example` in a display that is an example; the escapes are those of roff in a page and
# none in Markdown.
display_functions='
function is_open(line) { return roff ? line == ".EX" : line ~ /^```/ }
function is_close(line) { return roff ? line == ".EE" : line == "```" }
function follow(line)
{
	if (!inside) {
		inside = fresh = is_open(line)
		example = 0
		return
	}
	if (is_close(line)) {
		inside = example = 0
		return
	}
	if (fresh)
		example = line ~ /^\$ /
	fresh = 0
}
function replace(text, from, to, done, at)
{
	done = ""
	while ((at = index(text, from)) > 0) {
		done = done substr(text, 1, at - 1) to
		text = substr(text, at + length(from))
	}
	return done text
}
function start(file, name)
{
	roff = name !~ /\.md$/
	count = split("\\ \\e|- \\-|'\'' \\(aq|` \\(ga|^ \\(ha|~ \\(ti|" \
		"± \\(+-|° \\(de|½ \\(12|¼ \\(14|¾ \\(34", pairs, "|")
	for (i = 1; i <= count; i++) {
		split(pairs[i], pair, " ")
		plain[i] = pair[1]
		escaped[i] = pair[2]
	}
}
function to_roff(text)
{
	if (!roff)
		return text
	for (i = 1; i <= count; i++)
		text = replace(text, plain[i], escaped[i])
	return text ~ /^\./ ? "\\&" text : text
}
function from_roff(text)
{
	if (!roff)
		return text
	sub(/^\\&/, "", text)
	for (i = count; i >= 1; i--)
		text = replace(text, escaped[i], plain[i])
	return text
}
BEGIN { start(FILENAME, name) }
'

# The commands of a document: "E" begins an example, "$ ..." a command, "> ..." goes on with it.
commands_of()
{
	awk -v name="$1" "$display_functions"'
		{
			was = example
			follow($0)
			if (example && !was)
				print "E"
			if (example && /^[$>] /)
				print from_roff($0)
		}' "$abs_top_srcdir/$1"
}

# The document with "played" in place of its examples.
filled()
{
	awk -v name="$1" -v played="$2" "$display_functions"'
		function next_played() { more = (getline text <played) > 0 }
		BEGIN { next_played() }
		{
			was = example
			follow($0)
			if (!example)
				print
			else if (!was)
				for (next_played(); more && text != "E"; next_played())
					print to_roff(substr(text, 2))
		}' "$abs_top_srcdir/$1"
}

# Runs the command in $command, if any, in this shell, and prints it and what it prints, each line
# with a blank in front.
play()
{
	[ -n "$command" ] || return 0
	printf '%s\n' "$command" | sed '1s/^/ $ /; 2,$s/^/ > /'
	told=0
	(exit "$last")
	eval "$command" >"$scratch/told" 2>&1 </dev/null || told=$?
	last=$told
	sed 's/^/ /' "$scratch/told"
	command=
}

# Plays the commands of standard input in the current folder.
play_all()
{
	command='' last=0
	set +e
	while IFS= read -r line; do
		case $line in
		'> '*)
			command="$command
${line#> }"
			;;
		'$ '*)
			play
			command=${line#??}
			;;
		E)
			play
			echo E
			;;
		esac
	done
	play
}

mkdir bin
ln -s "$restpoint" bin/restpoint
PATH=$scratch/bin:$PATH
RESTPOINT_DATA=.
SOURCE_DATE_EPOCH=1795608000
export PATH RESTPOINT_DATA SOURCE_DATE_EPOCH

for document in $documents; do
	label=$document
	commands_of "$document" >commands
	if [ ! -s commands ]; then
		[ "$document" = DEVELOPERS.md ] || fail "shows no example"
		continue
	fi
	mkdir stage
	cp -R "$abs_top_srcdir/protocols" "$abs_top_srcdir/sample-measurements" stage
	chmod -R u+w stage
	(cd stage && play_all) <commands >played
	filled "$document" "$scratch/played" >wanted
	rm -rf stage
	cmp -s "$abs_top_srcdir/$document" wanted && continue
	if [ "${1-}" = --update ]; then
		cat wanted >"$abs_top_srcdir/$document"
		echo "$document: examples filled in anew"
	else
		fail "an example does not print what is shown (< shown, > printed)"
		diff "$abs_top_srcdir/$document" wanted || true
	fi
done
finish
