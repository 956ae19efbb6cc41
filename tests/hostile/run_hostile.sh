#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# run_hostile.sh EMBERLAP SCRIPT: runs a script that means harm, and looks at what is left.
#   -- args: WORDS          values for the command line
#   -- expect: TEXT         on standard output
#   -- expect error: TEXT   on standard error, with status 2
#   -- engine: SECONDS      processor time that the engine may take besides; 0 unless said
#   -- writes: NAME         a file below --out; no other may be there
#   -- writes many          any number of .csv files
# Every script has to end within its allowance and 2 s of processor time, with status 0, 1 or 2,
# without a signal or a word of a sanitizer, and without a trace but below --out. The root has
# what such a script could wish for: links out of it, a pipe; below --out is a link out, too.
set -u
emberlap=$1
script=$2
here=$(cd "$(dirname "$script")" && pwd) || exit 1
name=$(basename "$script")
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
bad=0

complain() {
  echo "$name: $1"
  bad=1
}

# The texts after "-- KEY" in the script.
said() {
  sed -n "s/^-- $1 \{0,1\}//p" "$here/$name"
}

# What is where it was: kind, mode, size, time, name, target.
listing() {
  find "$here" "$scratch/root" "$scratch/elsewhere" "$scratch/cwd" \
    -printf '%y %m %s %T@ %p %l\n' | sort
}

mkdir "$scratch/root" "$scratch/elsewhere" "$scratch/cwd" "$scratch/out"
cp -r "$here/../script/modules" "$here/../script/small_log.csv" "$scratch/root/"
ln -s /etc/passwd "$scratch/root/linked.yaml"
ln -s /etc/passwd "$scratch/root/linked.lua"
ln -s / "$scratch/root/up"
ln -s /proc "$scratch/root/proc"
mkfifo "$scratch/root/pipe.yaml" "$scratch/root/pipe.lua"
ln -s "$scratch/elsewhere" "$scratch/out/away"
echo "kept" >"$scratch/elsewhere/x.csv"
listing >"$scratch/before"

# one that ends by itself has time for that, also with sanitizers
allowance=5
[ -n "$(said 'expect error:')" ] && allowance=0.5
read -r -a words <<<"$(said 'args:')"
TIMEFORMAT='%U %S'
cd "$scratch/cwd" || exit 1
cpu=$( { time timeout -k 5 120 "$emberlap" run "$here/$name" --root "$scratch/root" \
  --out "$scratch/out" --allowance "$allowance" ${words[@]+"${words[@]}"} \
  >"$scratch/stdout" 2>"$scratch/stderr" </dev/null
  echo $? >"$scratch/status"; } 2>&1)
status=$(cat "$scratch/status")
listing >"$scratch/after"

want=0
[ -n "$(said 'expect error:')" ] && want=2
[ "$status" = "$want" ] || complain "status $status, expected $want"
engine=$(said 'engine:')
awk -v cpu="$cpu" -v most="$allowance" -v engine="${engine:-0}" \
  'BEGIN { split(cpu, t, " "); exit t[1] + t[2] > most + 2 + engine }' ||
  complain "took $cpu s of processor time"
cmp -s "$scratch/before" "$scratch/after" || {
  complain "something has changed outside of --out"
  diff "$scratch/before" "$scratch/after" | head -20
}

expectations=0
while IFS= read -r text; do
  expectations=$((expectations + 1))
  grep -qaF -- "$text" "$scratch/stdout" || complain "not in the output: $text"
done < <(said 'expect:')
while IFS= read -r text; do
  expectations=$((expectations + 1))
  grep -qaF -- "$text" "$scratch/stderr" || complain "not on standard error: $text"
done < <(said 'expect error:')
[ "$expectations" -gt 0 ] || complain "expects nothing"
grep -qaiE 'panic|sanitizer|runtime error|core dumped' "$scratch/stderr" &&
  complain "more than an error"
[ "$(wc -c <"$scratch/stderr")" -lt 1000000 ] || complain "a flood on standard error"

if grep -qx -- '-- writes many' "$here/$name"; then
  strays=$(find "$scratch/out" ! -type d ! -name away ! -name '*.csv')
else
  strays=$(diff <(find "$scratch/out" ! -type d ! -name away -printf '%P\n' | sort) \
    <(said 'writes:' | sort))
fi
[ -z "$strays" ] || complain "below --out: $strays"

if [ "$bad" -ne 0 ]; then
  echo "--- standard output"
  head -c 2000 "$scratch/stdout"
  echo "--- standard error"
  tail -c 4000 "$scratch/stderr"
fi
exit "$bad"
