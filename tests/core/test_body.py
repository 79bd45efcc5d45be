"""From the tape to joint-to-joint lengths, masses and heights."""

from __future__ import annotations

from itertools import pairwise

import pytest

from shortlever import Body, Tape, suggest
from shortlever.person.body import ACROMION_OUTSIDE_JOINT_M, RETRACTION_NARROWS_M, blades_forward
from shortlever.person.tape import MEASURES

MILLIMETRE = 0.001


def measured(**more: float) -> Body:
    """A body whose lengths are all measured, so that what is estimated does not matter."""
    numbers = {"upper_arm": 0.34, "forearm_to_grip": 0.33, "arm_length": 0.67, "shoulder_breadth": 0.42}
    return Body.from_tape(Tape(**{**numbers, **more}, sex="male"), tape_sd_m=1e-9)


def test_joint_centres_by_hand() -> None:
    """de Leva 1996 (offsets from memory): 10.4 % and 4.3 % of acromion-radiale come off the arm.

    upper 0.34 x (1 - 0.104 - 0.043) = 0.29002; fore 0.33 + 0.043 x 0.34 = 0.34462.
    """
    arm = measured().right
    assert arm.upper_m == pytest.approx(0.29002, abs=1e-6)
    assert arm.fore_m == pytest.approx(0.34462, abs=1e-6)
    assert arm.reach_m == pytest.approx(0.67 - 0.104 * 0.34, abs=1e-6)


def test_shoulders_by_hand() -> None:
    body = measured()
    assert body.biacromial_m == pytest.approx(0.42, abs=1e-6)
    inside = ACROMION_OUTSIDE_JOINT_M + RETRACTION_NARROWS_M
    assert body.half_shoulder_m == pytest.approx(0.21 - inside, abs=1e-6)


def test_joints_lie_inside_the_shoulder_tips() -> None:
    """An acromion over 0.68 of 50 mm from the socket (Nyffeler 2006, second-hand), a joint centre one head
    radius of 24 mm (Iannotti 1992, abstract read) from it: 10 mm; a 15 cm collar bone turned from 20 to 36
    degrees: 150 (cos 20 - cos 36) = 19.6 mm."""
    assert ACROMION_OUTSIDE_JOINT_M == pytest.approx(0.68 * 0.050 - 0.024, abs=1e-9)
    assert RETRACTION_NARROWS_M == pytest.approx(0.0196, abs=1e-4)


def test_blades_let_go_along_the_collar_bone() -> None:
    """1 cm forward: sin 36 - 1/15 = 0.521, 31.4 degrees: 150 (cos 31.4 - cos 36) = 6.7 mm outward."""
    assert blades_forward(0.010) == pytest.approx(0.0067, abs=1e-4)
    assert blades_forward(0.0) == pytest.approx(0.0, abs=1e-12)


def test_a_felt_joint_width_overrules() -> None:
    assert measured(joint_width=0.35).half_shoulder_m == 0.175


def test_masses_by_hand() -> None:
    """de Leva 1996, Table 4 (second-hand), men, of 80 kg: 2.71 % = 2.168 kg; 1.62 + 0.61 % = 1.784 kg."""
    arm = measured(body_mass=80.0).right
    assert arm.upper_mass_kg == pytest.approx(2.168, rel=0.01)  # the scale's own error leaves 1 %
    assert arm.fore_mass_kg == pytest.approx(1.784, rel=0.01)
    assert arm.upper_com == pytest.approx(0.5772)


def test_centre_of_mass_of_forearm_and_hand() -> None:
    """The forearm at 45.74 % of elbow-wrist and the hand at the grip: past the middle, before the grip."""
    arm = measured().right
    assert 0.5 < arm.fore_com < 0.65


def test_what_is_measured_is_kept_within_its_error() -> None:
    body = Body.from_tape(Tape(arm_length=0.67, shoulder_breadth=0.42, chest_flat=0.25, chest_arched=0.30))
    assert body.biacromial_m == pytest.approx(0.42, abs=2 * MILLIMETRE)
    assert body.chest_flat_m == 0.25
    assert body.chest_arched_m == 0.30
    assert body.measured == ("arm_length", "shoulder_breadth", "chest_flat", "chest_arched")


