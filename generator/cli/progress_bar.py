"""How far a long run has come: a bar with rate and time left for a person who watches, nothing for a script."""

from __future__ import annotations

import shutil
import sys
import time

__all__ = ["ProgressBar", "told_time"]

CELLS = 24


class ProgressBar:
    """One line on standard error that is written anew; lines said meanwhile stand above it."""

    def __init__(self, *, shown: bool) -> None:
        self._shown = shown and sys.stderr.isatty()
        self._start = time.monotonic()
        self._width = 0
        self._last = ""

    def show(self, done: int, of: int, failed: int) -> None:
        """Show how many are done of how many, how fast it goes, and how long the rest takes."""
        if not self._shown or of == 0:
            return
        took = max(time.monotonic() - self._start, 1e-6)
        filled = CELLS * done // of
        rate = done / took
        left = (of - done) / rate if done else 0.0
        parts = [f"[{'█' * filled}{'·' * (CELLS - filled)}] {done} of {of}"]
        if done:
            parts.append(f"{rate:.2g} a second" if rate >= 0.1 else f"{60.0 * rate:.2g} a minute")
            parts.append(f"{told_time(left)} left" if done < of else f"took {told_time(took)}")
        if failed:
            parts.append(f"{failed} failed")
        self._write(", ".join(parts))

    def say(self, text: str) -> None:
        """Print a line above the bar, on standard error."""
        self._clear()
        print(text, file=sys.stderr)
        self._write(self._last)

    def end(self) -> None:
        """Leave the bar where it is and go to the next line."""
        if self._shown and self._last:
            print(file=sys.stderr)
            self._last = ""

    def _write(self, text: str) -> None:
        if not self._shown or not text:
            return
        self._clear()
        self._last = text[: shutil.get_terminal_size().columns - 1]
        self._width = len(self._last)
        print(self._last, end="", file=sys.stderr, flush=True)

    def _clear(self) -> None:
        if self._shown and self._width:
            print(f"\r{' ' * self._width}\r", end="", file=sys.stderr)
            self._width = 0


def told_time(seconds: float) -> str:
    """Return a time for people.

    >>> told_time(42.4), told_time(150), told_time(7300)
    ('42 s', '2 min 30 s', '2 h 1 min')
    """
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60} s"
    return f"{whole // 3600} h {whole % 3600 // 60} min"
