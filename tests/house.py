"""The house in figures: what its own tests measure of the source, all of it read as text."""

from __future__ import annotations

import ast
import io
import keyword
import tokenize
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeGuard

from complexipy import file_complexity

Function = ast.FunctionDef | ast.AsyncFunctionDef
RUN = 6
"""Lines of the same shape that make a repeated pair."""
MOST_PLACES = 8
"""A run that stands in more places than this is a habit of the language, no repetition of ours."""


def modules(package: Path) -> dict[str, Path]:
    """Every module of a package by its dotted name."""
    found = {}
    for path in sorted(package.rglob("*.py")):
        parts = path.relative_to(package.parent).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def imports(package: Path) -> dict[str, set[str]]:
    """By module: the modules of the same package that any statement of it imports, under TYPE_CHECKING too."""
    known = modules(package)
    return {name: set(_imported(ast.parse(path.read_text("utf-8")), known)) - {name} for name, path in known.items()}


def _imported(tree: ast.AST, known: Mapping[str, Path]) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in known)
        elif isinstance(node, ast.ImportFrom) and node.module:
            inner = [f"{node.module}.{alias.name}" for alias in node.names]
            yield from (name for name in inner if name in known)
            if node.module in known and any(name not in known for name in inner):
                yield node.module


def circles(graph: Mapping[str, set[str]]) -> list[list[str]]:
    """Groups of modules that import each other, straight or round about: Tarjan's strong components."""
    index: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    found: list[list[str]] = []

    def visit(name: str) -> None:
        index[name] = low[name] = len(index)
        stack.append(name)
        for other in sorted(graph.get(name, ())):
            if other not in index:
                visit(other)
                low[name] = min(low[name], low[other])
            elif other in stack:
                low[name] = min(low[name], index[other])
        if low[name] == index[name]:
            place = stack.index(name)
            group, stack[place:] = stack[place:], []
            if len(group) > 1:
                found.append(sorted(group))

    for name in graph:
        if name not in index:
            visit(name)
    return found


def inner_imports(package: Path) -> list[str]:
    """Imports of our own inside functions, as `file:line`."""
    found: set[str] = set()
    for path in modules(package).values():
        inside = (node for function in functions(path) for node in ast.walk(function))
        imports = [node for node in inside if isinstance(node, ast.Import | ast.ImportFrom)]
        own = [node for node in imports if _is_own(node, package.name)]
        found.update(f"{path.relative_to(package.parent)}:{node.lineno}" for node in own)
    return sorted(found)


def _is_own(node: ast.Import | ast.ImportFrom, package: str) -> bool:
    named = [node.module or ""] if isinstance(node, ast.ImportFrom) else [alias.name for alias in node.names]
    return any(name.split(".")[0] == package for name in named)


def functions(path: Path) -> list[Function]:
    """All functions of a file, methods and inner ones too."""
    return [node for node in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(node, Function)]


def knotted(path: Path, most: int) -> list[str]:
    """Functions whose cognitive complexity (Campbell 2018, as complexipy counts it) is over the most allowed."""
    return [
        f"{path.name}: {each.name} {each.complexity}"
        for each in file_complexity(str(path)).functions
        if each.complexity > most
    ]


@dataclass(frozen=True, slots=True, order=True)
class Pair:
    """Two places that share a run of lines of one shape."""

    one: str
    other: str
    lines: int

    def __str__(self) -> str:
        return f"{self.one} ~ {self.other}, {self.lines} lines"


def repeated(package: Path) -> list[Pair]:
    """Pairs of files, or of places in one, that share a run of at least six lines alike but for names and values.

    Left out: imports, docstrings, comments, constants, fields of records and rows of tables.
    """
    shapes = {path: _shapes(path) for path in modules(package).values()}
    places: dict[tuple[str, ...], list[tuple[Path, int]]] = defaultdict(list)
    for path, lines in shapes.items():
        for start in range(len(lines) - RUN + 1):
            places[tuple(shape for _, shape in lines[start : start + RUN])].append((path, start))
    longest: dict[tuple[Path, Path], Pair] = {}
    for where in places.values():
        if not 1 < len(where) <= MOST_PLACES:
            continue
        for number, one in enumerate(where):
            for other in where[number + 1 :]:
                _keep_longest(longest, shapes, one, other)
    return sorted(longest.values())


def _keep_longest(
    longest: dict[tuple[Path, Path], Pair],
    shapes: Mapping[Path, list[tuple[int, str]]],
    one: tuple[Path, int],
    other: tuple[Path, int],
) -> None:
    (path, start), (path2, start2) = one, other
    lines, lines2 = shapes[path], shapes[path2]
    size = 0
    while (
        start + size < len(lines) and start2 + size < len(lines2) and lines[start + size][1] == lines2[start2 + size][1]
    ):
        size += 1
    if path == path2 and abs(start - start2) < size:
        return  # a list of like rows repeats nothing but itself
    known = longest.get((path, path2))
    if known is None or known.lines < size:
        first, second = (
            f"{p.parent.name}/{p.name}:{lines[s][0]}" for p, lines, s in ((path, lines, start), (path2, lines2, start2))
        )
        longest[path, path2] = Pair(first, second, size)


def _shapes(path: Path) -> list[tuple[int, str]]:
    """The lines of code of a file by number, each as its shape: names, strings and numbers are all alike."""
    text = path.read_text("utf-8")
    left_out = _left_out(ast.parse(text))
    lines: dict[int, list[str]] = defaultdict(list)
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.start[0] not in left_out and token.type in (
            tokenize.NAME,
            tokenize.NUMBER,
            tokenize.STRING,
            tokenize.OP,
        ):
            lines[token.start[0]].append(_shape(token))
    return [(number, " ".join(shape)) for number, shape in sorted(lines.items()) if _does(shape)]


def _does(shape: list[str]) -> bool:
    """The line does something: rows of a table, names of a list and lone brackets do not."""
    return any(part in ("=", "(", ":=") or keyword.iskeyword(part) for part in shape) and any(map(str.isalnum, shape))


def _shape(token: tokenize.TokenInfo) -> str:
    if token.type == tokenize.NAME:
        return token.string if keyword.iskeyword(token.string) else "n"
    return {tokenize.NUMBER: "0", tokenize.STRING: "s"}.get(token.type, token.string)


def _is_docstring(node: ast.AST) -> TypeGuard[ast.Expr]:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)


def _is_constant(node: ast.stmt) -> bool:
    return isinstance(node, ast.Assign | ast.AnnAssign)


def _left_out(tree: ast.Module) -> set[int]:
    """Numbers of lines that say nothing of how a thing is done: imports, docstrings, constants, fields of records."""
    found: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import | ast.ImportFrom) or _is_docstring(node):
            found.update(range(node.lineno, (node.end_lineno or node.lineno) + 1))
        elif isinstance(node, ast.Module):
            found.update(
                n for each in node.body if _is_constant(each) for n in range(each.lineno, (each.end_lineno or 0) + 1)
            )
        elif isinstance(node, ast.ClassDef):
            fields = [each for each in node.body if isinstance(each, ast.AnnAssign)]
            found.update(number for each in fields for number in range(each.lineno, (each.end_lineno or 0) + 1))
    return found
