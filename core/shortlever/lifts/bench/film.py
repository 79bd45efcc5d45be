"""The planned press as a film from the side can show it."""

from __future__ import annotations

from shortlever.lifts.bench.screen import PressFit
from shortlever.lifts.lift import FilmPlan

STEPS = 12  # of the chest's outline


def film_plan(fit: PressFit) -> FilmPlan:
    """The plan that a film of this press is compared with."""
    press, got, rep = fit.case, fit.shown.got, fit.shown.rep
    body, chest = press.body, press.chest
    pad = -body.shoulder_height_m
    end = chest.top_y_m + 0.10
    across = [chest.notch_y_m + (end - chest.notch_y_m) * i / STEPS for i in range(STEPS + 1)]
    return FilmPlan(
        values={
            "touch": got.moment_arm_m,
            "mean_arm": got.mean_moment_arm_m,
            "range_of_motion": got.range_of_motion_m,
            "chest_height": rep.heights_m[0],
            "lockout": rep.path_m[-1],
            "elbow_height": rep.poses[0][0].elbow[2],
            "forearm_tilt": got.forearm_tilt_side_deg,
        },
        path=list(zip(rep.path_m, rep.heights_m, strict=True)),
        sticking_height_m=got.sticking_height_m,
        half_shoulder_m=body.half_shoulder_m,
        outline=[
            (-0.13, pad + 0.09),
            *((y, chest.height_m(y) + pad) for y in across),
            (end + 0.12, pad + 0.80 * body.chest_flat_m),
        ],
        head=((-0.225, pad + 0.105), 0.095),
        pad_m=pad,
        tape_m=chest.tape_m,
        touch_tape_m=got.touch_tape_m,
    )
