# SPDX-License-Identifier: MIT
# Completion of emberlap for bash. Commands, options and topics are asked of the program itself.

_emberlap_files() { # ENDING...: files and folders
  local ending
  compopt -o filenames 2>/dev/null
  mapfile -t COMPREPLY < <(compgen -d -- "$cur"
                           for ending; do compgen -f -X "!*.$ending" -- "$cur"; done)
}

_emberlap_words() { # WORDS: separated by blanks
  mapfile -t COMPREPLY < <(compgen -W "$1" -- "$cur")
}

_emberlap() {
  local cur=${COMP_WORDS[COMP_CWORD]}
  local prev=${COMP_WORDS[COMP_CWORD - 1]}
  local program=${COMP_WORDS[0]}
  local command='' i word help
  COMPREPLY=()

  case $prev in
  --units) _emberlap_words 'si us'; return ;;
  --out | --root)
    compopt -o filenames 2>/dev/null
    mapfile -t COMPREPLY < <(compgen -d -- "$cur")
    return
    ;;
  --allowance | --workers | --part) return ;;
  esac

  # the command is the first word that is neither an option nor an option's value
  for ((i = 1; i < COMP_CWORD; i++)); do
    word=${COMP_WORDS[i]}
    case $word in
    --units | --out | --root | --allowance | --workers | --part) ((i++)) ;;
    -*) ;;
    *) command=$word; break ;;
    esac
  done

  help=$("$program" --help 2>/dev/null) || return
  if [[ $cur == -* ]]; then
    _emberlap_words "$(grep -oE -- '(^|[[:space:]])--[a-z]+' <<<"$help")"
    return
  fi
  case $command in
  '') _emberlap_words "$(sed -nE 's/^  emberlap ([a-z]+).*/\1/p' <<<"$help")" ;;
  run | check) _emberlap_files lua ;;
  merge) compopt -o default 2>/dev/null ;;
  log) _emberlap_files csv CSV gpx tsv txt ;;
  help) _emberlap_words "$("$program" help topics 2>/dev/null)" ;;
  esac
}

complete -F _emberlap emberlap
