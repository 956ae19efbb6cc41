#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Journals of sweeps, by what happens to them: killed, resumed, shared out, joined, refused.
#   journal.sh EMBERLAP SUBJECT    SUBJECT is one of the functions at the end
# With MBL_CASES set, as in the long tier, 50 kills and not 10, and times are judged.
set -u

emberlap=$(realpath "$1")
here=$(dirname "$(realpath "$0")")
root=$(realpath "$here/../..")
work=$(mktemp -d) || exit 1
chmod 755 "$work"
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
bad=0
long=${MBL_CASES:+1}

complain() {
  echo "journal: $1" >&2
  bad=1
}

# A copy of script, module and log, for what changes them.
copy() {
  mkdir -p "$1/tracks"
  cp "$here/rings.lua" "$here/coupe.lua" "$1"
  cp "$root/tracks/harrow_vale_log.csv" "$1/tracks"
}

# sweep OUT [WORDS]: the script of the current folder, its journal below OUT.
sweep() {
  local out=$1
  shift
  "$emberlap" run rings.lua --root . --out "$out" "$@" >"$out.said" 2>"$out.notes"
}

# expect STATUS TEXT OUT [WORDS]: a sweep that ends so, with that in its notes.
expect() {
  local want=$1 text=$2
  shift 2
  sweep "$@"
  local got=$?
  [ "$got" = "$want" ] || complain "$*: exit $got, not $want: $(cat "$1.notes")"
  grep -qF -- "$text" "$1.notes" || complain "$*: not told \"$text\": $(cat "$1.notes")"
}

same() {
  cmp "$1" "$2" || complain "$2 is not as $1"
}

# Whole lines as in the reference, and no more than one torn one.
is_beginning() {
  local size whole
  [ -e "$2" ] || return 0 # killed before it was made
  size=$(stat -c %s "$2")
  cmp -s -n "$size" "$1" "$2" || complain "$2 is no beginning of $1"
  whole=$(($(wc -l <"$2")))
  [ "$whole" -le "$(wc -l <"$1")" ] || complain "$2 has too many lines"
}

lines() {
  [ -e "$1" ] && wc -l <"$1" || echo 0
}

# Waits until a journal has so many lines.
until_lines() {
  while [ "$(lines "$1")" -lt "$2" ]; do sleep 0.01; done
}

milliseconds() {
  local start
  start=$(date +%s%N)
  "$@" || complain "$* ended with $?"
  echo $((($(date +%s%N) - start) / 1000000))
}

# kill_within SIGNAL MILLISECONDS OUT WORDS: ends a sweep at a random instant; its status.
kill_within() {
  local signal=$1 most=$2 pause
  shift 2
  sweep_alone "$@" &
  pause=$((RANDOM % most + 1))
  sleep "$(printf '%d.%03d' $((pause / 1000)) $((pause % 1000)))"
  kill "-$signal" $! 2>/dev/null
  wait $! 2>/dev/null
}

# The same as sweep, but in place of this shell.
sweep_alone() {
  local out=$1
  shift
  exec "$emberlap" run rings.lua --root . --out "$out" "$@" >"$out.said" 2>"$out.notes"
}

# ---- subjects ----

kills() {
  local n=10 whole i
  local what="hot=2 rings=39"
  [ -z "$long" ] || n=50
  RANDOM=1
  copy . && sweep reference $what --workers 2 || complain "no reference: $(cat reference.notes)"
  whole=$(milliseconds sweep timed $what --workers 2)
  for ((i = 0; i < n; i++)); do
    kill_within KILL "$whole" "k$i" $what --workers $((i % 3 + 1))
    is_beginning reference/rings.csv "k$i/rings.csv"
    echo "kill $i in $whole ms: $(lines "k$i/rings.csv") lines of 120"
    kill_within KILL "$whole" "k$i" $what --resume --workers $(((i + 1) % 3 + 1))
    is_beginning reference/rings.csv "k$i/rings.csv"
    sweep "k$i" $what --resume || complain "k$i: $(cat "k$i.notes")"
    same reference/rings.csv "k$i/rings.csv"
    same reference.said "k$i.said"
    rm -rf "k$i"
  done
}

