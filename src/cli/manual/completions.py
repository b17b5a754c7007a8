# SPDX-License-Identifier: Apache-2.0
"""Completions for bash, zsh and fish from the help."""
HEAD = "# Completion of coolband for {}; written at build time from --help.\n"


def quoted(text):
    return "'" + text.replace("'", "'\\''") + "'"


def takes_files(command):
    """Whether a bare word of this command may be a file."""
    return any(a.wants() for a in command.positionals) or any(o.many and o.wants() == "files" for o in command.options)


# bash -------------------------------------------------------------------------------------------

BASH = r"""
_coolband() {
  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD - 1]} command="" words="" kind=words
  # '--option=value' comes as three words.
  if [[ $cur == "=" ]]; then
    cur=""
  elif [[ $prev == "=" ]]; then
    prev=${COMP_WORDS[COMP_CWORD - 2]}
  fi
  if ((COMP_CWORD > 1)); then command=${COMP_WORDS[1]}; fi
  COMPREPLY=()
  case "$command:$prev" in
@values@
    *)
      case "$command" in
@options@
      esac
      if [[ -n $command && $cur != -* ]]; then
        case "$command" in
          @files@) kind=files ;;
          *) kind=none ;;
        esac
      fi
      ;;
  esac
  case $kind in
    words) mapfile -t COMPREPLY < <(compgen -W "$words" -- "$cur") ;;
    files | folders)
      compopt -o filenames 2>/dev/null
      if [[ $kind == files ]]; then
        mapfile -t COMPREPLY < <(compgen -f -- "$cur")
      else
        mapfile -t COMPREPLY < <(compgen -d -- "$cur")
      fi
      ;;
  esac
}
complete -F _coolband coolband
"""


def bash_value(command, option):
    pattern = " | ".join(f"{command.name}:{name}" for name in option.names)
    wants = option.wants()
    act = f"words={quoted(' '.join(option.choices))}" if wants == "choices" else f"kind={wants or 'none'}"
    return f"    {pattern}) {act} ;;"


def bash(commands):
    values = [bash_value(c, o) for c in commands for o in c.options if o.value]
    options = [f"        {quoted(c.name)}) words={quoted(' '.join([*c.commands, *(n for o in c.options for n in o.names)]))} ;;"
               for c in commands]
    files = " | ".join(c.name for c in commands if c.name and takes_files(c))
    return (HEAD.format("bash") + BASH.replace("@values@", "\n".join(values))
            .replace("@options@", "\n".join(options)).replace("@files@", files))


# zsh --------------------------------------------------------------------------------------------

ZSH = r"""
_coolband() {
  local state line
  local -a commands
  typeset -A opt_args
  commands=(
@commands@
  )
  _arguments -C \
@top@
    '1:command:->command' \
    '*::argument:->argument'
  case $state in
    command) _describe -t commands command commands ;;
    argument)
      case $words[1] in
@cases@
      esac
      ;;
  esac
}

_coolband "$@"
"""


def zsh_text(text, marks):
    for mark in marks:
        text = text.replace(mark, "\\" + mark)
    return text


def zsh_action(argument):
    wants = argument.wants()
    if wants == "choices":
        return "(" + " ".join(argument.choices) + ")"
    return {"files": "_files", "folders": "_files -/"}.get(wants, "")


def zsh_options(option):
    others = "(" + " ".join(option.names) + ")"
    lead = "*" if option.many else others if len(option.names) > 1 else ""
    for name in option.names:
        spec = f"{lead}{name}"
        if option.value:
            spec += "=" if name.startswith("--") else "+"
        spec += f"[{zsh_text(option.text, '[]')}]"
        if option.value:
            spec += f":{zsh_text(option.value, ':')}:{zsh_action(option)}"
        yield quoted(spec)


def zsh_case(command):
    specs = [spec for option in command.options for spec in zsh_options(option)]
    for positional in command.positionals:
        lead = "*" if positional.many else "1"
        specs.append(quoted(f"{lead}:{positional.names[0]}:{zsh_action(positional)}"))
    if not command.positionals and takes_files(command):
        specs.append(quoted("*:LOG:_files"))
    body = " \\\n".join("            " + spec for spec in specs)
    return f"        {command.name})\n          _arguments -s \\\n{body}\n          ;;"


def zsh(commands):
    top = commands[0]
    listed = "\n".join("    " + quoted(f"{name}:{text}") for name, text in top.commands.items())
    own = "\n".join(f"    {spec} \\" for option in top.options for spec in zsh_options(option))
    cases = "\n".join(zsh_case(command) for command in commands[1:])
    return ("#compdef coolband\n" + HEAD.format("zsh") + ZSH.replace("@commands@", listed)
            .replace("@top@", own).replace("@cases@", cases))


# fish -------------------------------------------------------------------------------------------


def fish_quoted(text):
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"


def fish_option(condition, option):
    names = "".join(f" -l {name[2:]}" if name.startswith("--") else f" -s {name[1:]}" for name in option.names)
    wants = option.wants()
    value = {"choices": f" -x -a {fish_quoted(' '.join(option.choices))}", "files": " -r -F",
             "folders": " -x -a '(__fish_complete_directories)'"}.get(wants, " -x" if option.value else "")
    return f"complete -c coolband -n {condition}{names}{value} -d {fish_quoted(option.text)}"


def fish(commands):
    top = commands[0]
    lines = ["complete -c coolband -n __fish_use_subcommand -f"]
    lines += [f"complete -c coolband -n __fish_use_subcommand -a {name} -d {fish_quoted(text)}"
              for name, text in top.commands.items()]
    lines += [fish_option("__fish_use_subcommand", option) for option in top.options]
    for command in commands[1:]:
        condition = fish_quoted(f"__fish_seen_subcommand_from {command.name}")
        lines.append(f"complete -c coolband -n {condition} {'-F' if takes_files(command) else '-f'}")
        lines += [fish_option(condition, option) for option in command.options]
    return HEAD.format("fish") + "\n".join(lines) + "\n"
