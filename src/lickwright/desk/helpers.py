"""How is work that takes a while done beside the server, so that it can go on answering?

In processes of their own: the engines hold Python's lock. One for what is typed, one for sound.
"""

from __future__ import annotations

import asyncio
import multiprocessing
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import Any, TypeVar

from lickwright.pack.workers import begin_worker

T = TypeVar("T")


class Helpers:
    """Two processes: `quick` for what the teacher waits for while typing, `slow` for the rest."""

    def __init__(self) -> None:
        self._pools: dict[str, ProcessPoolExecutor] = {}

    async def quick(self, work: Callable[..., T], *values: Any) -> T:
        """Do it in the process that draws."""
        return await self._do("quick", work, values)

    async def slow(self, work: Callable[..., T], *values: Any) -> T:
        """Do it in the process that plays and listens."""
        return await self._do("slow", work, values)

    def close(self) -> None:
        """End both."""
        for pool in self._pools.values():
            pool.shutdown(wait=False, cancel_futures=True)
        self._pools.clear()

    async def _do(self, kind: str, work: Callable[..., T], values: tuple[Any, ...]) -> T:
        loop = asyncio.get_running_loop()
        try:
            return await loop.run_in_executor(self._pool(kind), work, *values)
        except BrokenProcessPool:  # it was killed: once more with a new one
            self._pools.pop(kind, None)
            return await loop.run_in_executor(self._pool(kind), work, *values)

    def _pool(self, kind: str) -> ProcessPoolExecutor:
        if kind not in self._pools:
            self._pools[kind] = ProcessPoolExecutor(
                1, mp_context=multiprocessing.get_context("spawn"), initializer=begin_worker
            )
        return self._pools[kind]
