"""Two runs are kept off one target, and a dead one blocks nobody."""

import errno
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from geolayout.errors import FileError
from geolayout.handover import lock as lock_module
from geolayout.handover.lock import alone

REPOSITORY = Path(lock_module.__file__).parents[2]


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """A target in an empty folder, so that anything left beside it shows."""
    (tmp_path / "place").mkdir()
    return tmp_path / "place" / "home"


@pytest.fixture
def lock(target: Path) -> Path:
    return target.with_name(".home-lock")


def check_free(target: Path, lock: Path) -> None:
    with alone(target, lock=lock):
        assert lock.is_file()
    assert not lock.exists()


def test_the_lock_stands_while_it_is_held_and_no_longer(target: Path, lock: Path) -> None:
    check_free(target, lock)
    check_free(target, lock)
    assert not list(target.parent.iterdir())


def test_a_second_holder_is_refused_and_the_first_keeps_it(target: Path, lock: Path) -> None:
    with alone(target, lock=lock):
        for _ in range(2):  # the first refusal must not have loosened the lock
            with pytest.raises(FileError) as refusal, alone(target, lock=lock):
                pytest.fail("two hold one lock")
        assert refusal.value.found == f"Another run is writing {target}."
        assert refusal.value.why
        assert refusal.value.remedy
        assert lock.is_file()
    check_free(target, lock)


def test_locks_of_two_names_do_not_meet(target: Path, lock: Path) -> None:
    with alone(target, lock=lock):
        check_free(target.with_name("away"), lock.with_name(".away-lock"))


def test_a_lock_left_by_a_dead_run_blocks_nobody(target: Path, lock: Path) -> None:
    lock.touch()
    check_free(target, lock)


@pytest.mark.parametrize("failure", [ValueError, OSError, KeyboardInterrupt])
def test_what_fails_under_the_lock_passes_as_it_is_and_frees_it(
    target: Path, lock: Path, failure: type[BaseException]
) -> None:
    with pytest.raises(failure, match=r"^of the writer$"), alone(target, lock=lock):
        raise failure("of the writer")
    check_free(target, lock)


def linked(lock: Path) -> None:
    lock.symlink_to(lock.with_name("elsewhere"))


@pytest.mark.parametrize(
    ("spoil", "why"),
    [
        pytest.param(linked, "The system says: .home-lock is a link.", id="a link, not followed"),
        pytest.param(Path.mkdir, "The system says: Is a directory.", id="a folder of that name"),
        pytest.param(
            lambda lock: lock.parent.rmdir(),
            "The system says: No such file or directory.",
            id="no folder to put it in",
        ),
    ],
)
@pytest.mark.skipif(sys.platform == "win32", reason="the words are those of another system")
def test_a_lock_that_cannot_be_made_is_told_plainly(
    target: Path, lock: Path, spoil: Callable[[Path], object], why: str
) -> None:
    spoil(lock)
    with pytest.raises(FileError, match="Nothing can be written in") as refusal:
        check_free(target, lock)
    assert refusal.value.why == why
    assert not lock.with_name("elsewhere").exists()


def test_a_lock_file_removed_by_its_holder_is_opened_anew(
    target: Path, lock: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The holder may remove the file between our opening and our locking of it."""
    fcntl = pytest.importorskip("fcntl")
    plain, opened = fcntl.flock, []

    def late(descriptor: int, operation: int) -> None:
        opened.append(descriptor)
        if len(opened) == 1:
            lock.unlink()
        plain(descriptor, operation)

    monkeypatch.setattr(fcntl, "flock", late)
    check_free(target, lock)
    assert len(opened) == 2


def test_a_disk_whose_files_never_look_the_same_twice_is_not_tried_for_ever(
    target: Path, lock: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(os.path, "samestat", lambda *_: False)
        with pytest.raises(FileError, match="Another run is writing"):
            check_free(target, lock)


def test_a_disk_that_knows_no_locks_is_refused_and_no_file_left_open(
    target: Path, lock: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fcntl = pytest.importorskip("fcntl")
    opened: list[int] = []

    def refuse(descriptor: int, _: int) -> None:
        opened.append(descriptor)
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(fcntl, "flock", refuse)
    with pytest.raises(FileError) as refusal:
        check_free(target, lock)
    assert refusal.value.why == "The system says: No locks available."
    with pytest.raises(OSError, match="Bad file descriptor"):
        os.fstat(opened[0])


HOLDER = """
import pathlib, sys
from geolayout.handover.lock import alone

target, lock = map(pathlib.Path, sys.argv[1:])
with alone(target, lock=lock):
    print("held", flush=True)
    sys.stdin.read()
"""


def test_another_process_keeps_the_lock_only_while_it_lives(target: Path, lock: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(target), str(lock)],
        cwd=REPOSITORY,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline().strip() == b"held"
        with pytest.raises(FileError, match="Another run is writing"):
            check_free(target, lock)
        holder.kill()
        holder.wait()
    assert lock.exists()
    check_free(target, lock)
