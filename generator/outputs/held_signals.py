"""Hold signals back while files are half-written, and deliver them when the folder is tidy again."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from generator.base.errors import OutputError

__all__ = ["held_signals"]


class _StoppedError(Exception):
    """Raised at a safe place after a signal was held; never leaves this module."""


@contextmanager
def held_signals() -> Iterator[Callable[[], None]]:
    """Hold back interrupt, terminate and hang-up; yields a function that stops the work if one has arrived.

    After the block the signal is delivered as it would have been: Ctrl-C becomes KeyboardInterrupt, a terminated
    process ends by the signal. A signal that was being ignored stays ignored. Only the main thread can hold signals;
    elsewhere nothing is held, and none arrive there.

    Raises: OutputError: stopped by a signal whose own handler chose to go on.
    """
    caught: list[int] = []

    def stop_if_caught() -> None:
        if caught:
            raise _StoppedError

    before = _hold(caught)
    stopped = False
    try:
        yield stop_if_caught
    except _StoppedError:
        stopped = True
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    if caught:
        signal.raise_signal(caught[0])
    if stopped:
        raise OutputError("stopped by a signal before the pack was written; the previous pack is as it was")


def _hold(caught: list[int]) -> dict[int, Callable[..., object] | int]:
    """Have signals noted in ``caught``; return the handlers that were there before."""
    before: dict[int, Callable[..., object] | int] = {}
    if threading.current_thread() is not threading.main_thread():
        return before
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        handler = signal.getsignal(number) if number is not None else None
        if number is None or handler is None or handler == signal.SIG_IGN:
            continue
        before[number] = handler
        signal.signal(number, lambda n, _frame: caught.append(n))
    return before
