"""The output folder is swapped in whole, whatever happens to the run that writes it."""

import errno
import inspect
import json
import os
import random
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from geolayout.errors import FileError
from geolayout.handover import folder as folder_module
from geolayout.handover.folder import files_in, fresh_folder, put_back

REPOSITORY = Path(folder_module.__file__).parents[2]
NAMES = ["plan.toml", "lines/rows.geojson", "lines/passes.geojson", "map.svg"]
LEAVINGS_REMOVED = "The unfinished leavings of a run cut short beside home were removed."
DEEDS = ["rename", "mkdir", "fsync", "unlink", "rmdir"]  # all that changes a disk, but opening

needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are killed after fork")


def fill(folder: Path, version: int) -> None:
    """Write one version: every file carries its number. Version 2 and up hold one file more."""
    names = NAMES + [f"only_{version}.csv"] * (version > 1)
    (folder / "lines").mkdir()
    for name in names:
        (folder / name).write_text(f"version {version}", encoding="utf-8")
    content = {"written_by": "geolayout", "version": version, "files": [*names, "summary.json"]}
    (folder / "summary.json").write_text(json.dumps(content), encoding="utf-8")


Deed = Callable[[Path], object]


def write(target: Path, version: int, *, replace: bool = True, then: Deed | None = None) -> None:
    """Write one version, and do something more to the new folder."""
    with fresh_folder(target, replace=replace) as folder:
        fill(folder, version)
        if then is not None:
            then(folder)


def whole_version(target: Path) -> int:
    """Return the version that stands, after making sure that it is one and whole."""
    content = json.loads((target / "summary.json").read_text(encoding="utf-8"))
    assert sorted(content["files"]) == files_in(target)
    for name in set(content["files"]) - {"summary.json"}:
        assert (target / name).read_text(encoding="utf-8") == f"version {content['version']}"
    return int(content["version"])


def sibling(target: Path, part: str) -> Path:
    return target.with_name(f".{target.name}.geolayout-{part}")


def stands_alone(target: Path) -> bool:
    return [path.name for path in target.parent.iterdir()] == [target.name]


Stop = Callable[[int], object]


def watch_deeds(patch: Callable[..., None], before: Stop, after: Stop) -> None:
    """Number the deeds on the disk from 1, and call ``before`` and ``after`` round each."""
    done = [0]

    def watched(deed: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **named: Any) -> Any:  # as the system's own take them
            done[0] += 1
            number = done[0]
            before(number)
            result = deed(*args, **named)
            after(number)
            return result

        return call

    for name in DEEDS:
        patch(os, name, watched(getattr(os, name)))


class Cut(BaseException):
    """What no code expects."""


def cut(*, at: int, last: int, after: bool) -> tuple[Stop, Stop]:
    """Raise at the deeds from one number to another, before or after doing them."""

    def stop(number: int) -> None:
        if at <= number <= last:
            raise Cut

    def go_on(_: int) -> None:
        return

    return (go_on, stop) if after else (stop, go_on)


@contextmanager
def deeds_watched(before: Stop, after: Stop) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        watch_deeds(patch.setattr, before, after)
        yield


def deeds_of_a_write(target: Path, version: int) -> int:
    """Count the deeds of a replacing write, so that every one can be cut."""
    numbers: list[int] = []
    with deeds_watched(numbers.append, lambda _: None):
        write(target, version)
    return numbers[-1]


def script(text: str, target: Path) -> list[str]:
    """Return the command for a program on a target that can call the functions above."""
    parts = [
        "from __future__ import annotations",  # so that the types of the functions are not needed
        f"import json, os, sys; sys.path.insert(0, {str(REPOSITORY)!r})",
        f"{NAMES=}; {DEEDS=}",
        inspect.getsource(fill),
        inspect.getsource(watch_deeds),
        text,
    ]
    return [sys.executable, "-c", "\n".join(parts), str(target)]


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """A target in an empty folder, so that anything left beside it shows."""
    (tmp_path / "place").mkdir()
    return tmp_path / "place" / "home"


