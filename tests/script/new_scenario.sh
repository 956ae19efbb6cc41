#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# new_scenario.sh EMBERLAP: what `emberlap new` writes runs as it stands, and is never overwritten.
set -u
emberlap=$1
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
cd "$scratch" || exit 1
bad=0

complain() {
  echo "$1"
  bad=1
}

# refuses TEXT WORDS...: status 2, TEXT on standard error, and nothing is written
refuses() {
  local text=$1 before after
  shift
  before=$(find . -type f -exec md5sum {} + | sort)
  "$emberlap" "$@" >stdout.tmp 2>stderr.tmp
  [ $? -eq 2 ] || complain "$*: no status 2"
  grep -qF -- "$text" stderr.tmp || complain "$*: not on standard error: $text: $(cat stderr.tmp)"
  rm -f stdout.tmp stderr.tmp
  after=$(find . -type f -exec md5sum {} + | sort)
  [ "$before" = "$after" ] || complain "$*: files have changed"
}

# a folder below, and run from another one
mkdir there saved elsewhere
"$emberlap" new --out there first_try.lua >said || complain "new: status $?"
grep -qF 'emberlap run there/first_try.lua' said || complain "new does not say how to go on"
[ "$(find there -type f | sort | tr '\n' ' ')" = "there/first_try.lua there/first_try_log.csv " ] ||
  complain "new wrote: $(find there -type f)"
grep -q '@' there/first_try.lua && complain "a placeholder is left in the scenario"
(cd elsewhere && "$emberlap" check ../there/first_try.lua --out ../saved >../out 2>../err) ||
  complain "check: $(cat err)"
(cd elsewhere && "$emberlap" run ../there/first_try.lua --out ../saved >../out 2>../err) ||
  complain "run: status $?: $(cat err)"
for text in 'HOW HOT' 'hotter day' 'front ducts'; do
  grep -qF "$text" out || complain "the page lacks: $text"
done
[ -s saved/first_try.csv ] || complain "the scenario saves no history"
[ -z "$(ls elsewhere)" ] || complain "files where nothing was to be written"
rm -f out err said

# every figure has a sentence, and no line is too wide to read beside its comment
awk 'length > 110 { exit 1 }' there/first_try.lua || complain "a line of the scenario is too wide"
[ "$(grep -c ' -- ' there/first_try.lua)" -ge 30 ] || complain "too few comments"

refuses 'there/first_try.lua is there already' new first_try --out there
refuses 'there/first_try.lua is there already' new first_try.lua --out there
refuses 'is no name for a scenario' new ../first_try
refuses 'is no name for a scenario' new 'a b'
refuses 'is no name for a scenario' new .lua
refuses 'is no name for a scenario' new "$(printf 'n%.0s' {1..61})"
refuses 'new needs one name' new
refuses 'new needs one name' new one two
refuses 'cannot write nowhere/one.lua' new one --out nowhere
[ ! -e nowhere ] || complain "new made a folder"
refuses 'did you mean "new"?' nwe

# the name may end in .lua or not; a link by that name is not written through
"$emberlap" new second >/dev/null && [ -s second.lua ] || complain "new without .lua"
ln -s target third.lua
refuses 'third.lua is there already' new third
[ ! -e target ] || complain "new wrote through a link"

# a log of one's own is left alone
echo 'Time [s],Speed [km/h],Lap' >fourth_log.csv
"$emberlap" new fourth >said || complain "new beside a log: status $?"
grep -qF 'left as it is' said || complain "new does not say that the log is kept"
[ "$(wc -l <fourth_log.csv)" -eq 1 ] || complain "new overwrote a log"
exit "$bad"
