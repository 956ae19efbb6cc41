#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# write_validation.sh BUILD_DIR OUT [ROWS_DIR]: runs every test labelled reference and writes what
# it checked to OUT, as Markdown. With ROWS_DIR the tests have run and left their rows there, one
# file a test. test_energy is not run: its figures are in docs/model.md.
set -euo pipefail
build=$1
out=$2
here=$(dirname "$0")

declare -A title=(
  [test_matter]="Air and metals"
  [test_fluid]="Brake fluid and water"
  [test_ducts]="Ducts"
  [test_films]="Cooling"
  [test_networks]="Networks with a closed form"
  [test_rotor_layers]="The rotor's layers"
  [test_stops]="Stops, friction, and how heat divides"
  [test_hydraulics]="Pedal and hydraulics"
  [test_balance_stops]="Balance and stops"
  [test_lap]="Laps of a layout"
  [test_life]="Wear, skin, mass"
  [test_scenarios]="Scripted scenarios"
  [test_cvode]="Whole stints against another solver"
)
order=(test_matter test_fluid test_ducts test_films test_networks test_rotor_layers test_stops
       test_hydraulics test_balance_stops test_life test_lap
       test_scenarios test_cvode)

if [ $# -ge 3 ]; then
  rows=$3
else
  rows=$(mktemp -d)
  trap 'rm -rf "$rows"' EXIT
  while read -r name; do
    case $name in test_energy | validation_doc) continue ;; esac
    MBL_VALIDATION=$rows/$name "$build/tests/reference/$name" >"$rows/$name.log" 2>&1 || {
      cat "$rows/$name.log" >&2
      echo "write_validation: $name fails" >&2
    }
    rm "$rows/$name.log"
  done < <(ctest --test-dir "$build" -N -L '^reference$' | sed -n 's/^ *Test *#[0-9]*: //p')
fi

# A test that leaves rows has a heading here, or its rows would be lost.
for file in "$rows"/*; do
  name=$(basename "$file")
  if [ -z "${title[$name]:-}" ] && grep -qv '^plausible' "$file"; then
    echo "write_validation: $name leaves rows but has no heading" >&2
    exit 1
  fi
done

# table KIND FILE...: rows of one kind as a table, or nothing when there is none.
table() {
  local kind=$1
  shift
  awk -F'\t' -v kind="$kind" -v last="$([ "$kind" = plausible ] && echo where || echo met)" '
    $1 != kind { next }
    !n++ {
      print "| what | source | expected | got | tolerance | " last " |"
      print "|---|---|---|---|---|---|"
    }
    { print "| " $2 " | " $3 " | " $4 " | " $5 " | " $6 " | " $7 " |" }
    END { if (n) print "" }' "$@"
}

{
  cat <<'HEAD'
# Validation

What the engine gives where someone has published what it should give. Written by the tests
themselves; to write it again, from the source folder with a build in `build`:

    tests/reference/write_validation.sh build docs/validation.md

A test holds the file against a fresh one: what, source, expected and tolerance to the letter, what
the engine gave to three figures.

"From memory" marks a published value or formula that was not looked up when it was written down,
"computed" a number that follows from a formula, so that meeting it proves arithmetic and not that
the formula suits a brake. A tolerance is in the unit of its row; "band" means that the source gives
a range. Rows in "Not met" are published ranges that the model misses.
HEAD
  for name in "${order[@]}"; do
    [ -s "$rows/$name" ] || continue
    printf '\n## %s\n\n`tests/reference/%s.c`\n\n' "${title[$name]}" "$name"
    table row "$rows/$name" | sed '$d'
  done
  printf '\n## Not met\n\n'
  for name in "${order[@]}"; do
    [ ! -s "$rows/$name" ] || cat "$rows/$name"
  done | table unmet
  cat <<'PLAUSIBLE'
## Plausibility

Plausibility, never an oracle: trade articles and common practice beside what the engine says of
the demo (`scripts/harrow_vale.lua`) and of a front rotor. Nothing fails when a row is outside.

PLAUSIBLE
  for file in "$rows/test_plausibility" "$rows/test_films"; do
    [ ! -s "$file" ] || cat "$file"
  done | table plausible
  printf '## Left out\n\n'
  cat "$here/left_out.md"
} >"$out"