# The plain course


def test_a_first_write_leaves_the_folder_and_nothing_else(target: Path) -> None:
    write(target, 1, replace=False)
    assert whole_version(target) == 1
    assert stands_alone(target)


def test_a_replaced_folder_keeps_no_file_of_the_former(target: Path) -> None:
    for version in (2, 3, 1):
        write(target, version)
        assert whole_version(target) == version
    assert stands_alone(target)


def test_the_target_is_untouched_until_all_is_written(target: Path) -> None:
    write(target, 1)
    with fresh_folder(target, replace=True) as folder:
        assert folder.parent == target.parent
        assert folder == sibling(target, "new")
        assert not list(folder.iterdir())
        fill(folder, 2)
        assert whole_version(target) == 1
    assert whole_version(target) == 2


def test_nothing_to_put_back_is_none_and_writes_nothing(target: Path) -> None:
    assert put_back(target) is None
    assert put_back(target.parent / "absent" / "home") is None
    write(target, 1)
    assert put_back(target) is None
    assert stands_alone(target)


def test_a_relative_target_is_written_beside_the_caller(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(target.parent)
    write(Path("home"), 1)
    write(Path("../place/home"), 2)
    assert whole_version(target) == 2
    assert stands_alone(target)


def test_a_former_folder_short_of_a_listed_file_is_replaced(target: Path) -> None:
    write(target, 1)
    (target / "map.svg").unlink()
    write(target, 2)
    assert whole_version(target) == 2


def test_files_are_listed_with_forward_slashes_links_and_empty_folders(tmp_path: Path) -> None:
    (tmp_path / "a" / "b").mkdir(parents=True)
    (tmp_path / "c").mkdir()
    (tmp_path / "c" / "d.txt").touch()
    (tmp_path / "link").symlink_to(tmp_path / "c")
    assert files_in(tmp_path) == ["a/b/", "c/d.txt", "link"]


# Failures of the writer


@pytest.mark.parametrize("failure", [ValueError, OSError, KeyboardInterrupt, SystemExit])
@pytest.mark.parametrize("before", [0, 1], ids=["on a first write", "on a replacing write"])
def test_a_writer_that_fails_leaves_everything_as_it_was(
    target: Path, before: int, failure: type[BaseException]
) -> None:
    if before:
        write(target, before)

    def fail(_: Path) -> None:
        raise failure("of the writer")

    with pytest.raises(failure, match="of the writer"):
        write(target, 2, then=fail)
    assert stands_alone(target) if before else not list(target.parent.iterdir())
    assert not before or whole_version(target) == before


def summary(**content: Any) -> Callable[[Path], None]:  # a JSON object, as a careless writer may
    def spoil(folder: Path) -> None:
        (folder / "summary.json").write_text(json.dumps(content), encoding="utf-8")

    return spoil


@pytest.mark.parametrize(
    ("spoil", "match"),
    [
        pytest.param(lambda new: (new / "summary.json").unlink(), "no summary.json", id="none"),
        pytest.param(lambda new: (new / "summary.json").write_text("{"), "no summary", id="cut"),
        pytest.param(summary(files=["summary.json"]), "written_by", id="written by nobody"),
        pytest.param(summary(written_by="geolayout"), "list of files", id="without a list"),
        pytest.param(summary(written_by="geolayout", files=[1]), "list of files", id="of numbers"),
        pytest.param(lambda new: (new / "extra.csv").touch(), "in: extra.csv", id="one too many"),
        pytest.param(lambda new: (new / "map.svg").unlink(), "in: map.svg", id="one missing"),
        pytest.param(lambda new: (new / "hollow").mkdir(), "in: hollow/", id="an empty folder"),
    ],
)
def test_a_summary_that_does_not_list_the_files_is_a_fault_of_the_program(
    target: Path, spoil: Deed, match: str
) -> None:
    write(target, 1)
    with pytest.raises(RuntimeError, match=match):
        write(target, 2, then=spoil)
    assert whole_version(target) == 1
    assert stands_alone(target)


# Targets that cannot be written


def ours_with(name: str, *, folder: bool = False) -> Callable[[Path], None]:
    def make(target: Path) -> None:
        write(target, 1)
        if folder:
            (target / name).mkdir(parents=True)
        else:
            (target / name).touch()

    return make


def foreign(text: bytes | None) -> Callable[[Path], None]:
    def make(target: Path) -> None:
        target.mkdir()
        if text is not None:
            (target / "summary.json").write_bytes(text)

    return make


def linked(target: Path) -> None:
    """A link to a folder of ours, kept elsewhere."""
    write(target.parents[1] / "elsewhere", 1)
    target.symlink_to(target.parents[1] / "elsewhere")


BAD_TARGETS = [
    pytest.param(lambda target: write(target, 1), False, "Pass --replace", id="there already"),
    pytest.param(lambda target: target.mkdir(), False, "Pass --replace", id="an empty folder"),
    pytest.param(foreign(None), True, "holds no summary", id="an empty folder is not ours"),
    pytest.param(foreign(b"{}"), True, "holds no summary", id="the summary of someone else"),
    pytest.param(foreign(b"[]"), True, "holds no summary", id="a summary that is a list"),
    pytest.param(foreign(b"\xff"), True, "holds no summary", id="a summary that is no text"),
    pytest.param(foreign(b"[" * 200_000), True, "holds no summary", id="a summary without end"),
    pytest.param(ours_with("notes.txt"), True, "holds notes.txt, which", id="one stranger"),
    pytest.param(ours_with("lines/x.qmd"), True, "holds lines/x.qmd,", id="a stranger deep down"),
    pytest.param(ours_with("a/b", folder=True), True, "holds a/b/,", id="an empty folder in it"),
    pytest.param(lambda target: target.touch(), True, "is a file, not", id="a file"),
    pytest.param(linked, True, "is a link, not", id="a link to a folder of ours"),
    pytest.param(lambda target: target.symlink_to("gone"), True, "is a link", id="a link to none"),
]


@pytest.mark.parametrize(("make", "replace", "match"), BAD_TARGETS)
def test_a_target_that_may_not_be_replaced_is_refused_and_kept(
    target: Path, make: Callable[[Path], None], replace: bool, match: str
) -> None:
    make(target)
    before = files_in(target.parent)
    with pytest.raises(FileError, match=match) as refusal, fresh_folder(target, replace=replace):
        pytest.fail("a refusal comes before any writing")
    assert all((refusal.value.found, refusal.value.why, refusal.value.remedy))
    assert files_in(target.parent) == before


def test_strangers_are_counted(target: Path) -> None:
    write(target, 1)
    for name in ("b.txt", "a.txt", "c.txt"):
        (target / name).touch()
    with pytest.raises(FileError, match=r"holds a\.txt and 2 more, which its"):
        write(target, 2)


@pytest.mark.parametrize(
    ("path", "match"),
    [
        pytest.param("absent/home", "absent does not exist", id="no parent"),
        pytest.param("file.txt/home", "file.txt is not a folder", id="a parent that is a file"),
        pytest.param(".", "you are working in", id="the current folder"),
        pytest.param("../here", "you are working in", id="the current folder by its name"),
        pytest.param("..", "or holds it", id="the parent of the current folder"),
        pytest.param("/", "is a whole disk", id="the root"),
        pytest.param("a\0b/home", "cannot be a folder's path", id="a null in the path"),
        pytest.param("n" * 250, "File name too long", id="a name with no room for a sibling"),
        pytest.param("ring/home", "Symlink loop|does not exist", id="a ring of links"),
    ],
)
def test_a_path_that_cannot_be_a_target_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, path: str, match: str
) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    Path("file.txt").touch()
    Path("ring").symlink_to("ring")
    before = files_in(tmp_path)
    with pytest.raises(FileError, match=match) as refusal:
        write(Path(path), 1)
    assert all((refusal.value.found, refusal.value.why, refusal.value.remedy))
    assert files_in(tmp_path) == before


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="the superuser may write anywhere"
)
def test_a_parent_that_may_not_be_written_is_refused(target: Path) -> None:
    target.parent.chmod(0o555)
    try:
        with pytest.raises(FileError, match="Nothing can be written in"):
            write(target, 1)
    finally:
        target.parent.chmod(0o755)


