#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# pages.sh EMBERLAP SOURCE_DIR [--write]: what the program says of scripts and of itself is what the
# committed pages say. --write writes scripts/library/emberlap.lua and docs/scripting.md.
set -uo pipefail
emberlap=$1
cd "$2" || exit 1
"$emberlap" --version >/dev/null || exit 1
write=${3:-}
scratch=$(mktemp -d) || exit 1
trap 'rm -rf "$scratch"' EXIT
bad=0

complain() {
  echo "$1" >&2
  bad=1
}

# docs/scripting.in.md with each {{help TOPIC}} in its place, its headings one level down
scripting() {
  local line
  while IFS= read -r line; do
    case $line in
    '{{help '*'}}')
      line=${line#'{{help '}
      "$emberlap" help "${line%'}}'}" |
        sed -E -e 's/^## /### /' -e 's/^Its keys: .emberlap help ([a-z]+)..$/Its keys: [\1](input.md#\1)./' ||
        return 1
      ;;
    *) printf '%s\n' "$line" ;;
    esac
  done <docs/scripting.in.md
}

# is FILE MADE: the committed FILE is what was made
is() {
  [ -s "$2" ] || { complain "nothing was made for $1"; return; }
  if [ "$write" = --write ]; then
    cp "$2" "$1"
  elif ! cmp -s "$1" "$2"; then
    complain "$1 is old: tests/layout/pages.sh EMBERLAP SOURCE_DIR --write"
    diff "$1" "$2" | head -20 >&2
  fi
}

"$emberlap" help annotations >"$scratch/emberlap.lua" || complain "help annotations: status $?"
is scripts/library/emberlap.lua "$scratch/emberlap.lua"
"$emberlap" check scripts/library/emberlap.lua >/dev/null || complain "the annotations are not Lua"
scripting >"$scratch/scripting.md" || complain "a topic of docs/scripting.in.md is not there"
is docs/scripting.md "$scratch/scripting.md"

# every type that is spoken of is said somewhere
sed -nE 's/^---@(class|alias) (emberlap[a-z_.]*).*/\2/p' "$scratch/emberlap.lua" | sort -u >"$scratch/said"
grep -oE 'emberlap\.[a-z_]+(\.[a-z_]+)*' <(grep '^---@' "$scratch/emberlap.lua") | sort -u >"$scratch/used"
while read -r type; do
  complain "scripts/library/emberlap.lua: nothing says what $type is"
done < <(comm -13 "$scratch/said" "$scratch/used")

# the manual knows every option and command that the program tells of
"$emberlap" --help >"$scratch/help" || complain "--help: status $?"
for option in $(grep -oE '(^|[[:space:]])--[a-z]+' "$scratch/help" | tr -d ' ' | sort -u); do
  grep -qF -- "\\-\\-${option#--}" docs/emberlap.1 || complain "docs/emberlap.1 lacks $option"
done
for command in $(sed -nE 's/^  emberlap ([a-z]+).*/\1/p' "$scratch/help"); do
  grep -qE "^\.(B|BR|BI|SY|RB) .*\b$command\b" docs/emberlap.1 || complain "docs/emberlap.1 lacks $command"
done
exit "$bad"
