"""What the parts of a log must be, and the error about one that is not."""

from __future__ import annotations

from datetime import date as Date

from shortlever.errors import InputError
from shortlever.say import Said

MOST_CHARACTERS = 60
MOST_MARKS, MOST_MARK = 6, 120  # how a setup is found: so many, so many characters each


def refuse(field: str, code: str, given: object, wrong: Said, remedy: Said) -> InputError:
    """The error about a part of a log: what was given and what is wrong with it."""
    shown = (given if isinstance(given, str) else repr(given))[:24]
    said = Said("trial_refused", {"part": Said(f"log_{field}"), "given": shown, "wrong": wrong})
    return InputError(field, code, shown, said, remedy)


def check_text(field: str, given: object, what: str) -> None:
    """Refuses what is no text of 1 to MOST_CHARACTERS characters; ``what`` is the code of what it is."""
    if not isinstance(given, str) or not given.strip() or len(given) > MOST_CHARACTERS:
        raise refuse(
            field,
            "not_a_name",
            given,
            Said("wrong_no_text", {"what": Said(what), "most": MOST_CHARACTERS}),
            Said("do_give_text", {"what": Said(what)}),
        )


def check_flag(field: str, given: object) -> None:
    """Refuses what is neither true nor false."""
    if not isinstance(given, bool):
        raise refuse(
            field, "not_yes_or_no", given, Said("wrong_neither_true_nor_false"), Said("do_give_true_or_false")
        )


def check_marks(given: object) -> None:
    """Refuses what is not a few short texts that say how a setup is found."""
    marks = given if isinstance(given, tuple) else (None,)
    if len(marks) > MOST_MARKS or not all(isinstance(one, str) and len(one) <= MOST_MARK for one in marks):
        wrong = Said("wrong_no_marks", {"count": MOST_MARKS, "most": MOST_MARK})
        raise refuse("marks", "damaged", given, wrong, Said("do_hand_it_over_again"))


def check_number(field: str, given: object, low: float, high: float) -> None:
    """Refuses what is no number inside a range."""
    if isinstance(given, bool) or not isinstance(given, int | float) or not low <= given <= high:
        raise refuse(
            field,
            "out_of_range",
            given,
            Said("wrong_no_number", {"low": low, "high": high}),
            Said("do_give_number", {"low": low, "high": high}),
        )


def day_of(date: str) -> int:
    """An ISO date (year-month-day) as a count of days; raises InputError for anything else."""
    try:
        day = Date.fromisoformat(date)
        if day.isoformat() == date:
            return day.toordinal()
    except (TypeError, ValueError):
        pass
    raise refuse("date", "not_a_date", date, Said("wrong_not_a_date"), Said("do_give_year_month_day_such_as"))