interrupt() {
  local status
  copy . && sweep reference hot=1 rings=400 || complain "no reference"
  sweep_alone one hot=1 rings=400 &
  until_lines one/rings.csv 10
  kill -INT $!
  wait $!
  status=$?
  [ "$status" = 130 ] || complain "Ctrl-C: exit $status: $(cat one.notes)"
  grep -q "of 1,200 rows are in one/rings.csv; go on with --resume" one.notes ||
    complain "Ctrl-C tells: $(cat one.notes)"
  [ "$(tail -c 1 one/rings.csv | wc -l)" = 1 ] || complain "Ctrl-C tears a line"
  is_beginning reference/rings.csv one/rings.csv
  echo "interrupted: $(head -n 1 one.notes)"
  expect 0 "rows are there in one/rings.csv" one hot=1 rings=400 --resume
  same reference/rings.csv one/rings.csv
}

resume_time() {
  local hot=20 all rest
  [ -z "$long" ] || hot=200
  copy .
  all=$(milliseconds sweep reference hot=$hot --workers 1)
  mkdir most
  head -n 57 reference/rings.csv >most/rings.csv
  rest=$(milliseconds sweep most hot=$hot --workers 1 --resume)
  same reference/rings.csv most/rings.csv
  same reference.said most.said
  echo "60 rows: $all ms; the last 6 of them: $rest ms, $((100 * rest / all)) %"
  [ -z "$long" ] || [ $((100 * rest)) -lt $((20 * all)) ] || complain "a resume takes too long"
  rest=$(milliseconds sweep most hot=$hot --resume)
  same reference/rings.csv most/rings.csv
  echo "none of them: $rest ms"
}

workers() {
  copy .
  for n in 1 2 5; do
    sweep "w$n" --workers $n || complain "workers $n: $(cat w$n.notes)"
    same w1/rings.csv w$n/rings.csv
  done
  head -n 1 w1/rings.csv | grep -Eq '^# emberlap [0-9.]+ sweep of 60 rows, rows 1 to 60, digest [0-9a-f]{32}$' ||
    complain "the first line is $(head -n 1 w1/rings.csv)"
  [ "$(grep -c '^[0-9]*,63 mm,[89] kg,could not run,.*"no ring of this mass, on purpose"$' w1/rings.csv)" = 2 ] ||
    complain "reasons are not kept"
  # units of tables, place and --quiet are not of the sweep
  head -n 20 w1/rings.csv >w2/rings.csv
  sweep w2 --units us --quiet --resume || complain "other units: $(cat w2.notes)"
  same w1/rings.csv w2/rings.csv
}

merge() {
  "$emberlap" merge "$@" >merge.said 2>merge.notes
}

# refuse_merge TEXT OUT FILES
refuse_merge() {
  local text=$1
  shift
  merge "$@"
  local got=$?
  [ "$got" = 2 ] || complain "merge $*: exit $got"
  grep -qF -- "$text" merge.notes || complain "merge $*: not told \"$text\": $(cat merge.notes)"
}

