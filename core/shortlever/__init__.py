"""Leverages of a lift from a tape to the body: ``Tape``, ``Body``, ``Setup``, ``assess`` and ``suggest``.

>>> import shortlever
>>> lifter = shortlever.Tape(arm_length=0.665, shoulder_breadth=0.416)
>>> advice = shortlever.suggest(lifter)
>>> 0.60 < advice.setup.grip_m <= 0.81
True
"""

from shortlever.errors import InfeasibleError, InputError
from shortlever.lifts import Assessment, Comfort, Gear, Setup, Suggestion, assess, suggest
from shortlever.person.body import Body
from shortlever.person.tape import Tape

__version__ = "0.1.0"
__all__ = [
    "Assessment",
    "Body",
    "Comfort",
    "Gear",
    "InfeasibleError",
    "InputError",
    "Setup",
    "Suggestion",
    "Tape",
    "assess",
    "suggest",
]
