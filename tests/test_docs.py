"""Is what the docs say true: commands, examples, messages, links?"""

from __future__ import annotations

import ast
import re
import shlex
from pathlib import Path

import click
import pytest

from lickwright.cli import main
from lickwright.lesson import read_lesson

ROOT = Path(__file__).parents[1]
DOCS = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted((ROOT / "docs").rglob("*.md"))]
READER = ROOT / "src" / "lickwright" / "lesson"
_FENCE = re.compile(r"^(`{3,})(\w*)[^\n]*\n(.*?)^\1\s*$", re.DOTALL | re.MULTILINE)


def blocks(text: str, kind: str) -> list[str]:
    return [match[3] for match in _FENCE.finditer(text) if match[2] == kind]


def as_lesson(text: str) -> str:
    return text if "```" in text or "\n" not in text.strip() else f"```lick example\n{text}```\n"


def takes_a_code(tree: ast.Module) -> dict[str, int]:
    """Functions of a module with a parameter called code, and its place."""
    found = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            names = [arg.arg for arg in node.args.args if arg.arg != "self"]
            if "code" in names:
                found[node.name] = names.index("code")
    return found


def words(value: ast.expr, tree: ast.Module) -> set[str]:
    """The texts that an argument can be: written there, one of two, or a loop's."""
    match value:
        case ast.Constant(value=str(text)):
            return {text}
        case ast.IfExp(body=one, orelse=other):
            return words(one, tree) | words(other, tree)
        case ast.Name(id=name):
            loops = [
                loop.iter.elts
                for loop in ast.walk(tree)
                if isinstance(loop, ast.For) and isinstance(loop.iter, ast.Tuple)
                and isinstance(loop.target, ast.Name) and loop.target.id == name
            ]  # fmt: skip
            return {word for elts in loops for each in elts for word in words(each, tree)}
    return set()


def codes_of_the_reader() -> set[str]:
    """Every code that a function of the reader is given."""
    trees = [ast.parse(file.read_text(encoding="utf-8")) for file in READER.glob("*.py")]
    everywhere: dict[str, int] = {}
    for tree in trees:
        everywhere |= takes_a_code(tree)
    found: set[str] = set()
    for tree in trees:
        takes = everywhere | takes_a_code(tree)
        for call in (node for node in ast.walk(tree) if isinstance(node, ast.Call)):
            name = getattr(call.func, "attr", getattr(call.func, "id", ""))
            if name in takes and len(call.args) > takes[name]:
                found |= words(call.args[takes[name]], tree)
    return found


@pytest.mark.parametrize("path", DOCS, ids=lambda path: path.name)
def test_every_link_and_picture_is_there(path: Path) -> None:
    text = re.sub(_FENCE, "", path.read_text(encoding="utf-8"))
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        if "://" not in target and not target.startswith("#"):
            file, _, anchor = target.partition("#")
            assert (path.parent / file).exists(), target
            if anchor:
                other = (path.parent / file).read_text(encoding="utf-8")
                heads = re.findall(r"^#+ (.+)$", other, re.MULTILINE)
                made = {re.sub(r"[^\w\- ]", "", h).lower().replace(" ", "-") for h in heads}
                assert anchor in made, target


@pytest.mark.parametrize("path", DOCS, ids=lambda path: path.name)
def test_every_lesson_in_the_docs_can_be_read(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for kind in ("lesson", "mended"):
        for each in blocks(text, kind):
            problems = read_lesson(as_lesson(each)).problems
            assert problems == (), each


@pytest.mark.parametrize("path", DOCS, ids=lambda path: path.name)
def test_every_command_in_the_docs_can_be_given(path: Path) -> None:
    for line in re.findall(r"^\$? ?lickwright (.+)$|`lickwright ([^`]+)`", path.read_text(), re.M):
        words = shlex.split((line[0] or line[1]).split("#")[0])
        command = main.commands.get(words[0])
        assert command is not None, words
        context = click.Context(command)
        known = {name for each in command.params for name in each.opts} | {"--help"}
        for word in words[1:]:
            if word.startswith("--"):
                assert word.split("=")[0] in known, words
        assert context is not None


def sections() -> dict[str, str]:
    text = (ROOT / "docs" / "problems.md").read_text(encoding="utf-8")
    parts = re.split(r"^### `([a-z-]+)`$", text, flags=re.MULTILINE)[1:]
    return dict(zip(parts[::2], parts[1::2], strict=True))


def test_every_code_of_the_reader_is_explained_and_no_other() -> None:
    said = codes_of_the_reader()
    assert len(said) > 30
    assert set(sections()) == said


@pytest.mark.parametrize("code", sorted(sections()))
def test_a_broken_example_gives_its_code_and_the_words_that_stand_there(code: str) -> None:
    part = sections()[code]
    for each in blocks(part, "broken"):
        found = [p for p in read_lesson(as_lesson(each)).problems if p.code == code]
        assert found, each
        assert f"> {found[0].what}" in part
        assert f"> mend: {found[0].mend}" in part
        assert blocks(part, "mended")