parts() {
  local k p
  copy . && sweep whole || complain "no reference"
  for k in 1 2 3 4 5 6 7 8; do
    sweep p --part $k/8 || complain "part $k: $(cat p.notes)"
  done
  p=p/rings.part-
  merge out.csv ${p}3-of-8.csv ${p}8-of-8.csv ${p}[124567]-of-8.csv || complain "$(cat merge.notes)"
  same whole/rings.csv out.csv
  mkdir again && cp out.csv again/rings.csv
  expect 0 "60 of 60 rows are there" again --resume
  same whole.said again.said
  refuse_merge "out.csv is there already" out.csv $p*
  refuse_merge "part 5 of 8 is missing" bad.csv ${p}[1234678]-of-8.csv
  refuse_merge "part 2 of 8 is there twice" bad.csv $p* ${p}2-of-8.csv
  refuse_merge "out.csv is no part" bad.csv $p* out.csv
  refuse_merge "tracks/harrow_vale_log.csv is no journal" bad.csv tracks/harrow_vale_log.csv $p*
  refuse_merge "cannot open none.csv" bad.csv $p* none.csv
  sweep other hot=3 --part 4/8
  refuse_merge "not the same script, module, log or argument" bad.csv ${p}[1235678]-of-8.csv \
    other/rings.part-4-of-8.csv
  mkdir less
  damage() { sed "$1" ${p}4-of-8.csv >less/rings.csv; }
  damage '$d'
  refuse_merge "less/rings.csv is not whole: it ends before row" bad.csv ${p}[1235678]-of-8.csv less/rings.csv
  damage 5d
  refuse_merge "less/rings.csv: line 5 is not row" bad.csv ${p}[1235678]-of-8.csv less/rings.csv
  damage '1s/rows 23/rows 24/'
  refuse_merge "less/rings.csv begins with row 24, not 23" bad.csv ${p}[1235678]-of-8.csv less/rings.csv
  head -c -9 ${p}4-of-8.csv >less/rings.csv
  refuse_merge "it ends within row 30" bad.csv ${p}[1235678]-of-8.csv less/rings.csv
  [ ! -e bad.csv ] || complain "a merge that fails leaves a file"
  # a part by another part's name; a part that has no rows
  cp ${p}3-of-8.csv p/rings.part-3-of-9.csv
  expect 2 "not the same part of the rows" p --part 3/9 --resume
  sweep few few=1
  for k in 1 2 3; do sweep few few=1 --part $k/3 || complain "few: $(cat few.notes)"; done
  merge few.csv few/rings.part* || complain "$(cat merge.notes)"
  same few/rings.csv few.csv
}

# refuse_change WHAT FILE SED: what a changed file does to a journal that is not at its end.
refuse_change() {
  cp "$2" kept
  sed -i "$3" "$2"
  cmp -s "$2" kept && complain "$1 was not changed"
  expect 2 "not the same script, module, log or argument" go --resume a=1 b=2
  cp kept "$2"
  same go.before go/rings.csv
}

changes() {
  copy . && sweep whole a=1 b=2 || complain "no reference"
  mkdir go
  head -n 23 whole/rings.csv >go/rings.csv
  cp go/rings.csv go.before
  refuse_change "the script" rings.lua '$a -- a remark'
  refuse_change "the module" coupe.lua 's/1420 kg/1421 kg/'
  refuse_change "the log" tracks/harrow_vale_log.csv '$s/[0-8]$/9/'
  expect 2 "not the same script, module, log or argument" go --resume a=1 b=3
  expect 2 "not the same script, module, log or argument" go --resume a=1
  expect 2 "not the same number of rows" go --resume a=1 b=2 few=1
  same go.before go/rings.csv
  sed -i '1s/emberlap [0-9.]*/emberlap 0.0.1/' go/rings.csv
  expect 2 "not the same version of emberlap" go --resume a=1 b=2
  cp go.before go/rings.csv
  sed -i '2s/verdict/Verdict/' go/rings.csv
  expect 2 "not the same columns" go --resume a=1 b=2
  cp go.before go/rings.csv
  sed -i '9s/,/;/2' go/rings.csv
  expect 2 "line 9 is not row 6 as it was written" go --resume a=1 b=2
  cp go.before go/rings.csv
  expect 2 "is there already: --resume goes on with it" go a=1 b=2
  same go.before go/rings.csv
  # everything put back, arguments in another order, of two the last
  expect 0 "20 of 60 rows are there" go --resume b=2 a=0 a=1
  same whole/rings.csv go/rings.csv
}

