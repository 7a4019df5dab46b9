"""boxwright completion: what a shell needs to offer commands, options and the season's own words."""

from __future__ import annotations

from typing import Annotated

import typer

from rating.cli.shared import options, printing, refusing

_SCRIPTS = {
    "bash": """_boxwright() {
    local IFS=$'\\n'
    COMPREPLY=($(boxwright --complete "${COMP_WORDS[@]:1:COMP_CWORD}" 2>/dev/null))
}
complete -o bashdefault -o default -F _boxwright boxwright""",
    "zsh": """#compdef boxwright
_boxwright() {
    local -a offered
    offered=("${(@f)$(boxwright --complete "${(@)words[2,CURRENT]}" 2>/dev/null)}")
    compadd -a offered || _files
}
compdef _boxwright boxwright""",
    "fish": (
        "complete -c boxwright -f -a "
        "'(boxwright --complete (commandline -opc)[2..] (commandline -ct) 2>/dev/null)'"
    ),
}
_HOW = {
    "bash": """echo 'eval "$(boxwright completion bash)"' >> ~/.bashrc""",
    "zsh": """echo 'eval "$(boxwright completion zsh)"' >> ~/.zshrc""",
    "fish": "boxwright completion fish > ~/.config/fish/completions/boxwright.fish",
}


def completion(
    shell: Annotated[str, typer.Argument(metavar="SHELL", help="bash, zsh or fish.")],
    as_json: options.AsJson = False,
) -> None:
    """Print what makes your shell complete commands, options, releases, criteria and sections.

    Example: eval "$(boxwright completion bash)"
    """
    refusing.hold_to(tuple(_SCRIPTS), shell, "shell that this knows", where="SHELL")
    if as_json:
        from rating.answers import files

        printing.data(files.completion(shell, _SCRIPTS[shell], _HOW[shell]))
        return
    printing.say(_SCRIPTS[shell])
    printing.remark(f"To have it in every new terminal: {_HOW[shell]}")
