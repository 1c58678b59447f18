"""What a shell may complete, told by the parser itself, and the scripts that say it to bash, zsh and fish."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial

from watchlist.cli.parser import Parser, build


@dataclass(frozen=True, slots=True)
class Place:
    """What may stand behind the words of a command so far."""

    at: str
    """Those words: empty, `venue`, `venue add`."""
    words: Mapping[str, str]
    """Verbs, acts or other words to choose of, with their help."""
    options: Mapping[str, str]
    """Options with their help."""
    values: Mapping[str, tuple[str, ...]]
    """Options that take a value, with what can be chosen; nothing: any text, or a file."""


def places() -> tuple[Place, ...]:
    """The whole command line."""
    return tuple(_places("", build()))


def _places(at: str, parser: Parser) -> Iterator[Place]:
    parser.filled()
    parts = [action for action in parser._actions if isinstance(action, argparse._SubParsersAction)]
    plain = [action for action in parser._actions if action not in parts]
    named = [(name, action) for action in plain for name in action.option_strings if name.startswith("--")]
    options = {name: (action.help or "").replace("%%", "%") for name, action in named}
    values = {name: tuple(map(str, action.choices or ())) for name, action in named if action.nargs != 0}
    yield Place(at, dict([*_acts(parts), *_choices(plain)]), options, values)
    for part in parts:
        for name, below in part.choices.items():
            yield from _places(f"{at} {name}".strip(), below)


def _acts(parts: Iterable[argparse._SubParsersAction[Parser]]) -> Iterator[tuple[str, str]]:
    for part in parts:
        yield from ((choice.dest, choice.help or "") for choice in part._choices_actions)


def _choices(plain: Iterable[argparse.Action]) -> Iterator[tuple[str, str]]:
    """Words that may stand where no option names them."""
    for action in plain:
        if not action.option_strings:
            yield from ((str(choice), "") for choice in action.choices or () if choice)


def script(shell: str) -> str:
    """What a shell reads to complete the command."""
    every = places()
    shape = SHAPES[shell]
    taking = sorted({name for each in every for name in each.values})
    paths = [f" {each.at}" if " " not in each.at else each.at for each in every if each.at]
    return shape.text.format(
        taking=shape.between.join(taking),
        paths=shape.between.join(map(shape.quote, paths)),
        places="\n".join(line for each in every for line in shape.place(each)),
    )


def _bash_words(words: Mapping[str, str]) -> str:
    return f"words={shlex.quote(' '.join(words))}"


def _zsh_words(words: Mapping[str, str]) -> str:
    told = (f"{word}:{help}" if help else word for word, help in words.items())
    return f"found=({' '.join(map(shlex.quote, told))})"


def _cases(say: Callable[[Mapping[str, str]], str], place: Place) -> Iterator[str]:
    """Of a `case` of the shell: what stands at a place, and behind each option there."""
    yield f"    {shlex.quote(place.at)}) {say({**place.words, **place.options})} ;;"
    for name, chosen in place.values.items():
        if chosen:
            yield f"    {shlex.quote(f'{place.at} {name}')}) {say(dict.fromkeys(chosen, ''))} ;;"


def _fish_place(place: Place) -> Iterator[str]:
    here = f"complete -c watchlist -n {_fish(f'__watchlist_at {_fish(place.at)}')}"
    for word, words in place.words.items():
        yield f"{here} -f -a {_fish(word)} -d {_fish(words)}"
    for name, words in place.options.items():
        chosen = place.values.get(name)
        value = "" if chosen is None else f" -x -a {_fish(' '.join(chosen))}" if chosen else " -r"
        yield f"{here} -l {name[2:]}{value} -d {_fish(words)}"


def _fish(text: str) -> str:
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"


WALK = """\
        if [[ -n $option && $word != --* ]]; then option=; continue; fi
        option=
        case $word in
        {taking}) option=$word ;;
        esac
        case "$at $word" in
        {paths}) at="${{at:+$at }}$word" ;;
        esac
    done
    case "$at${{option:+ $option}}" in
{places}
    esac
"""
"""For bash and zsh alike: on along the words to the place where one stands, then what may stand there."""
BASH = (
    """\
# watchlist completion bash > ~/.local/share/bash-completion/completions/watchlist
_watchlist() {{
    local at= option= word words=
    for word in "${{COMP_WORDS[@]:1:COMP_CWORD-1}}"; do
"""
    + WALK
    + """\
    COMPREPLY=($(compgen -W "$words" -- "${{COMP_WORDS[COMP_CWORD]}}"))
}}
complete -o bashdefault -o default -F _watchlist watchlist
"""
)
ZSH = (
    """\
#compdef watchlist
# watchlist completion zsh > _watchlist, in a folder of $fpath
_watchlist() {{
    local at= option= word
    local -a found
    for word in "${{(@)words[2,CURRENT-1]}}"; do
"""
    + WALK
    + """\
    _describe word found || _files
}}
if [[ $funcstack[1] == _watchlist ]]; then _watchlist "$@"; else compdef _watchlist watchlist; fi
"""
)
FISH = """\
# watchlist completion fish > ~/.config/fish/completions/watchlist.fish
function __watchlist_at
    set -l at ''
    set -l option ''
    set -l words (commandline -opc)
    for word in $words[2..]
        if test -n "$option"; and not string match -q -- '--*' $word
            set option ''
            continue
        end
        set option ''
        if contains -- $word {taking}
            set option $word
        end
        if contains -- "$at $word" {paths}
            set at (string trim -- "$at $word")
        end
    end
    test "$at" = "$argv[1]"
end
{places}
"""


@dataclass(frozen=True, slots=True)
class Shape:
    """How one shell is told."""

    text: str
    between: str
    quote: Callable[[str], str]
    place: Callable[[Place], Iterator[str]]


SHAPES: Mapping[str, Shape] = {
    "bash": Shape(BASH, "|", shlex.quote, partial(_cases, _bash_words)),
    "zsh": Shape(ZSH, "|", shlex.quote, partial(_cases, _zsh_words)),
    "fish": Shape(FISH, " ", _fish, _fish_place),
}
"""By the name of the shell."""
