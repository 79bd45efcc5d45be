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
from shortlever.say import ENGLISH, Language, Said, Text, Voice
from shortlever.team.fit import Fitted, fit_row
from shortlever.team.rows import Row, how_read, read_sheet
from shortlever.team.sheet import MAX_BYTES
from shortlever.team.write import write_sheet

WORTH_SHARING = 40  # rows below which starting further processes takes longer than it saves
NAMED = 5  # rows that the summary names


def convert(
    given: str,
    wanted: str,
    unit: str | None,
    force: bool,
    lift: AnyLift = LIFTS[UNNAMED],
    language: Language = ENGLISH,
) -> None:
    """Read one sheet, fit every lifter, write the other; "-" is standard input or output.

    Raises InputError, before or instead of writing anything: the sheet that goes out is there whole or not at
    all. What can be said about rows goes to standard error.
    """
    _check_places(given, wanted, force)
    sheet = read_sheet(_read(given), unit, lift=lift)
    if sheet.errors:
        raise sheet.errors[0]
    voice = Voice(language, sheet.unit)
    read = {"rows": len(sheet.rows), "unit": sheet.unit, "how": how_read(sheet)}
    _say(voice, Said("team_rows", read))
    for note in sheet.notes:
        _say(voice, Said("note", {"text": note}))
    fitted = list(_with_progress(fit_all(sheet.rows), len(sheet.rows), voice))
    _write(wanted, write_sheet(sheet, {one.number: one.cells for one in fitted}, language), force)
    bad = [str(one.number) for one in fitted if not one.ok]
    done = {"setups": len(fitted) - len(bad), "rows": bad[:NAMED], "more": len(bad) - NAMED}
    ending = "_but_many" if len(bad) > NAMED else "_but" if bad else ""
    _say(voice, Said(f"team_setups{ending}", done))


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
    out, name = Path(wanted), {"name": wanted}
    if given != "-" and out.exists() and Path(given).exists() and out.samefile(given):
        raise _refused("same_file", wanted, Said("file_same", name), Said("file_same_remedy"))
    if out.exists() and not out.is_file():
        said = Said("file_is_folder" if out.is_dir() else "file_is_not_plain", name)
        raise _refused("not_a_file", wanted, said, Said("file_not_plain_remedy"))
    if not out.parent.is_dir():
        said = Said("file_no_folder", {"name": str(out.parent)})
        raise _refused("no_folder", wanted, said, Said("file_no_folder_remedy"))
    if out.exists() and not force:
        raise _taken(wanted)


def _taken(wanted: str) -> InputError:
    return _refused("exists", wanted, Said("file_exists", {"name": wanted}), Said("file_exists_remedy"))


def _read(given: str) -> bytes:
    try:  # no more than would be refused: input may be endless
        if given == "-":
            return sys.stdin.buffer.read(MAX_BYTES + 1) if sys.stdin else b""
        with open(given, "rb") as file:
            return file.read(MAX_BYTES + 1)
    except OSError as wrong:
        said = Said("file_unreadable", {"name": given, "why": wrong.strerror or ""})
        raise _refused("unreadable", given, said, Said("file_unreadable_remedy")) from None


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
        said = Said("file_unwritable", {"name": wanted, "why": wrong.strerror or ""})
        raise _refused("unwritable", wanted, said, Said("file_unwritable_remedy")) from None


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


def _with_progress(fitted: Iterator[Fitted], total: int, voice: Voice) -> Iterator[Fitted]:
    """Passes on what is fitted; on a terminal a tape is pulled out meanwhile, with the time still needed."""
    if not sys.stderr or not sys.stderr.isatty():
        yield from fitted
        return
    start = time.monotonic()
    try:
        for done, one in enumerate(fitted, 1):
            left = (time.monotonic() - start) / done * (total - done)
            said = voice.say(Said("team_progress", {"done": done, "total": total, "left": left}))
            print(f"\r{_tape(done, total)} {said} ", end="", file=sys.stderr, flush=True)
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


def _say(voice: Voice, text: Text) -> None:
    print(voice.say(text), file=sys.stderr)


def _refused(code: str, given: str, message: Text, remedy: Text) -> InputError:
    return InputError("file", code, given[-24:], message, remedy)
