"""
`lay` killed at any file it writes, and on a disk that is full or read-only.

The old folder stands whole, the next run recovers, and who asked reads one sentence. Each run is a
child of one process that has all of the program loaded, and ends itself when its hour comes.
"""

import hashlib
import json
import os
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path

import pytest
from sample_layouts import SAMPLE_FOLDER

from geolayout.handover.folder import files_in, put_back

REPOSITORY = Path(__file__).parents[2]

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="runs are killed after a fork")

SERVER = """
import json, os, resource, signal, sys
sys.path.insert(0, {repository!r})
import geolayout.jobs.writing
from geolayout.apps.cli import cli

def kill_at(count, name):
    # Every file that is opened to be written in the folder, by Python; the libraries' are between.
    seen = []
    def hook(event, told):
        if event == "open" and isinstance(told[0], str) and "-new/" in told[0]:
            if told[2] & (os.O_WRONLY | os.O_RDWR):
                seen.append(told[0])
                if len(seen) == count or (name and told[0].endswith(name)):
                    os.kill(os.getpid(), signal.SIGKILL)
    sys.addaudithook(hook)

for line in sys.stdin:
    order = json.loads(line)
    read, write = os.pipe()
    child = os.fork()
    if not child:
        os.dup2(write, 2)
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        if order.get("bytes"):
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (order["bytes"], order["bytes"]))
        if order.get("count") or order.get("name"):
            kill_at(order.get("count"), order.get("name"))
        try:
            cli.main(order["words"], prog_name="geolayout")
        except SystemExit as end:
            os._exit(end.code or 0)
        except BaseException as error:
            os.write(2, repr(error).encode())
            os._exit(99)
    os.close(write)
    with os.fdopen(read, "rb") as said:
        told = said.read().decode()
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    print(json.dumps([code, told]), flush=True)
"""


@pytest.fixture(scope="module")
def run():
    """Give a way to run the command line in a child, and to end it early."""
    code = SERVER.format(repository=str(REPOSITORY))
    with subprocess.Popen(
        [sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as server:

        def ask(*words, **end):
            order = {"words": [str(word) for word in words], **end}
            server.stdin.write(json.dumps(order) + "\n")
            server.stdin.flush()
            code, told = json.loads(server.stdout.readline())
            return code, told

        yield ask
        server.stdin.close()


PLAN = SAMPLE_FOLDER / "bore_paddock.toml"


def prints(folder):
    """Return what a folder holds, byte by byte, but for the day in its summary."""
    found = {
        name: hashlib.sha256((folder / name).read_bytes()).hexdigest() for name in files_in(folder)
    }
    assert json.loads((folder / "summary.json").read_bytes())["files"] == sorted(found)
    found.pop("summary.json")
    return found


@pytest.fixture(scope="module")
def laid(run, tmp_path_factory):
    """Give a folder laid once, and what it holds."""
    target = tmp_path_factory.mktemp("place") / "home"
    assert run("lay", PLAN, "--out", target) == (0, "")
    return target, prints(target)


def stands(target):
    return sorted(one.name for one in target.parent.iterdir())


MOMENTS = [1, 7, 24]
NAMES = ["map.png", "season.pdf", "handover.zip", "summary.json"]
ENDS = [*({"count": k} for k in MOMENTS), *({"name": name} for name in NAMES)]


@pytest.mark.parametrize("end", ENDS, ids=lambda end: f"at {next(iter(end.values()))}")
def test_a_run_that_is_killed_leaves_the_old_folder_whole(run, laid, end):
    target, before = laid
    code, _ = run("lay", PLAN, "--out", target, "--replace", **end)
    assert code == -9, "it was to be killed"
    assert prints(target) == before
    left = {f".{target.name}.geolayout-{part}" for part in ("new", "lock")}
    assert set(stands(target)) <= {target.name} | left
    assert put_back(target) is not None
    assert stands(target) == [target.name]


def test_the_run_after_a_kill_writes_the_same_again(run, laid):
    target, before = laid
    run("lay", PLAN, "--out", target, "--replace", name="handover.zip")
    assert run("lay", PLAN, "--out", target, "--replace") == (0, "")
    assert prints(target) == before
    assert stands(target) == [target.name]


def test_a_first_run_that_is_killed_leaves_no_folder(run, laid, tmp_path):
    target = tmp_path / "first"
    assert run("lay", PLAN, "--out", target, name="map.png")[0] == -9
    assert not target.exists()
    assert run("lay", PLAN, "--out", target)[0] == 0
    assert prints(target) == laid[1]


def one_sentence(told):
    """Whether what is said is a refusal in one line, and no trace of the program."""
    lines = told.strip().splitlines()
    return len(lines) == 1 and lines[0].startswith("Error: ") and "Traceback" not in told


@pytest.mark.parametrize("size", [1_000, 40_000], ids=lambda s: f"{s} bytes")
def test_a_disk_that_takes_no_more_is_told_in_one_sentence(run, laid, size):
    target, before = laid
    code, told = run("lay", PLAN, "--out", target, "--replace", bytes=size)
    assert code == 2
    assert one_sentence(told), told
    assert "could not be written" in told
    assert "The system says" in told
    assert prints(target) == before
    assert stands(target) == [target.name]


@contextmanager
def small_disk(place, kilobytes):
    """Give a disk of so much room."""
    place.mkdir(exist_ok=True)
    words = ["mount", "-t", "tmpfs", "-o", f"size={kilobytes}k", "tmpfs", str(place)]
    try:
        done = subprocess.run(words, capture_output=True, check=False)
    except FileNotFoundError:
        pytest.skip("there is no mount here")
    if done.returncode:
        pytest.skip("only the superuser may mount a small disk")
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


def test_a_small_disk_holds_the_folder_whole_or_not_at_all(run, laid, tmp_path):
    _, whole = laid
    room = sum(len((laid[0] / name).read_bytes()) for name in files_in(laid[0])) // 1024
    ends = []
    for share in (0.3, 0.45, 0.6, 1.2):
        with small_disk(tmp_path / "disk", int(share * room)) as disk:
            code, told = run("lay", PLAN, "--out", disk / "home")
            ends.append(code)
            if code:
                assert one_sentence(told), told
                assert list(disk.iterdir()) == []
            else:
                assert prints(disk / "home") == whole
    assert ends == [2, 2, 2, 0]


@contextmanager
def read_only_disk(place):
    with small_disk(place, 4096) as disk:
        words = ["mount", "-o", "remount,ro", str(disk)]
        subprocess.run(words, check=True, capture_output=True)
        yield disk


WRITERS = {
    "lay": ["lay", PLAN, "--out"],
    "pegs": ["pegs", PLAN, "--out"],
    "compare": ["compare", PLAN, PLAN, "--csv"],
    "line": ["line", PLAN, "--out"],
}


@pytest.mark.parametrize("name", WRITERS)
def test_a_disk_that_may_not_be_written_is_told_in_one_sentence(run, tmp_path, name):
    with read_only_disk(tmp_path / "disk") as disk:
        code, told = run(*WRITERS[name], disk / "made")
        assert list(disk.iterdir()) == []
    assert code == 2
    assert one_sentence(told), told


@pytest.mark.parametrize("name", WRITERS)
def test_a_folder_that_is_not_there_is_told_in_one_sentence(run, tmp_path, name):
    (tmp_path / "file").touch()
    code, told = run(*WRITERS[name], tmp_path / "file" / "made")
    assert code == 2
    assert one_sentence(told), told
    assert stands(tmp_path / "file") == ["file"]
