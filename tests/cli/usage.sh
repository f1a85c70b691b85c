#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# A wrong command line: exit status 2, nothing on standard output, one complaint that names the
# nearest known word, and the usage line. Wanted texts: written by hand from the rules of formats.md 6.
# shellcheck source=tests/cli/common.sh
. "${abs_top_srcdir:?}/tests/cli/common.sh"

usage_of_program='Usage: restpoint COMMAND [OPTION]... [FILE]...'
usage_of_fit='Usage: restpoint fit FILE.csv... [--protocol=P] [-o PROFILE.json] [--seed=N]
       [--json]'

# wrong USAGE COMPLAINT: what the last run must have said.
wrong()
{
	expect_status 2
	expect_no_out
	printf '%s\n%s\n' "$2" "$1" | expect_err
}

run
wrong "$usage_of_program" 'restpoint: a command is missing; restpoint --help lists them'
run fti
wrong "$usage_of_program" 'restpoint: unknown command "fti"; did you mean fit?'
run protocol
wrong "$usage_of_program" 'restpoint: unknown command "protocol"; did you mean protocols?'
run calibrate
wrong "$usage_of_program" 'restpoint: unknown command "calibrate"; restpoint --help lists the commands'
run --hlep
wrong "$usage_of_program" 'restpoint: a command comes first, found "--hlep"; did you mean --help?'
run --seed=3 fit x.csv
wrong "$usage_of_program" \
	'restpoint: a command comes first, found "--seed=3"; restpoint --help lists the commands'
run help chek
wrong "$usage_of_program" 'restpoint: there is no help on "chek"; did you mean check?'

run fit
wrong "$usage_of_fit" 'restpoint fit: a file or name is missing'
run fit --sede=3 x.csv
wrong "$usage_of_fit" 'restpoint fit: unknown option "--sede"; did you mean --seed?'
run fit x.csv --protcol trial
wrong "$usage_of_fit" 'restpoint fit: unknown option "--protcol"; did you mean --protocol?'
# The beginning of a name is not the option, but it is near.
run fit x.csv --prot trial
wrong "$usage_of_fit" 'restpoint fit: unknown option "--prot"; did you mean --protocol?'
run fit x.csv --quite-another-thing
wrong "$usage_of_fit" 'restpoint fit: unknown option "--quite-another-thing"'
run fit -x x.csv
wrong "$usage_of_fit" 'restpoint fit: unknown option "-x"'
run fit x.csv --seed
wrong "$usage_of_fit" 'restpoint fit: option --seed needs a value; write --seed=N'
run fit x.csv --seed=
wrong "$usage_of_fit" 'restpoint fit: option --seed needs a value; write --seed=N'
run fit x.csv -o
wrong "$usage_of_fit" 'restpoint fit: option --output needs a value; write --output=PROFILE.json'
run fit x.csv --help=yes
wrong "$usage_of_fit" 'restpoint fit: option --help takes no value, found "yes"; leave it out'
run fit x.csv --seed 3 --seed=4
wrong "$usage_of_fit" 'restpoint fit: option --seed is given twice; give it once'
for seed in -1 1.5 0x10 1e3 9007199254740992 99999999999999999999 one ' 3'; do
	run fit x.csv "--seed=$seed"
	wrong "$usage_of_fit" "restpoint fit: option --seed: found \"$seed\"; accepted: a whole number \
from 0 to 9007199254740991"
done

run check a.csv b.csv
wrong 'Usage: restpoint check FILE.csv [--protocol=P] [--json]' \
	'restpoint check: "b.csv" is too much'
run show
wrong 'Usage: restpoint show PROFILE.json [--json]' 'restpoint show: a file or name is missing'
run protocols --tables trial
wrong 'Usage: restpoint protocols [NAME | --tables] [--json]' \
	'restpoint protocols: --tables shows the presets of tables and takes no name of a protocol; give one of the two'

usage_of_simulate='Usage: restpoint simulate --protocol=P --constants=FILE.json [--seed=N]
       [--noise=no] [--set=KEY=VALUE]... [-o FILE.csv] [--trace=FILE
       [--shot=NAME]] [--json]'
make_protocol
make_constants
run simulate --constants constants.json
wrong "$usage_of_simulate" 'restpoint simulate: option --protocol is missing'
run simulate --protocol trial
wrong "$usage_of_simulate" 'restpoint simulate: option --constants is missing'
run simulate --protocol trial --constants constants.json --noise maybe
wrong "$usage_of_simulate" 'restpoint simulate: option --noise: found "maybe"; accepted: yes, no'
run simulate --protocol trial --constants constants.json --set table
wrong "$usage_of_simulate" 'restpoint simulate: option --set: found "table"; accepted: KEY=VALUE, a setting of a measurement file without its #'
run simulate --protocol trial --constants constants.json extra
wrong "$usage_of_simulate" 'restpoint simulate: "extra" is too much'

# A file given twice would count twice, by whatever name.
session a.csv
ln -s a.csv b.csv
run fit a.csv ./a.csv
wrong "$usage_of_fit" 'restpoint fit: a.csv and ./a.csv are one file; give it once'
run fit a.csv b.csv
wrong "$usage_of_fit" 'restpoint fit: a.csv and b.csv are one file; give it once'

# A time that is none would make the profile lie about its age.
for epoch in yesterday -1 1.5 253402300800; do
	SOURCE_DATE_EPOCH=$epoch
	export SOURCE_DATE_EPOCH
	run fit a.csv
	wrong "$usage_of_fit" 'restpoint fit: the variable SOURCE_DATE_EPOCH is not a number of seconds since 1970; correct or unset it'
done
finish
