"""Lifters in a file: what it holds, how it is read, and how it is put together with what is kept elsewhere.

A lifter is a plain record (a dict that is JSON), the same as the page keeps on the device; a file holds any
number of them. ``from_text`` reads a file or says where it is wrong, ``sound_of_text`` sets lifters aside who
are not sound, ``compare`` says what a lifter of the
file would change, ``put_together`` gives the record a person chose. Nothing here writes anything.
"""

from shortlever.roster.file import KIND, MAX_CHARACTERS, Damaged, from_text, sound_of_text
from shortlever.roster.merge import CHOICES, Comparison, Difference, compare, put_together
from shortlever.roster.record import VERSION

__all__ = [
    "CHOICES",
    "KIND",
    "MAX_CHARACTERS",
    "VERSION",
    "Comparison",
    "Damaged",
    "Difference",
    "compare",
    "from_text",
    "put_together",
    "sound_of_text",
]
