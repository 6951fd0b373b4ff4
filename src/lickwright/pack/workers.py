"""How is the work spread over the cores of the machine?

In processes, not threads: the engines hold Python's lock, and verovio finds its fonts only in the
thread that loaded it.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing.process import BaseProcess

from lickwright.pack.made import Job, Made

WORTH_IT = 8  # jobs; a new process needs about as long to start as a few of them take


def make_all(jobs: Sequence[Job]) -> Iterator[tuple[Job, Made]]:
    """Do many jobs: each with what it gave, as they get ready.

    When the caller stops early, work that has not begun is dropped.
    """
    cores = min(os.cpu_count() or 1, len(jobs))
    if cores < 2 or len(jobs) < WORTH_IT:
        for job in jobs:
            yield job, job.make()
        return
    pool = ProcessPoolExecutor(
        cores, mp_context=multiprocessing.get_context("spawn"), initializer=begin_worker
    )
    try:
        waiting = {pool.submit(_make, job): job for job in jobs}
        for ready in as_completed(waiting):
            yield waiting[ready], ready.result()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _make(job: Job) -> Made:
    return job.make()


def begin_worker() -> None:
    """First thing in a process that works for another: end when that one ends, not on Ctrl-C.

    Ctrl-C reaches every process of a terminal; the first one decides what to do. If that one is
    killed, nobody else would tell the others.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: BaseProcess) -> None:
    parent.join()
    os._exit(1)
