"""Entry point: parses, calls one command, turns every outcome into an exit code. No traceback without ``--debug``."""

from __future__ import annotations

import gc
import os
import signal
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from types import FrameType
from typing import NoReturn

from generator.base.errors import CoverplateError, OutputError, ProofError, RecipeError
from generator.base.process import ONE_THREAD, RARE
from generator.cli import codes
from generator.cli.arguments import make_parser
from generator.cli.tell import Console


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line ``argv`` and return its exit code (see ``codes``)."""
    options = make_parser().parse_args(argv)
    console = Console(json=getattr(options, "json", False), quiet=getattr(options, "quiet", False))
    stopped = _Stopped()
    try:
        return _command(options.command)(options, console)
    except RecipeError as error:
        console.mistakes(error)
        return codes.WRONG
    except KeyboardInterrupt:
        return _interrupted(console)
    except BrokenPipeError:
        # the reader of our output went away (`| head`): nothing to say to it
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return codes.FINE
    except (OutputError, ProofError) as error:
        return _internal(options.debug, console, str(error), error)
    except CoverplateError as error:
        return _internal(options.debug, console, str(error), error)
    except MemoryError as error:
        return _internal(options.debug, console, "out of memory", error)
    except Exception as error:  # the last net: a person gets a sentence, never a traceback
        if stopped.asked:  # the interrupt came while a library was loading, which turns it into errors of its own
            return _interrupted(console)
        said = f"internal failure: {type(error).__name__}: {error}; run again with --debug and report it"
        return _internal(options.debug, console, said, error)


def command() -> NoReturn:
    """Run the command line of this process and end it.

    The process ends at once when the work is done: taking the loaded libraries down in order takes longer than some
    commands do, and a signal in that time would make finished work look like failed work.
    """
    gc.set_threshold(*RARE)
    os.environ.setdefault(*ONE_THREAD)
    try:
        code = main()
    except SystemExit as stop:  # wrong arguments, help and version leave this way
        code = stop.code if isinstance(stop.code, int) else codes.WRONG if stop.code else codes.FINE
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, signal.SIG_IGN)
    with suppress(OSError, ValueError):  # the reader of our output may be gone
        sys.stdout.flush()
        sys.stderr.flush()
    os._exit(code)


def _command(name: str) -> Callable[..., int]:
    """Return the function of a command; imported only now, so that help and check stay quick."""
    if name == "new":
        from generator.cli.new import run
    elif name == "check":
        from generator.cli.check import run
    elif name == "suggest":
        from generator.cli.suggest import run
    elif name == "show":
        from generator.cli.show import run
    elif name == "build":
        from generator.cli.build import run
    elif name == "inspect":
        from generator.cli.inspect import run
    elif name == "handoff":
        from generator.cli.handoff import run
    elif name == "family":
        from generator.cli.family import run
    elif name == "store":
        from generator.cli.store import run
    elif name == "compare":
        from generator.cli.compare import run
    elif name == "printer-page":
        from generator.cli.printer_page import run
    elif name == "trace":
        from generator.cli.trace import run
    elif name == "readings":
        from generator.cli.readings import run
    elif name == "shapes":
        from generator.cli.shapes import run
    else:
        from generator.cli.schema import run
    return run


def _internal(debug: bool, console: Console, message: str, error: BaseException) -> int:
    if debug:
        raise error
    console.problem(message)
    return codes.INTERNAL


def _interrupted(console: Console) -> int:
    console.problem("stopped; every pack is whole, as it was or as it was to be")
    return codes.INTERRUPTED


class _Stopped:
    """Turns Ctrl-C and a polite request to end into the same clean way out, and remembers that it was asked."""

    def __init__(self) -> None:
        self.asked = False
        for number in (signal.SIGINT, signal.SIGTERM):
            if (
                signal.getsignal(number) is not signal.SIG_IGN
            ):  # `nohup` and background jobs of a shell stay as they are
                signal.signal(number, self._stop)

    def _stop(self, signum: int, frame: FrameType | None) -> None:
        self.asked = True
        raise KeyboardInterrupt
