"""
Run the benchmarks and print a table.

``python tests/benchmarks`` runs them all, ``python tests/benchmarks lines start`` the named ones.
"""

import sys
from collections.abc import Callable, Iterable

import bench_dense
import bench_direction
import bench_driving
import bench_files
import bench_ground
import bench_light
import bench_lines
import bench_memory
import bench_section
import bench_sheets
import bench_start
import bench_stream
import bench_whole
import bench_worked
import bench_zones
from race import Race, Result, run


def raced(races: Callable[[], Iterable[Race]]) -> Callable[[], Iterable[Result]]:
    """Return what runs all races of a module."""
    return lambda: (run(race) for race in races())


BENCHMARKS: dict[str, Callable[[], Iterable[Result]]] = {
    "light": raced(bench_light.races),
    "lines": raced(bench_lines.races),
    "ground": raced(bench_ground.races),
    "whole": raced(bench_whole.races),
    "dense": bench_dense.results,
    "direction": bench_direction.results,
    "driving": bench_driving.results,
    "files": raced(bench_files.races),
    "memory": bench_memory.results,
    "section": bench_section.results,
    "sheets": bench_sheets.results,
    "start": bench_start.results,
    "stream": bench_stream.results,
    "worked": bench_worked.results,
    "zones": raced(bench_zones.races),
}

ROW = "{:<38} {:>12} {:>12} {:>18} {:>18}  {}"


def main(names: list[str]) -> int:
    """Run the named benchmarks, or all; return 1 where an aim was missed."""
    strange = sorted(set(names) - BENCHMARKS.keys())
    if strange:
        print(f"There is no benchmark {strange[0]!r}. There are: {', '.join(BENCHMARKS)}.")
        return 2
    print(ROW.format("work", "ours", "plain", "figure", "aim", ""))
    missed = 0
    for name in names or BENCHMARKS:
        for result in BENCHMARKS[name]():
            missed += not result.met
            cells = (result.work, result.ours, result.plain, result.figure, result.aim)
            print(ROW.format(*cells, "" if result.met else "missed"), flush=True)
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
