"""Imports go one way down the list of packages, and the package itself loads nothing heavy."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import vanclimate

ROOT = Path(vanclimate.__file__).parent
ORDER = [
    "errors", "units", "cache", "physics", "site", "van", "network", "equipment", "energy",
    "simulate", "answers", "report", "page", "cli", "__main__",
]  # fmt: skip
HEAVY = ("numpy", "pandas", "numba", "pvlib", "pydantic", "scipy", "pint", "typer", "rich", "yaml",
         "matplotlib", "jinja2")  # fmt: skip
MODULES = sorted(path.relative_to(ROOT) for path in ROOT.rglob("*.py"))


def imported(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Yield line and package of every import from vanclimate, those inside functions too."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"line {node.lineno}: a relative import hides where it goes"
            if node.module == "vanclimate":  # from vanclimate import physics
                names = [f"vanclimate.{alias.name}" for alias in node.names]
            else:
                names = [node.module or ""]
        else:
            continue
        for name in names:
            parts = name.split(".")
            if parts[0] == "vanclimate" and len(parts) > 1 and parts[1] in ORDER:
                yield node.lineno, parts[1]


def wrong_ways(source: str, own: str) -> list[str]:
    return [
        f"line {line}: {own} imports {other}"
        for line, other in imported(ast.parse(source))
        if ORDER.index(other) > ORDER.index(own)
    ]


def test_every_package_has_its_place() -> None:
    own = {path.parts[0].removesuffix(".py") for path in MODULES}
    assert own - {"__init__"} <= set(ORDER)


@pytest.mark.parametrize("path", [m for m in MODULES if m.as_posix() != "__init__.py"], ids=str)
def test_imports_go_one_way(path: Path) -> None:
    own = path.parts[0].removesuffix(".py")
    assert wrong_ways((ROOT / path).read_text(encoding="utf-8"), own) == []


def test_a_wrong_way_is_seen() -> None:
    assert wrong_ways("def f():\n    from vanclimate.answers.night import night\n", "physics")
    assert wrong_ways("import vanclimate.cli", "report")
    assert wrong_ways("from vanclimate import simulate", "van")
    assert not wrong_ways("from vanclimate.physics import air", "van")


def test_importing_the_package_alone_loads_nothing_heavy() -> None:
    code = f"import sys, vanclimate; print([m for m in {HEAVY!r} if m in sys.modules])"
    path = os.pathsep.join([str(ROOT.parent), os.environ.get("PYTHONPATH", "")])
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True,
        env=os.environ | {"PYTHONPATH": path},
    )  # fmt: skip
    assert done.stdout.strip() == "[]"