def test_measured_heights_and_thumb_are_taken_as_they_are() -> None:
    body = measured(shoulder_height=0.05, thumb_length=0.07)
    assert body.shoulder_height_m == 0.05
    assert body.thumb_m == 0.07


def test_no_arch_number_means_flat() -> None:
    body = measured(chest_flat=0.25)
    assert body.chest_arched_m == body.chest_flat_m == 0.25


def test_an_empty_tape_is_an_average_body() -> None:
    body = Body.from_tape(Tape())
    assert body.measured == ()
    assert 0.28 < body.right.upper_m < 0.30 or 0.26 < body.right.upper_m < 0.29
    assert body.symmetric


def test_longer_arms_and_broader_shoulders_come_through() -> None:
    def reach(arm: float) -> float:
        return Body.from_tape(Tape(arm_length=arm, shoulder_breadth=0.40)).reach_m

    def half(breadth: float) -> float:
        return Body.from_tape(Tape(arm_length=0.65, shoulder_breadth=breadth)).half_shoulder_m

    arms = [reach(0.45 + 0.05 * i) for i in range(10)]
    shoulders = [half(0.26 + 0.03 * i) for i in range(11)]
    assert all(0.03 < b - a < 0.06 for a, b in pairwise(arms))
    assert all(0.010 < b - a < 0.016 for a, b in pairwise(shoulders))


@pytest.mark.parametrize("side", ["left", "right"])
def test_one_side_may_differ(side: str) -> None:
    both = Tape(arm_length=0.66, shoulder_breadth=0.41)
    one = Tape(arm_length=0.66, shoulder_breadth=0.41, **{side: {"arm_length": 0.64}})  # type: ignore[arg-type]
    plain, body = Body.from_tape(both), Body.from_tape(one)
    other = "left" if side == "right" else "right"
    assert not body.symmetric
    assert getattr(body, other) == getattr(plain, other)
    upper = getattr(body, side).upper_m / 0.853  # acromion-radiale: 1 - 0.104 - 0.043
    assert getattr(body, side).reach_m == pytest.approx(0.64 - 0.104 * upper, abs=1e-9)
    assert body.reach_m == getattr(body, side).reach_m


def test_parts_of_one_side_by_hand() -> None:
    """left upper arm 0.32 of 0.64: the forearm is the rest, 0.32; joints as in the test above."""
    body = Body.from_tape(Tape(arm_length=0.66, left={"arm_length": 0.64, "upper_arm": 0.32}))
    assert body.left.upper_m == pytest.approx(0.32 * 0.853)
    assert body.left.fore_m == pytest.approx(0.32 + 0.043 * 0.32)
    body = Body.from_tape(Tape(arm_length=0.66, left={"arm_length": 0.64, "forearm_to_grip": 0.31}))
    assert body.left.upper_m == pytest.approx(0.33 * 0.853)
    assert body.left.fore_m == pytest.approx(0.31 + 0.043 * 0.33)


def test_standard_deviations_shrink_with_the_tape() -> None:
    few = dict(Body.from_tape(Tape(arm_length=0.66), 0.005).sd_m)
    more = dict(Body.from_tape(Tape(arm_length=0.66, stature=1.75, upper_arm=0.335), 0.005).sd_m)
    assert set(few) == set(more)
    assert all(more[name] <= few[name] for name in few)
    assert few["upper_arm"] > 1.5 * more["upper_arm"]


def test_an_estimated_body_mass_is_one_that_a_scale_could_show() -> None:
    """A tape far from anybody's: the straight line of the population would go on to 0.5 kg."""
    tape = Tape(
        arm_length=0.5134, shoulder_breadth=0.3078, forearm_to_grip=0.3248, stature=1.3258, span=2.2254,
        chest_arched=0.1943, shoulder_height=0.0319, hand_breadth=0.0671, thumb_length=0.0774, sex="female",
    )  # fmt: skip
    assert Body.from_tape(tape).body_mass_kg == MEASURES["body_mass"].low
    assert suggest(tape).measures.limit_load_index > 0
