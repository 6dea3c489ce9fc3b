"""
The few calls every door makes: read, resolve, lay, tell, write.

A job is one plan with the field and everything the plan names by file. Each call gives a new
value; only `write` leaves anything on the disk. `write`, and what reads a folder that it wrote,
stand in modules of their own: files and pictures need libraries that the other calls do without.
"""

from geolayout.jobs.job import Job, Told, lay, resolve, tell
from geolayout.jobs.newfile import save_new
from geolayout.jobs.reading import read, read_plan
from geolayout.jobs.starting import start

__all__ = [
    "Job",
    "Told",
    "lay",
    "read",
    "read_plan",
    "resolve",
    "save_new",
    "start",
    "tell",
]
