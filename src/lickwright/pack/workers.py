"""How is the work spread over the cores of the machine?

In processes, not threads: the engines hold Python's lock, and verovio finds its fonts only in the
thread that loaded it.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed

from lickwright.pack.products import Order, make_products

WORTH_IT = 3  # phrases; a new process needs about as long to start as one phrase takes


def make_all(orders: Sequence[Order]) -> Iterator[tuple[Order, dict[str, bytes]]]:
    """Make the files of many phrases: each order with its files, as they get ready.

    When the caller stops early, work that has not begun is dropped.
    """
    cores = min(os.cpu_count() or 1, len(orders))
    if cores < 2 or len(orders) < WORTH_IT:
        for order in orders:
            yield order, make_products(order)
        return
    pool = ProcessPoolExecutor(
        cores, mp_context=multiprocessing.get_context("spawn"), initializer=_ignore_interrupt
    )
    try:
        waiting = {pool.submit(make_products, order): order for order in orders}
        for ready in as_completed(waiting):
            yield waiting[ready], ready.result()
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _ignore_interrupt() -> None:
    """Ctrl-C reaches every process of the terminal; the first one decides what to do."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
