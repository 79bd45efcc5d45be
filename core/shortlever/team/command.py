"""``shortlever team IN.csv OUT.csv``: files in and out, and how far it is."""

from __future__ import annotations

import importlib
import os
import signal
import sys
import tempfile
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, suppress
from pathlib import Path

from shortlever.errors import InputError
from shortlever.lifts import LIFTS, UNNAMED, AnyLift
from shortlever.team.fit import Fitted, fit_row
from shortlever.team.rows import Row, how_read, read_sheet
from shortlever.team.sheet import MAX_BYTES
from shortlever.team.write import write_sheet

WORTH_SHARING = 40  # rows below which starting further processes takes longer than it saves
NAMED = 5  # rows that the summary names


def convert(given: str, wanted: str, unit: str | None, force: bool, lift: AnyLift = LIFTS[UNNAMED]) -> None:
    """Read one sheet, fit every lifter, write the other; "-" is standard input or output.

    Raises InputError, before or instead of writing anything: the sheet that goes out is there whole or not at
    all. What can be said about rows goes to standard error.
    """
    _check_places(given, wanted, force)
    sheet = read_sheet(_read(given), unit, lift=lift)
    if sheet.errors:
        raise sheet.errors[0]
    _say(f"{len(sheet.rows)} rows, results in {sheet.unit}. {how_read(sheet)}.")
    for note in sheet.notes:
        _say(f"Note: {note}")
    fitted = list(_with_progress(fit_all(sheet.rows), len(sheet.rows)))
    _write(wanted, write_sheet(sheet, {one.number: one.cells for one in fitted}), force)
    bad = [one.number for one in fitted if not one.ok]
    said = f"{len(fitted) - len(bad)} setups"
    if bad:
        more = f" and {len(bad) - NAMED} more" if len(bad) > NAMED else ""
        said += f"; no setup for row {', '.join(map(str, bad[:NAMED]))}{more}: see the last column"
    _say(said + ".")


def fit_all(rows: Sequence[Row]) -> Iterator[Fitted]:
    """Every row fitted, in their order, by as many processes as there are processors."""
    processors = os.cpu_count() or 1
    if processors == 1 or len(rows) < WORTH_SHARING:
        yield from map(fit_row, rows)
        return
    # by its name: the browser's Python has no processes, and its build takes in whatever is imported plainly
    futures = importlib.import_module("concurrent.futures")
    done = 0
    try:
        with futures.ProcessPoolExecutor(processors, initializer=_help_quietly) as pool:
            try:
                for one in pool.map(fit_row, rows, chunksize=4):
                    yield one
                    done += 1
            except BaseException:
                pool.shutdown(cancel_futures=True)
                raise
    except (OSError, futures.BrokenExecutor):  # no further processes to be had here, or one was ended
        yield from map(fit_row, rows[done:])


def _help_quietly() -> None:
    """A further process leaves Ctrl-C to the one that writes, and ends with it, however that one ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    writer = importlib.import_module("multiprocessing").parent_process()

    def end() -> None:
        writer.join()
        os._exit(1)

    threading.Thread(target=end, daemon=True).start()


def _check_places(given: str, wanted: str, force: bool) -> None:
    if wanted == "-":
        return
    out = Path(wanted)
    if given != "-" and out.exists() and Path(given).exists() and out.samefile(given):
        raise _refused(
            "same_file", wanted, f"{wanted} is the sheet that comes in.", "Give the result another name."
        )
    if out.exists() and not out.is_file():
        what = "a folder" if out.is_dir() else "no plain file"
        raise _refused(
            "not_a_file", wanted, f"{wanted} is {what}.", "Give the name of a file, or - for output."
        )
    if not out.parent.is_dir():
        raise _refused(
            "no_folder", wanted, f"There is no folder {out.parent}.", "Make it, or choose another."
        )
    if out.exists() and not force:
        raise _taken(wanted)


def _taken(wanted: str) -> InputError:
    return _refused("exists", wanted, f"{wanted} is there already.", "Choose another name, or add --force.")


def _read(given: str) -> bytes:
    try:  # no more than would be refused: input may be endless
        if given == "-":
            return sys.stdin.buffer.read(MAX_BYTES + 1) if sys.stdin else b""
        with open(given, "rb") as file:
            return file.read(MAX_BYTES + 1)
    except OSError as wrong:
        raise _refused(
            "unreadable",
            given,
            f"Cannot read {given}: {wrong.strerror}.",
            "Give a CSV file, or - for standard input.",
        ) from None


def _write(wanted: str, text: str, force: bool) -> None:
    """The file appears whole or not at all: it is written beside its place and then moved there."""
    data = text.encode()
    if wanted == "-":
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return
    out = Path(wanted).resolve()
    try:
        with ExitStack() as leave:
            with tempfile.NamedTemporaryFile(dir=out.parent, prefix=f".{out.name}.", delete=False) as part:
                leave.callback(_remove, part.name)
                part.write(data)
            os.chmod(part.name, 0o666 & ~_umask())
            if not force:
                out.touch(exist_ok=False)  # refuses a file that came there meanwhile
                leave.callback(_remove_empty, out)
            os.replace(part.name, out)
    except FileExistsError:
        raise _taken(wanted) from None
    except OSError as wrong:
        raise _refused(
            "unwritable", wanted, f"Cannot write {wanted}: {wrong.strerror}.", "Choose another place."
        ) from None


def _remove(name: str) -> None:
    with suppress(FileNotFoundError):
        os.unlink(name)


def _remove_empty(out: Path) -> None:
    if out.stat().st_size == 0:
        out.unlink()


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _with_progress(fitted: Iterator[Fitted], total: int) -> Iterator[Fitted]:
    """Passes on what is fitted; on a terminal a tape is pulled out meanwhile, with the time still needed."""
    if not sys.stderr or not sys.stderr.isatty():
        yield from fitted
        return
    start = time.monotonic()
    try:
        for done, one in enumerate(fitted, 1):
            left = (time.monotonic() - start) / done * (total - done)
            print(
                f"\r{_tape(done, total)} {done} of {total}, {left:.0f} s left ",
                end="",
                file=sys.stderr,
                flush=True,
            )
            yield one
    finally:
        print(f"\r{' ' * 72}\r", end="", file=sys.stderr, flush=True)


def _tape(done: int, total: int, width: int = 30) -> str:
    """A steel tape pulled out so far, with a long tick at every fifth.

    >>> _tape(1, 2, 10)
    '[....|     '
    """
    out = width * done // total
    return "[" + "".join("|" if i % 5 == 4 else "." for i in range(out)) + " " * (width - out)


def _say(text: str) -> None:
    print(text, file=sys.stderr)


def _refused(code: str, given: str, message: str, remedy: str) -> InputError:
    return InputError("file", code, given[-24:], message, remedy)
