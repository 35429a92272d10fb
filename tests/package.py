"""Look into the built wheel and sdist: ``python -m tests.package FOLDER``, see .ci/release.

What does not belong here: installing them.
"""

from __future__ import annotations

import sys
import tarfile
import zipfile
from pathlib import Path

from vanclimate import __version__

ROOT = Path(__file__).resolve().parents[1]
NOT_IN_THE_WHEEL = ("tests/", "docs/", ".ci/")
CODE_MADE = ("__pycache__", ".pyc")


def of_repository(folder: str) -> set[str]:
    """Return the files of a folder of the repository, by their paths from its top."""
    found = (p for p in (ROOT / folder).rglob("*") if p.is_file())
    names = {p.relative_to(ROOT).as_posix() for p in found}
    return {n for n in names if not any(mark in n for mark in CODE_MADE)}


def wheel_faults(names: set[str]) -> list[str]:
    """Return what a wheel lacks and what it should not have."""
    data = {f"vanclimate/_data/{n}" for f in ("weather", "scenarios") for n in of_repository(f)}
    lacks = (of_repository("vanclimate") | data) - names
    more = {n for n in names if n.startswith(NOT_IN_THE_WHEEL) or "/tests/" in n}
    return [f"wheel lacks {n}" for n in sorted(lacks)] + [f"wheel has {n}" for n in sorted(more)]


def sdist_faults(names: set[str]) -> list[str]:
    """Return what an sdist lacks of what the package and its tests need."""
    asked = {"README.md", "pyproject.toml", "DEVELOPERS.md", "CITATION.cff", ".ci/run"}
    for folder in ("vanclimate", "weather", "scenarios", "tests", "docs"):
        asked |= of_repository(folder)
    within = {n.split("/", 1)[1] for n in names if "/" in n}
    built = {n for n in asked if n.startswith("docs/_build/")}
    return [f"sdist lacks {n}" for n in sorted(asked - built - within)]


def main(folder: Path) -> None:
    """Look into both, and end with what is wrong."""
    (wheel,) = folder.glob(f"vanclimate-{__version__}-*.whl")
    (sdist,) = folder.glob(f"vanclimate-{__version__}.tar.gz")
    with zipfile.ZipFile(wheel) as held, tarfile.open(sdist) as packed:
        found = wheel_faults(set(held.namelist())) + sdist_faults(set(packed.getnames()))
    if found:
        raise SystemExit("\n".join(found))
    size = [f"{p.name} {p.stat().st_size / 1e6:.1f} MB" for p in (wheel, sdist)]
    print(f"{', '.join(size)}: all files are in")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
