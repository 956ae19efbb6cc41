#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# The table of wrong inputs: runs every row of a data file, or writes the document from it.
#   mistakes.sh run EMBERLAP DATA     exit 1 when a row does not end as it says
#   mistakes.sh show EMBERLAP DATA    the messages that emberlap gives now, row by row
#   mistakes.sh doc DATA              Markdown on standard output
#   mistakes.sh check DATA DOC        exit 1 when DOC is not what `doc` writes
#
# The data, line by line. A row begins with = and ends before the next = or #.
#   # TEXT     a heading
#   = TEXT     what is wrong, as the document says it
#   @ NAME     a file, made of the lines after it that are indented by four blanks
#   @@ NAME    the same, with \x and \0 escapes as printf's %b has them, without line ends
#   $ COMMAND  a command of the shell that prepares, as truncate; `$here` is the folder of the data;
#              LIMIT=N is the most kilobytes of a file, STDOUT=NAME where standard output goes
#   ! WORDS    the words after emberlap; a row without them does: run script.lua
#   > TEXT     all of standard error, line by line
#   ? STATUS   the exit status, 2 when there is no such line
#   ~ TEXT     a remark for the document
# Every row runs in an empty folder of its own. Nothing may appear on standard output, and no file
# besides those that the row made.
set -u

reset_row() {
  what='' words='run script.lua' said='' status=2 remark='' file='' escaped=0
}

# Calls `begin_row`, `heading` and `end_row` over the data; sets up files when $scratch is set.
walk() {
  local line on=0
  reset_row
  while IFS= read -r -u 3 line || [ -n "$line" ]; do
    case $line in
    '# '*) [ "$on" = 1 ] && end_row; on=0; heading "${line#\# }" ;;
    '= '*) [ "$on" = 1 ] && end_row; on=1; reset_row; what=${line#= }; begin_row ;;
    '@@ '*) file=${line#@@ }; escaped=1; new_file ;;
    '@ '*) file=${line#@ }; escaped=0; new_file ;;
    '    '*) add_line "${line#    }" ;;
    '$ '*) prepare "${line#\$ }" ;;
    '! '*) words=${line#! } ;;
    '> '*) said+="${line#> }"$'\n' ;;
    '? '*) status=${line#\? } ;;
    '~ '*) remark=${line#\~ } ;;
    '' | '//'*) ;;
    *) echo "mistakes: not understood: $line" >&2; exit 2 ;;
    esac
  done 3<"$1"
  [ "$on" = 1 ] && end_row
}

# ---- running ----

run_rows() {
  emberlap=$(realpath "$1")
  data=$(realpath "$2")
  here=$(dirname "$data")
  scratch=$(mktemp -d) || exit 1
  trap 'rm -rf "$scratch"' EXIT
  rows=0 bad=0
  heading() { [ "$show" = 0 ] || printf '\n# %s\n' "$1"; }
  begin_row() {
    rm -rf "$scratch/row"
    mkdir "$scratch/row"
    cd "$scratch/row" || exit 1
    [ "$show" = 0 ] || printf '\n= %s\n' "$what"
  }
  new_file() {
    mkdir -p "$(dirname "$file")"
    : >"$file"
  }
  add_line() {
    if [ "$escaped" = 1 ]; then printf '%b' "$1" >>"$file"; else printf '%s\n' "$1" >>"$file"; fi
  }
  prepare() { eval "$1"; }
  end_row() {
    rows=$((rows + 1))
    find . | sort >"$scratch/before"
    # the words are split here and by nothing else: they hold no blanks of their own
    eval "set -- $words"
    (
      # a signal at a file's limit would end it before it could say why
      trap '' XFSZ
      [ -z "${LIMIT:-}" ] || ulimit -f "$LIMIT"
      exec "$emberlap" "$@" >"${STDOUT:-$scratch/stdout}" 2>"$scratch/stderr" </dev/null
    )
    got=$?
    find . | sort >"$scratch/after"
    if [ "$show" = 1 ]; then
      sed 's/^/> /' "$scratch/stderr"
      [ "$got" = 2 ] || echo "? $got"
      unset LIMIT STDOUT
      return
    fi
    printf '%s' "$said" >"$scratch/said"
    fault=
    [ "$got" = "$status" ] || fault+="status $got, not $status; "
    cmp -s "$scratch/said" "$scratch/stderr" || fault+="another message; "
    [ -n "${STDOUT:-}" ] || [ ! -s "$scratch/stdout" ] || fault+="something on standard output; "
    cmp -s "$scratch/before" "$scratch/after" || fault+="a file was written; "
    unset LIMIT STDOUT
    [ -n "$fault" ] || return 0
    bad=$((bad + 1))
    echo "$what: $fault"
    diff "$scratch/said" "$scratch/stderr" | sed 's/^/  /'
    diff "$scratch/before" "$scratch/after" | sed 's/^/  /'
  }
  walk "$data"
  [ "$show" = 1 ] && return
  echo "$rows rows, $bad of them wrong"
  [ "$rows" -ge 40 ] && [ "$bad" = 0 ]
}

# ---- the document ----

cell() {
  sed -e 's/|/\\|/g' <<<"$1"
}

doc() {
  cat <<'END'
# What goes wrong, and what is said

Wrong input ends with exit status 2, one message on standard error, nothing on standard output and
no file written, unless the row says otherwise. A message names the file, the line where there is
one, the key or column, what was found, and what was likely meant.

Written from `tests/mistakes/mistakes.txt` by `tests/mistakes/mistakes.sh doc`; tests run every row
and keep this page true. The first script of a row is `script.lua`, whose line numbers count from
`local el = require "emberlap"` as line 1.
END
  rows=0
  heading() { printf '\n## %s\n\n| what is wrong | message | status |\n|---|---|---|\n' "$1"; }
  begin_row() { rows=$((rows + 1)); }
  new_file() { :; }
  add_line() { :; }
  prepare() { :; }
  end_row() {
    local text
    text=$(cell "$(tr '\n' ' ' <<<"$said")")
    text=${text%% }
    while [ "${text% }" != "$text" ]; do text=${text% }; done
    printf '| %s%s | `%s` | %s |\n' "$(cell "$what")" "${remark:+ ($(cell "$remark"))}" "$text" \
      "$status"
  }
  walk "$1"
  printf '\n%s rows.\n' "$rows"
}

show=0
case ${1:-} in
run) run_rows "$2" "$3" ;;
show) show=1; run_rows "$2" "$3" ;;
doc) doc "$2" ;;
check)
  if doc "$2" | cmp -s - "$3"; then exit 0; fi
  echo "$3 is not what the data say; write it again: $0 doc $2 >$3"
  doc "$2" | diff - "$3" | head -20
  exit 1
  ;;
*) sed -n '3,22s/^# \{0,1\}//p' "$0" >&2; exit 2 ;;
esac
