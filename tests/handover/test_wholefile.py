"""Single files and small folders appear whole or not at all, and nothing of others is lost."""

import errno
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from geolayout.errors import FileError
from geolayout.handover import wholefile
from geolayout.handover.pictures.file import write_picture
from geolayout.handover.wholefile import new_file, new_folder, replaced_file
from geolayout.jobs.newfile import save_lines, save_new
from geolayout.jobs.pegs import Pegs, write_pegs
from geolayout.land.frames.mapgrid import map_grid

REPOSITORY = Path(wholefile.__file__).parents[2]


@pytest.fixture
def place(tmp_path):
    """An empty folder, so that anything left beside a file shows."""
    (tmp_path / "place").mkdir()
    return tmp_path / "place"


def held(place):
    return sorted(one.name for one in place.iterdir())


def test_a_new_file_is_all_there_is(place):
    new_file(place / "a.csv", b"1")
    assert (held(place), (place / "a.csv").read_bytes()) == (["a.csv"], b"1")


@pytest.mark.parametrize("write", [new_file, lambda path, _: new_folder(path, {})])
def test_what_stands_there_is_kept(place, write):
    (place / "a.csv").write_bytes(b"of another")
    with pytest.raises(FileExistsError):
        write(place / "a.csv", b"1")
    assert (held(place), (place / "a.csv").read_bytes()) == (["a.csv"], b"of another")


def test_a_name_taken_while_we_wrote_is_kept(place, monkeypatch):
    write_out = wholefile._write_out

    def meanwhile(path, data):
        write_out(path, data)
        (place / "a.csv").write_bytes(b"of another")

    monkeypatch.setattr(wholefile, "_write_out", meanwhile)
    with pytest.raises(FileExistsError):
        new_file(place / "a.csv", b"1")
    assert (held(place), (place / "a.csv").read_bytes()) == (["a.csv"], b"of another")


def test_a_disk_without_second_names_is_written_too(place, monkeypatch):
    def none(*_):
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", none)
    new_file(place / "a.csv", b"1")
    assert held(place) == ["a.csv"]
    with pytest.raises(FileExistsError):
        new_file(place / "a.csv", b"2")


def test_a_replaced_file_is_the_one_or_the_other(place):
    replaced_file(place / "a.png", b"1")
    (place / "link.png").symlink_to("a.png")
    replaced_file(place / "link.png", b"2")
    assert (place / "a.png").read_bytes() == b"2"
    assert held(place) == ["a.png", "link.png"]
    replaced_file(Path(os.devnull), b"1")
    assert not Path(os.devnull).is_file()


def test_leavings_of_a_killed_run_are_cleared(place):
    for name in (".a.csv.geolayout-new", ".a.csv.geolayout-lock"):
        (place / name).write_bytes(b"half")
    (place / ".pegs.geolayout-new").mkdir()
    (place / ".pegs.geolayout-new" / "half.csv").touch()
    new_file(place / "a.csv", b"1")
    new_folder(place / "pegs", {"pegs.csv": b"1"})
    assert held(place) == ["a.csv", "pegs"]
    assert held(place / "pegs") == ["pegs.csv"]


TEXT = "x" * 100_000
PEGS = Pegs(map_grid("EPSG:32632"), "sheet", TEXT, "")
WRITERS = [
    pytest.param(lambda path: save_new(path, TEXT), id="a plan or a table"),
    pytest.param(lambda path: save_lines(path, TEXT), id="lines"),
    pytest.param(lambda path: write_pegs(PEGS, path), id="pegs"),
    pytest.param(
        lambda path: write_picture(path.with_suffix(".png"), lambda _: TEXT.encode()),
        id="a picture",
    ),
]


@pytest.mark.parametrize("write", WRITERS)
def test_a_full_disk_is_told_in_one_sentence_and_leaves_nothing(place, write, monkeypatch):
    def full(_):
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        with pytest.raises(FileError, match="cannot be written") as refusal:
            write(place / "made")
    assert refusal.value.why == "The system says: No space left on device."
    assert held(place) == []
    write(place / "made")
    assert len(held(place)) == 1


@pytest.mark.parametrize("write", WRITERS)
def test_two_runs_on_one_name_are_kept_apart(place, write):
    name = "made.png" if write is WRITERS[-1].values[0] else "made"
    with (
        wholefile.alone(place / name, lock=place / f".{name}.geolayout-lock"),
        pytest.raises(FileError, match="Another run is writing"),
    ):
        write(place / "made")
    assert held(place) == []


def test_a_picture_that_fails_leaves_the_former(place, monkeypatch):
    path = place / "home.svg"
    path.write_bytes(b"former")

    def full(_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileError, match="No space left"):
        write_picture(path, lambda _: b"new")
    assert (held(place), path.read_bytes()) == (["home.svg"], b"former")


KILLED = """
import sys; sys.path.insert(0, {repository!r})
from pathlib import Path
from geolayout.handover.wholefile import new_folder, replaced_file
place = Path(sys.argv[1])
print("ready", flush=True)
for k in range(10**9):
    replaced_file(place / "a.png", str(k % 10).encode() * 200_000)
    new_folder(place / f"pegs_{{k}}", {{"a.csv": b"1" * 50_000, "b.csv": b"2" * 50_000}})
"""


def test_a_kill_at_any_moment_leaves_whole_files_alone(place):
    code = KILLED.format(repository=str(REPOSITORY))
    for delay in (0.001, 0.004, 0.009, 0.015, 0.022):
        with subprocess.Popen(
            [sys.executable, "-c", code, str(place)], stdout=subprocess.PIPE
        ) as run:
            assert run.stdout is not None
            assert run.stdout.readline() == b"ready\n"
            time.sleep(delay)
            run.kill()
        for one in place.iterdir():
            if one.name == "a.png":
                assert len(set(one.read_bytes())) == 1
                assert one.stat().st_size == 200_000
            elif not one.name.startswith("."):
                assert [f.stat().st_size for f in one.iterdir()] == [50_000, 50_000]
        for one in [o for o in place.iterdir() if o.name.startswith("pegs_")]:
            for file in one.iterdir():
                file.unlink()
            one.rmdir()
    replaced_file(place / "a.png", b"1")
    assert "a.png" in held(place)
    assert ".a.png.geolayout-new" not in held(place)
