"""The pages on commands: every command, argument and option is there, and what they show exists."""

import re
import shlex
from pathlib import Path

import click
import pytest
import typer.main

from farglide.cli.main import app

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "commands.rst").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
SHELL_BLOCK = re.compile(r"```sh\n(.*?)```", re.DOTALL)


def commands() -> dict[str, click.Command]:
    """Return every command by what is typed: one of a group behind the name of that."""
    found = dict[str, click.Command]()
    for name, one in vars(typer.main.get_command(app))["commands"].items():
        inner = vars(one).get("commands")
        found |= {name: one} if inner is None else {f"{name} {k}": c for k, c in inner.items()}
    return found


def section(name: str) -> str:
    """Return the part of the page below a command's title."""
    title = f"farglide {name}\n{'-' * len(f'farglide {name}')}\n"
    assert title in PAGE, name
    return re.split(r"\n\S[^\n]*\n-{3,}\n", PAGE.split(title, 1)[1])[0]


def is_described(word: str, text: str) -> bool:
    """Tell whether a definition list holds the word with something below it."""
    return re.search(rf"^``{re.escape(word)}``\n   \S", text, re.MULTILINE) is not None


def argument_word(parameter: click.Parameter) -> str:
    """Return what an argument is called in the page: by its name, and a file is a FILE."""
    return str(parameter.name).upper()


@pytest.mark.parametrize("name", sorted(commands()))
def test_every_argument_and_option_is_described(name: str) -> None:
    text = section(name)
    for parameter in commands()[name].params:
        if parameter.name == "help":
            continue
        is_argument = parameter.param_type_name == "argument"
        word = argument_word(parameter) if is_argument else parameter.opts[0]
        assert is_described(word, text), f"{name} {word}"


@pytest.mark.parametrize("name", sorted(commands()))
def test_nothing_is_described_that_is_not_there(name: str) -> None:
    known = {option for one in commands()[name].params for option in one.opts}
    named = set(re.findall(r"^``(--[a-z-]+)``$", section(name), re.MULTILINE))
    assert named <= known


@pytest.mark.parametrize("name", sorted(commands()))
def test_defaults_are_the_real_ones(name: str) -> None:
    text = section(name)
    for parameter in commands()[name].params:
        default = parameter.default
        if isinstance(default, bool) or not isinstance(default, int | str | Path):
            continue
        is_argument = parameter.param_type_name == "argument"
        word = argument_word(parameter) if is_argument else parameter.opts[0]
        told = re.search(rf"^``{word}``\n(   .*\n?)+", text, re.MULTILINE)
        assert told is not None
        assert re.search(rf"Default: (``)?{re.escape(str(default))}(``)?\.", told[0]), word


def shell_lines(text: str) -> list[list[str]]:
    blocks = "".join(SHELL_BLOCK.findall(text))
    return [shlex.split(line, comments=True) for line in blocks.splitlines() if line.strip()]


def command_of(words: list[str]) -> str:
    """Return which command a line types."""
    both = " ".join(words[1:3])
    return both if both in commands() else words[1]


@pytest.mark.parametrize("page", ["README.md", "CONTRIBUTING.md"])
def test_commands_shown_exist(page: str) -> None:
    targets = set(
        re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)
    )
    lines = shell_lines((ROOT / page).read_text(encoding="utf-8"))
    assert lines
    for words in lines:
        if words[0] == "make":
            assert words[1] in targets, words
            continue
        assert words[0] == ".venv/bin/farglide"
        name = command_of(words)
        typed = words[1 + len(name.split()) :]
        context = commands()[name].make_context(name, typed, resilient_parsing=False)
        assert context.params


def test_files_named_in_the_pages_exist() -> None:
    for page in ("README.md", "CONTRIBUTING.md"):
        text = (ROOT / page).read_text(encoding="utf-8")
        for name in re.findall(r"(?:docs|scripts|tests|src)/[\w./-]+\w", text):
            if "your" not in name and "..." not in name:
                assert (ROOT / name).exists(), f"{page}: {name}"


def test_every_command_is_in_the_readme() -> None:
    shown = {command_of(words) for words in shell_lines(README) if words[0].endswith("farglide")}
    assert shown | {"demo"} == set(commands())
    assert "make demo" in README
