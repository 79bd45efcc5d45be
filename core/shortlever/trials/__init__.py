"""Sets that decide: compare two to four setups by what the bar says.

Plan a fair order, log sets, ask for the verdict. The package knows nothing of bodies or bars: each setup
comes with its limit-load index (only ratios matter) and, for the preference dial, its stroke and mean arm in
m.

>>> from shortlever.trials import Candidate, Measured, SetRecord, TrialLog, add_candidate, add_set, judge
>>> from shortlever.trials import fair_order, undo
>>> log = add_candidate(TrialLog(), Candidate("now", "Now", 5.0, 0.36, 0.11, present=True))
>>> log = add_candidate(log, Candidate("wide", "Wide", 5.2, 0.34, 0.13))
>>> fair_order([c.key for c in log.on_list])
('now', 'wide', 'wide', 'now')
>>> for key, reps in zip(fair_order(["now", "wide"]), (5, 6, 6, 5)):
...     log = add_set(log, SetRecord(key, "2031-05-09", load_kg=100, reps=reps, reps_in_reserve=1))
>>> report = judge(log)
>>> report.verdict, report.best
('cannot tell yet', None)
>>> wide = report.standings[1]
>>> 0.5 < wide.chance_best < 0.95 and wide.gain_percent.low < 0 < wide.gain_percent.middle
True
>>> log = add_set(log, SetRecord("wide", "2031-05-13", load_kg=100, reps=3, reps_in_reserve=3, pain=True))
>>> judge(log).verdict, [c.key for c in log.on_list], len(undo(log).on_list)
('nothing to compare', ['now'], 2)
"""

from shortlever.trials.ahead import SetsAhead
from shortlever.trials.changes import (
    add_candidate,
    add_set,
    clear_pain,
    delete_set,
    edit_set,
    measure_set,
    remove_candidate,
    with_formula,
    with_terms,
)
from shortlever.trials.judge import Range, Report, Standing, judge
from shortlever.trials.log import Candidate, Measured, SetRecord, TrialLog
from shortlever.trials.nextset import NextSet
from shortlever.trials.plan import fair_order
from shortlever.trials.preference import implied_place, implied_preference
from shortlever.trials.repmax import FORMULAS, estimate_1rm, relative_error
from shortlever.trials.storage import from_json, start_anew, to_json, undo
from shortlever.trials.together import alike, together

__all__ = [
    "FORMULAS",
    "Candidate",
    "Measured",
    "NextSet",
    "Range",
    "Report",
    "SetRecord",
    "SetsAhead",
    "Standing",
    "TrialLog",
    "add_candidate",
    "add_set",
    "alike",
    "clear_pain",
    "delete_set",
    "edit_set",
    "estimate_1rm",
    "fair_order",
    "from_json",
    "implied_place",
    "implied_preference",
    "judge",
    "measure_set",
    "relative_error",
    "remove_candidate",
    "start_anew",
    "to_json",
    "together",
    "undo",
    "with_formula",
    "with_terms",
]
