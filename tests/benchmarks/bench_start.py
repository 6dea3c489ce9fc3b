"""How long the command takes to start: help against click alone, a field against geopandas."""

import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from race import Result, fastest_in_turn

SAMPLE = Path(__file__).resolve().parents[2] / "sample_fields" / "pond_piece.toml"

COMMAND = (sys.executable, "-m", "geolayout.apps.cli")


def results() -> Iterator[Result]:
    """Yield the measurements of this module."""
    click = _starts([sys.executable, "-c", "import click"])
    yield _compared("start, --help", _starts([*COMMAND, "--help"]), click, 3.0)
    geopandas = _starts([sys.executable, "-c", "import geopandas"])
    yield _compared("start, one field laid", _lay_sample, geopandas, 1.5)


def _starts(command: Sequence[str]) -> Callable[[], None]:
    """Return what runs a command to its end."""

    def start() -> None:
        subprocess.run(command, check=True, capture_output=True)

    return start


def _lay_sample() -> None:
    """Lay a sample field out into a folder that is thrown away."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "out"
        subprocess.run([*COMMAND, "lay", SAMPLE, "--out", out], check=True, capture_output=True)
        shutil.rmtree(out)


def _compared(work: str, ours: Callable[[], None], other: Callable[[], None], aim: float) -> Result:
    """Time two starts in turn; ours may take so many times as long."""
    own, others = fastest_in_turn(ours, other)
    return Result(
        work,
        f"{own * 1e3:.0f} ms",
        f"{others * 1e3:.0f} ms",
        f"{own / others:.2f} x as long",
        f"{aim:.2f} x as long",
        own <= aim * others,
    )