torn() {
  local size bytes
  copy . && sweep whole || complain "no reference"
  size=$(stat -c %s whole/rings.csv)
  for bytes in 0 1 40 100 150 250 $((size / 2)) $((size - 1)); do
    mkdir "t$bytes"
    head -c "$bytes" whole/rings.csv >"t$bytes/rings.csv"
    sweep "t$bytes" --resume || complain "torn at $bytes: $(cat "t$bytes.notes")"
    same whole/rings.csv "t$bytes/rings.csv"
  done
  mkdir zeros
  { head -n 30 whole/rings.csv && head -c 500 /dev/zero; } >zeros/rings.csv
  expect 0 "27 of 60 rows are there" zeros --resume
  same whole/rings.csv zeros/rings.csv
  { cat whole/rings.csv && echo "61,"; } >zeros/rings.csv
  expect 2 "line 64 is not row 61" zeros --resume
}

# The same for a limit of the system and for a disk that is full.
full_disk() {
  is_beginning whole/rings.csv "$1/rings.csv"
  [ "$(tail -c 1 "$1/rings.csv" | wc -l)" = 1 ] || complain "$1: a torn line is left"
  echo "$1: $(cat "$1.notes")"
}

full() {
  copy . && sweep whole || complain "no reference"
  (
    ulimit -f 4
    expect 2 "cannot write limit/rings.csv: File too large" limit
    exit $bad
  ) || bad=1
  full_disk limit
  expect 0 "rows are there in limit/rings.csv" limit --resume
  same whole/rings.csv limit/rings.csv
  mkdir disk
  if mount -t tmpfs -o size=4k none disk 2>/dev/null; then
    expect 2 "cannot write disk/rings.csv: No space left on device" disk
    full_disk disk
    mount -o remount,size=1m disk
    expect 0 "rows are there in disk/rings.csv" disk --resume
    same whole/rings.csv disk/rings.csv
    umount disk
  else
    echo "a full disk is not tried: it takes a file system of its own"
  fi
}

# As somebody who may not write everywhere, if that can be had.
as_other() {
  if [ "$(id -u)" != 0 ]; then
    "$@"
  else
    setpriv --reuid=65534 --regid=65534 --clear-groups "$@"
  fi
}

places() {
  copy .
  mkdir closed && chmod 555 closed
  if as_other "$emberlap" --version >/dev/null 2>&1; then
    as_other "$emberlap" run rings.lua --root . --out closed >closed.said 2>closed.notes
    [ $? = 2 ] || complain "a closed folder: $(cat closed.notes)"
    grep -q "cannot write closed/rings.csv: Permission denied" closed.notes ||
      complain "a closed folder tells: $(cat closed.notes)"
  else
    echo "a closed folder is not tried: the superuser writes everywhere"
  fi
  expect 2 'is not reached through ".."' up journal=../rings
  expect 2 "is an absolute path" up journal="$work/rings"
  expect 2 "expected the name of a file" up journal=
  sweep below journal=sub/rings.csv || complain "below: $(cat below.notes)"
  [ -e below/sub/rings.csv ] || complain "a journal in a folder is not there"
  [ ! -e rings.csv ] || complain "a journal is outside of --out"
  mkdir linked && echo "not ours" >target && ln -s ../target linked/rings.csv
  expect 2 "linked/rings.csv is there already" linked
  expect 2 "linked/rings.csv is not a regular file" linked --resume
  [ "$(cat target)" = "not ours" ] || complain "a link was followed"
  mkdir alien && cp target alien/rings.csv
  expect 2 "alien/rings.csv is no journal of a sweep" alien --resume
  same target alien/rings.csv
  expect 2 "is the journal of a sweep of this script" both few=1 twice=1
  expect 2 "is the journal of a sweep of this script" both2 few=1 over_it=1
}

# Two at once on one journal.
two() {
  local first
  copy .
  sweep_alone one hot=20 rings=96 --workers 1 &
  first=$!
  until_lines one/rings.csv 3
  "$emberlap" run rings.lua --root . --out one hot=20 rings=96 --resume >two.said 2>two.notes
  [ $? = 2 ] || complain "two at once: the second is let in"
  grep -q "another emberlap is writing one/rings.csv" two.notes ||
    complain "two at once tells: $(cat two.notes)"
  wait $first || complain "two at once: the first is disturbed"
  [ "$(wc -l <one/rings.csv)" = 291 ] || complain "two at once: $(wc -l <one/rings.csv) lines"
}

"$2"
exit $bad
