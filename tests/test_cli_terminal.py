"""On a real terminal, a narrow one, a plain one, and in a pipe; and Ctrl-C in the middle of it."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from rich.cells import cell_len

from vanclimate.cache import data_path

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="no such terminal here"),
]
VANCLIMATE = [sys.executable, "-m", "vanclimate"]
STYLES = re.compile(r"\x1b\[[0-9;]*m")
COLOURS = re.compile(r"\x1b\[[0-9;]*3[0-7]m")


def on_terminal(args: list[str], columns: int, **variables: str) -> str:
    """Return all that a command writes to a terminal so wide."""
    import fcntl
    import pty
    import struct
    import termios

    mine, its = pty.openpty()
    fcntl.ioctl(its, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    env = {key: value for key, value in os.environ.items() if key not in ("COLUMNS", "NO_COLOR")}
    env |= {"TERM": "xterm-256color", **variables}
    command = subprocess.Popen([*VANCLIMATE, *args], stdin=its, stdout=its, stderr=its, env=env)
    os.close(its)
    written = b""
    try:
        while part := os.read(mine, 65536):
            written += part
    except OSError:  # so a terminal ends whose last writer is gone
        pass
    os.close(mine)
    assert command.wait(60) == 0
    return written.decode().replace("\r\n", "\n")


@pytest.mark.parametrize("args", [["night"], ["check"], ["coast"], ["weather", "show", "miami"]])
def test_no_line_is_wider_than_a_terminal_of_sixty_columns(args):
    text = on_terminal(args, 60)
    shown = text.rpartition("\r\x1b[K")[2]  # what the line of progress left
    lines = STYLES.sub("", shown).splitlines()
    assert len(lines) > 20
    assert max(map(cell_len, lines)) <= 60
    assert "\x1b" not in "".join(lines)
    assert "\r" not in "".join(lines)


def test_colour_is_for_the_verdict_and_can_be_switched_off():
    plain = on_terminal(["night"], 80, NO_COLOR="1")
    assert not COLOURS.search(plain)
    coloured = on_terminal(["night"], 80)
    assert (
        STYLES.sub("", coloured).rpartition("\x1b[K")[2]
        == STYLES.sub("", plain).rpartition("\x1b[K")[2]
    )
    found = re.findall(r"\x1b\[[0-9;]*3[0-7]m([^\x1b\n]*)", coloured)
    assert found
    assert all(re.match(r"Holds|yes|no|unfit|sleeping|until", words.strip()) for words in found)


def test_a_plain_terminal_gets_no_codes():
    assert "\x1b" not in on_terminal(["night"], 80, TERM="dumb")


def test_a_pipe_gets_no_codes_whatever_the_variables_ask_for():
    env = os.environ | {"FORCE_COLOR": "1", "CLICOLOR_FORCE": "1", "TERM": "xterm-256color"}
    for args in (["night"], ["--help"], ["nihgt"]):
        done = subprocess.run([*VANCLIMATE, *args], capture_output=True, env=env, timeout=300)
        assert b"\x1b" not in done.stdout + done.stderr
        assert b"\r" not in done.stdout + done.stderr


def interrupted(args: list[str], cwd: Path, cache: Path, when) -> tuple[int, str]:
    """Return how a command ends that is sent a real interrupt as soon as ``when()`` is true."""
    env = os.environ | {"VANCLIMATE_CACHE": str(cache)}
    command = subprocess.Popen(
        [*VANCLIMATE, *args], cwd=cwd, env=env, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    for _ in range(3000):
        if when():
            break
        time.sleep(0.1)
    command.send_signal(signal.SIGINT)
    out, err = command.communicate(timeout=120)
    assert not out
    return command.returncode, err.splitlines()[-1]


def test_ctrl_c_in_the_compiling_leaves_nothing(tmp_path):
    cache, here = tmp_path / "cache", tmp_path / "here"
    here.mkdir()
    args = ["night", "--trace", "t.csv"]
    begun = time.monotonic() + 10.0
    code, said = interrupted(args, here, cache, lambda: time.monotonic() > begun)
    assert code == 130
    assert said == "stopped; nothing was answered, and no file is half-written"
    assert not list(here.iterdir())
    # what the compiler had finished by then is whole, and kept
    assert not [path for path in cache.rglob("*") if path.suffix in (".part", ".tmp")]
    kept = list(cache.rglob("*.nbc"))
    assert all(path.with_name(f"{path.stem.rpartition('.')[0]}.nbi").is_file() for path in kept)


def test_ctrl_c_in_the_futures_keeps_them_and_says_so(tmp_path):
    from vanclimate.cache import cache_dir

    args = ["last", str(data_path("scenarios", "weekend-van.yaml")), "--table", "f.csv"]
    args += ["--seed", str(time.time_ns() % 100_000)]  # of which nothing is kept yet
    kept = cache_dir() / "futures"
    before = len(list(kept.glob("*.npz")))
    code, said = interrupted(
        args, tmp_path, cache_dir(), lambda: len(list(kept.glob("*.npz"))) > before + 3
    )
    assert code == 130
    assert said == "stopped; what is finished is kept: type the same command again to go on"
    assert not list(tmp_path.iterdir())
    assert not list(kept.glob("*.part"))
