#!/bin/bash
# SPDX-License-Identifier: MIT
# The layers use only what lies left of them, each foreign library has one place, and units are
# converted at the two doors. Usage: includes.sh SOURCE_DIR
set -euo pipefail
cd "$1/engine"
layers=(base num matter parts road brake heat drive study out host)
bad=0
complain() {
    echo "$1" >&2
    bad=1
}
rank() {
    local i
    for i in "${!layers[@]}"; do
        [ "${layers[$i]}" = "$1" ] && echo "$i" && return
    done
    echo -1
}
for file in */*.[ch]; do
    here=$(rank "${file%%/*}")
    [ "$here" -ge 0 ] || complain "$file: its folder is not a layer; add it to this list in its place"
    while IFS= read -r include; do
        there=$(rank "${include%%/*}")
        [ "$there" -ge 0 ] || complain "$file: includes \"$include\", which is not layer/file.h"
        [ "$there" -le "$here" ] ||
            complain "$file: includes \"$include\", a layer to its right; move the code or turn the call round"
    done < <(sed -n 's/^#include "\([^"]*\)".*/\1/p' "$file")
done
only() { # only HEADER PLACE
    local file
    for file in $(grep -l "#include <$1" -- */*.[ch] || true); do
        case $file in
        $2) ;;
        *) complain "$file: <$1> belongs to $2 alone" ;;
        esac
    done
}
only yaml.h 'parts/document.c'
only lua.h 'host/*'
only lauxlib.h 'host/*'
only jansson.h 'out/*'
# a factor such as 3.6 or 25.4e-3 or 6894.757 in the physics is a conversion in the wrong room
for file in $(grep -lE '\b(25\.4|0\.0254|0\.3048|0\.4536|0\.45359237|6894\.7[0-9]*|4\.4482[0-9]*|1\.609[0-9]*)\b' -- */*.[ch] || true); do
    case $file in
    parts/units* | out/units*) ;;
    *) complain "$file: a unit factor outside parts/units and out/units" ;;
    esac
done
exit $bad