@pytest.mark.parametrize(
    ("deed", "match"),
    [
        pytest.param("open", "Nothing can be written in", id="the lock cannot be made"),
        pytest.param("mkdir", "could not be made", id="the folder cannot be made"),
        pytest.param("fsync", "could not be written out", id="the disk is full at the last"),
        pytest.param("rename", "could not be renamed to", id="a file in it is open elsewhere"),
    ],
)
def test_an_error_of_the_system_is_told_plainly_and_changes_nothing(
    target: Path, monkeypatch: pytest.MonkeyPatch, deed: str, match: str
) -> None:
    write(target, 1)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(os, deed, refuse)
        with pytest.raises(FileError, match=match) as refusal:
            write(target, 2)
    assert refusal.value.why == "The system says: Permission denied."
    assert whole_version(target) == 1
    assert stands_alone(target)


def test_a_folder_that_will_not_go_is_told_though_the_new_one_stands(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(target, 1)

    def refuse(*_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(shutil, "rmtree", refuse)
        with pytest.raises(FileError, match="could not be removed"):
            write(target, 2)
    assert whole_version(target) == 2
    assert put_back(target) == LEAVINGS_REMOVED
    assert stands_alone(target)


def test_a_file_system_that_cannot_sync_a_folder_is_no_hindrance(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_: int) -> None:
        raise OSError(errno.EINVAL, "Invalid argument")

    monkeypatch.setattr(folder_module, "_sync_file", lambda _: None)
    monkeypatch.setattr(os, "fsync", refuse)
    write(target, 1)
    assert whole_version(target) == 1


def test_a_stranger_put_in_while_we_wrote_is_kept(target: Path) -> None:
    write(target, 1)
    with pytest.raises(FileError, match=r"holds notes\.txt"):
        write(target, 2, then=lambda _: (target / "notes.txt").touch())
    assert (target / "notes.txt").exists()
    assert stands_alone(target)


def test_a_folder_made_by_another_while_we_wrote_is_kept(target: Path) -> None:
    write(target.parents[1] / "other", 1)
    with pytest.raises(FileError, match="there already"):
        write(target, 2, replace=False, then=lambda _: (target.parents[1] / "other").rename(target))
    assert whole_version(target) == 1
    assert stands_alone(target)


def test_all_is_on_the_disk_before_a_name_changes_and_before_the_former_goes(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a power cut spares is only what was synced, so the order is the promise."""
    write(target, 1)
    new, old = sibling(target, "new"), sibling(target, "old")
    done: list[tuple[str, Path]] = []
    rename = os.rename

    def note_rename(source: Path, goal: Path) -> None:
        done.append(("rename", goal))
        rename(source, goal)

    monkeypatch.setattr(folder_module, "_sync_file", lambda path: done.append(("sync", path)))
    monkeypatch.setattr(folder_module, "_sync_folder", lambda path: done.append(("sync", path)))
    monkeypatch.setattr(os, "rename", note_rename)
    write(target, 2)

    swap = done.index(("rename", old))
    written = [new / name for name in files_in(target)] + [new / "lines", new]
    assert sorted(path for _, path in done[: swap - 1]) == sorted(written)
    assert done[swap - 1 :] == [
        ("sync", target.parent),  # the name of the new folder
        ("rename", old),
        ("rename", target),
        ("sync", target.parent),  # its name again, before the former folder is taken apart
        ("rename", new),
    ]


# Two runs at once


def test_a_second_run_on_one_target_is_refused(target: Path) -> None:
    with fresh_folder(target, replace=True) as new:
        fill(new, 1)
        with pytest.raises(FileError, match="Another run is writing"):
            write(target, 2)
        with pytest.raises(FileError, match="Another run is writing"):
            put_back(target)
    assert whole_version(target) == 1
    assert stands_alone(target)


def test_runs_on_neighbouring_targets_do_not_meet(target: Path) -> None:
    with fresh_folder(target, replace=True) as new:
        fill(new, 1)
        write(target.with_name("home.2"), 2)
    assert whole_version(target) == 1
    assert whole_version(target.with_name("home.2")) == 2


def test_a_lock_left_by_a_dead_run_blocks_nobody(target: Path) -> None:
    sibling(target, "lock").touch()
    assert put_back(target) is None
    assert not list(target.parent.iterdir())
    sibling(target, "lock").touch()
    write(target, 1)
    assert stands_alone(target)


def test_a_lock_that_is_a_link_is_not_followed(target: Path) -> None:
    sibling(target, "lock").symlink_to(target.parents[1] / "elsewhere")
    with pytest.raises(FileError, match=r"Nothing can be written in .*-lock is a link\."):
        write(target, 1)
    assert not (target.parents[1] / "elsewhere").exists()


WITHOUT_FCNTL = """
import fcntl, pathlib, shutil, types  # what the module needs is loaded under the true platform

def locking(descriptor, mode, size):
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError as error:
        raise PermissionError(13, "Permission denied") from error

sys.modules["msvcrt"] = types.SimpleNamespace(locking=locking, LK_NBLCK=2)
sys.platform = "win32"
from geolayout.handover import folder
from geolayout.handover import lock

assert not hasattr(lock, "fcntl")
target = pathlib.Path(sys.argv[1])
with folder.fresh_folder(target, replace=False) as new:
    fill(new, 1)
    try:
        folder.put_back(target)
    except folder.FileError as error:
        print(error.found)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="plays the other system")
def test_two_runs_are_kept_apart_where_fcntl_is_missing(target: Path) -> None:
    done = subprocess.run(  # the Windows branch, with its lock played by ours
        script(WITHOUT_FCNTL, target), capture_output=True, text=True, check=True
    )
    assert done.stdout.startswith("Another run is writing")
    assert whole_version(target) == 1
    assert stands_alone(target)


HOLDER = """
import pathlib
from geolayout.handover.folder import fresh_folder

with fresh_folder(pathlib.Path(sys.argv[1]), replace=True) as new:
    fill(new, 2)
    print("written", flush=True)
    sys.stdin.read()
"""


def test_a_run_in_another_process_is_waited_for_only_while_it_lives(target: Path) -> None:
    write(target, 1)
    with subprocess.Popen(
        script(HOLDER, target), stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == b"written\n"
        with pytest.raises(FileError, match="Another run is writing"):
            write(target, 3)
        holder.kill()
        holder.wait()
    assert put_back(target) == LEAVINGS_REMOVED
    assert whole_version(target) == 1
    write(target, 3)
    assert whole_version(target) == 3
    assert stands_alone(target)


# Runs that are cut short


def folder_of(path: Path, version: int) -> None:
    path.mkdir()
    fill(path, version)


def half_a_folder_of(path: Path, version: int) -> None:
    """A folder whose summary lists more than is there: half written, or half removed."""
    folder_of(path, version)
    (path / "map.svg").unlink()


@pytest.mark.parametrize(
    ("standing", "version", "said"),
    [
        pytest.param({"home": 1}, 1, None, id="step 0 or 5, nothing cut"),
        pytest.param({"home": 1, "new": -2}, 1, "unfinished leavings", id="step 1, half written"),
        pytest.param({"home": 1, "new": 2}, 1, "unfinished leavings", id="step 1, all written"),
        pytest.param({"old": 1, "new": 2}, 1, "moved aside by a run", id="step 2"),
        pytest.param({"old": 1, "new": -2}, 1, "moved aside by a run", id="step 2, cut in mending"),
        pytest.param({"old": 1}, 1, "moved aside by a run", id="step 2, new one gone"),
        pytest.param({"home": 2, "old": 1}, 2, "former home, left beside", id="step 3"),
        pytest.param({"home": 2, "new": -1}, 2, "unfinished leavings", id="step 4"),
        pytest.param({"home": 2, "old": 1, "new": -3}, 2, "former home", id="not ours to explain"),
    ],
)
def test_each_state_of_the_table_is_mended(
    target: Path, standing: dict[str, int], version: int, said: str | None
) -> None:
    for name, number in standing.items():  # a minus marks a folder that is not whole
        path = target if name == "home" else sibling(target, name)
        (folder_of if number > 0 else half_a_folder_of)(path, abs(number))
    sentence = put_back(target)
    assert sentence is None if said is None else sentence is not None and said in sentence
    assert whole_version(target) == version
    assert stands_alone(target)
    assert put_back(target) is None


def test_a_first_write_that_was_cut_leaves_nothing(target: Path) -> None:
    folder_of(sibling(target, "new"), 1)
    assert put_back(target) == LEAVINGS_REMOVED
    assert not list(target.parent.iterdir())


@pytest.mark.parametrize("mend", [put_back, lambda target: write(target, 3)], ids=["read", "write"])
def test_the_former_folder_is_kept_when_a_foreign_one_took_its_name(
    target: Path, mend: Callable[[Path], object]
) -> None:
    """Someone misses the folder that was moved aside, and makes one by hand."""
    folder_of(sibling(target, "old"), 1)
    target.mkdir()
    with pytest.raises(FileError, match=r"Both .* are there"):
        mend(target)
    target.rmdir()
    assert put_back(target) == "home, moved aside by a run that was cut short, was put back whole."
    assert whole_version(target) == 1


@pytest.mark.parametrize("part", ["new", "old", "lock"])
def test_a_sibling_of_the_wrong_kind_is_told_and_kept(target: Path, part: str) -> None:
    wrong = sibling(target, part)
    wrong.mkdir() if part == "lock" else wrong.touch()
    if part == "old":
        folder_of(target, 1)
    with pytest.raises(FileError):
        write(target, 2)
    # an "old" that is a file was renamed on its way out, and is there to look at
    assert wrong.exists() or sibling(target, "new").exists()


@pytest.mark.parametrize("after", [False, True], ids=["before a deed", "after a deed"])
@pytest.mark.parametrize("first", [False, True], ids=["replacing", "first write"])
def test_an_interrupt_at_any_deed_leaves_one_whole_version_and_no_sibling(
    target: Path, first: bool, after: bool
) -> None:
    write(target, 1)
    for at in range(1, deeds_of_a_write(target, 2) + 1):
        shutil.rmtree(target)
        if not first:
            write(target, 1)
        with suppress(Cut), deeds_watched(*cut(at=at, last=at, after=after)):
            write(target, 2)
        if first and not target.exists():
            assert {path.name for path in target.parent.iterdir()} <= {sibling(target, "lock").name}
            write(target, 2)
        assert whole_version(target) in {1, 2}, f"deed {at}"
        # the deed that was interrupted may have been the tidying itself
        put_back(target)
        assert stands_alone(target), f"deed {at}"


cuts = st.lists(st.tuples(st.integers(1, 40), st.booleans()), max_size=5)


@given(first=st.booleans(), cuts=cuts)
@example(first=False, cuts=[(12, True), (1, False)])  # moved aside, then cut at putting back
@example(first=False, cuts=[(14, True), (2, True), (3, False)])
@settings(max_examples=100, deadline=None)
def test_runs_cut_one_after_another_leave_one_whole_version(
    tmp_path_factory: pytest.TempPathFactory, first: bool, cuts: list[tuple[int, bool]]
) -> None:
    """From its cut on a run does nothing more, not even tidy: what a power cut leaves."""
    target = tmp_path_factory.mktemp("place") / "home"
    least = 0  # the last version known to stand
    if not first:
        write(target, least := 1)
    for version, (at, after) in enumerate(cuts, start=2):
        with suppress(Cut), deeds_watched(*cut(at=at, last=sys.maxsize, after=after)):
            write(target, version)
            least = version
    put_back(target)
    if target.exists():
        assert least <= whole_version(target) <= 1 + len(cuts)
        assert stands_alone(target)
    else:
        assert least == 0
        assert not list(target.parent.iterdir())


# Processes that are killed

KILLED = """
import pathlib, signal, time
from geolayout.handover.folder import fresh_folder

def write(target, version):
    with fresh_folder(target, replace=True) as new:
        fill(new, version)

def exit_at(deed):
    return lambda number: number == deed and os._exit(9)

def run(target, deed=0, after=False):
    if deed:
        never, stop = exit_at(0), exit_at(deed)
        watch_deeds(setattr, *((never, stop) if after else (stop, never)))
        write(target, 2)
        return
    version = json.loads((target / "summary.json").read_bytes())["version"]
    while True:
        write(target, version := version + 1)

for line in sys.stdin:  # one order a line, one process an order
    delay, deed, after = json.loads(line)
    child = os.fork()
    if not child:
        run(pathlib.Path(sys.argv[1]), deed, after)
        os._exit(0)
    if not deed:
        time.sleep(delay)
        os.kill(child, signal.SIGKILL)
    print(os.waitpid(child, 0)[1], flush=True)
"""


@contextmanager
def killing(target: Path) -> Iterator[Callable[[float, int, bool], int]]:
    """Start processes that write the target and die: after a delay [s], or at a numbered deed."""
    with subprocess.Popen(
        script(KILLED, target), stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as starter:
        assert starter.stdin is not None
        assert starter.stdout is not None
        orders, answers = starter.stdin, starter.stdout

        def order(delay: float, deed: int, after: bool) -> int:
            print(json.dumps([delay, deed, after]), file=orders, flush=True)
            return int(answers.readline())

        yield order
        orders.close()


@needs_fork
@pytest.mark.parametrize("after", [False, True], ids=["before a deed", "after a deed"])
def test_a_process_that_dies_at_any_deed_leaves_one_whole_version(
    target: Path, after: bool
) -> None:
    write(target, 1)
    deeds = deeds_of_a_write(target, 2)
    seen = set()
    with killing(target) as kill:
        for deed in range(1, deeds + 1):
            write(target, 1)
            assert os.waitstatus_to_exitcode(kill(0.0, deed, after)) == 9, f"deed {deed}"
            said = put_back(target)
            seen.add((whole_version(target), said and said.split()[1]))
            assert stands_alone(target), f"deed {deed}"
        write(target, 1)
        assert os.waitstatus_to_exitcode(kill(0.0, deeds + 1, after)) == 0
    # Lines 0, 1, 2 of the table keep version 1; lines 3, 4, 5 show version 2. After the first
    # deed line 0 is past.
    lines = {
        (1, None),
        (1, "unfinished"),
        (1, "moved"),
        (2, "former"),
        (2, "unfinished"),
        (2, None),
    }
    assert seen == (lines - {(1, None)} if after else lines)


@needs_fork
def test_two_hundred_random_kills_leave_one_whole_version_each_time(target: Path) -> None:
    delays = random.Random(15)  # noqa: S311  (nothing secret)
    began = time.perf_counter()
    for _ in range(2):
        write(target, 1)
    # On a slow or busy disk a run needs longer to have something worth spoiling.
    longest = max(0.02, time.perf_counter() - began)
    mended, version = 0, 1
    with killing(target) as kill:
        for _ in range(200):
            status = kill(delays.uniform(0.001, longest), 0, False)
            assert os.waitstatus_to_exitcode(status) == -9
            mended += put_back(target) is not None
            assert whole_version(target) >= version
            version = whole_version(target)
            assert stands_alone(target)
    assert mended >= 20  # otherwise the kills fell where there was nothing to spoil
    assert version > 20  # and the runs did run
