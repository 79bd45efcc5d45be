"""The people of ANSUR II: the reduction in the core, and how well it foretells people held out of it."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from shortlever.person import population, population_data
from shortlever.person.measure import TAPE_SD_M
from shortlever.person.population import INDEX
from shortlever.person.tape import MEASURES
from shortlever.person.together import odd
from tests.authorities import held_out, reduce_ansur
from tests.authorities.reduce_ansur import ORDER

# Figures of the same survey by another program, and the splits it used (see "about" inside the file).
FIGURES: dict[str, Any] = json.loads((reduce_ansur.HERE / "ansur_figures.json").read_text(encoding="utf-8"))
EIGHT_DIGITS = 1e-7  # the figures are printed with eight digits, the core's with seven
SEVEN_DIGITS = 1e-6
LOW, HIGH = 0.88, 0.92  # what a 90 % interval may cover; one SD of the sampling of 1,213 people is 0.009
LEGS = ORDER[ORDER.index("acromion_height") :]  # what a lift with the legs adds
OF_LEGS = 0.86, 0.95  # the band that was asked for a lift of the legs
OF_LEGS_PER_SEX = 0.045  # one of 40 lies there: women's knee height from stature and span, 0.859
PER_SEX = 0.04  # of 397 women one SD is 0.015: two and a half of them
MILLI = 1000.0


def scale(name: str) -> float:
    return 1.0 if name == "body_mass" else MILLI


@pytest.mark.parametrize("sex", held_out.SEXES)
def test_the_core_holds_what_the_reduction_gives(sex: str) -> None:
    count, mean, covariance = reduce_ansur.reduced(sex)
    assert reduce_ansur.ORDER == population_data.ORDER
    assert count == population_data.COUNT[sex]
    assert mean == population_data.MEAN[sex]
    assert covariance == population_data.COVARIANCE[sex]


@pytest.mark.parametrize("sex", held_out.SEXES)
def test_means_and_covariances_against_another_reduction(sex: str) -> None:
    figures, names = FIGURES["sexes"][sex], FIGURES["names"]
    at = [INDEX[name] for name in names]
    units = np.array([scale(name) for name in names])
    assert population_data.COUNT[sex] == figures["n"]
    mean = np.array(population_data.MEAN[sex])[at] * units
    np.testing.assert_allclose(mean, figures["mean"], rtol=SEVEN_DIGITS)
    covariance = np.array(population_data.COVARIANCE[sex])[np.ix_(at, at)] * np.outer(units, units)
    np.testing.assert_allclose(covariance, figures["cov"], rtol=SEVEN_DIGITS)


@pytest.mark.parametrize("sex", held_out.SEXES)
@pytest.mark.parametrize("known", list(FIGURES["held_out"]["male"]["known"]))
def test_held_out_people_as_in_the_other_program(sex: str, known: str) -> None:
    """RMSE and coverage of the core's conditional normal are those of the other program, person by person."""
    given = tuple(known.split("+"))
    figures = FIGURES["held_out"][sex]
    assert len(held_out.split(sex)[0]) == figures["n_train"]
    assert len(held_out.split(sex)[1]) == figures["n_test"]
    for name, expected in figures["known"][known].items():
        assert held_out.rmse(sex, given, name) * scale(name) == pytest.approx(
            expected["rmse"], rel=EIGHT_DIGITS
        )
        half = held_out.misses(sex, given)[1][0, INDEX[name]] * scale(name)
        assert half == pytest.approx(expected["half_width90"], rel=1e-3)  # n - 1 against n - k - 1
        one_person = 1.01 / figures["n_test"]
        assert held_out.cover(sex, given, name) == pytest.approx(expected["cover90"], abs=one_person)


@pytest.mark.parametrize("known", [*held_out.KNOWN.values(), *held_out.KNOWN_OF_LEGS.values()], ids=", ".join)
def test_intervals_cover_the_people_held_out(known: tuple[str, ...]) -> None:
    for name in LEGS if known in held_out.KNOWN_OF_LEGS.values() else ORDER:
        if name in known:
            continue
        low, high = OF_LEGS if name in LEGS else (LOW, HIGH)
        assert low <= held_out.pooled_cover(known, name) <= high, name
        for sex in held_out.SEXES:
            off = OF_LEGS_PER_SEX if name in LEGS else PER_SEX
            assert held_out.cover(sex, known, name) == pytest.approx(0.9, abs=off), (name, sex)


def test_intervals_cover_when_the_sex_is_not_given(monkeypatch: pytest.MonkeyPatch) -> None:
    """As the core is used: two numbers from a tape with its error, both sexes, the mixture's mean and SD."""
    fits = {sex: held_out.fit(sex) for sex in held_out.SEXES}
    monkeypatch.setattr(population, "MEAN", {sex: fit[0] for sex, fit in fits.items()})
    monkeypatch.setattr(population, "COVARIANCE", {sex: fit[1] for sex, fit in fits.items()})
    error, rng = 0.005, np.random.default_rng(held_out.SEED)
    inside: dict[str, list[bool]] = {name: [] for name in ORDER}
    for sex in held_out.SEXES:
        for person in held_out.split(sex)[1]:
            taped = held_out.seen(person, ("shoulder_breadth", "arm_length"))
            taped = [
                population.Observation(o.weights, o.value + float(rng.normal(0, error)), error) for o in taped
            ]
            found = population.estimate(taped)
            for name in ORDER:
                away = abs(person[INDEX[name]] - found.mean[INDEX[name]])
                inside[name].append(bool(away <= held_out.Z90 * found.sd(name)))
    covered = {name: float(np.mean(values)) for name, values in inside.items()}
    for name, share in covered.items():
        low, high = OF_LEGS if name in LEGS else (LOW, HIGH)
        assert low <= share <= high, (name, share)


TWO = ("arm_length", "shoulder_breadth")
SIX = (*TWO, "upper_arm", "stature", "span", "chest_flat")
ALL = tuple(key for key, measure in MEASURES.items() if measure.tells)


@pytest.mark.parametrize(
    ("known", "sex_given"),
    [
        (TWO, True),
        (TWO, False),
        ((*TWO, "stature", "body_mass"), True),
        pytest.param(SIX, False, marks=pytest.mark.slow),
        pytest.param(ALL, True, marks=pytest.mark.slow),
        pytest.param(ALL, False, marks=pytest.mark.slow),
    ],
)
def test_few_people_held_out_are_called_odd(
    known: tuple[str, ...], sex_given: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """0.5 % are meant; of 1,213 people one SD of the sampling is 0.2 %, and tails are a little heavier."""
    fits = {sex: held_out.fit(sex) for sex in held_out.SEXES}
    monkeypatch.setattr(population, "MEAN", {sex: fit[0] for sex, fit in fits.items()})
    monkeypatch.setattr(population, "COVARIANCE", {sex: fit[1] for sex, fit in fits.items()})
    rng = np.random.default_rng(held_out.SEED)
    called = []
    for sex in held_out.SEXES:
        for person in held_out.split(sex)[1]:
            taped = {}
            for key in known:
                measure = MEASURES[key]
                true = sum(weight * float(person[INDEX[name]]) for name, weight in measure.tells.items())
                taped[key] = true + float(rng.normal(0, measure.seen(true, TAPE_SD_M).sd))
            called.append(bool(odd(taped, sex if sex_given else None, MEASURES)))
    assert 0 < np.mean(called) <= 0.01


def test_a_wrong_spread_would_be_noticed() -> None:
    """Intervals a tenth too wide or too narrow leave the band, so the coverage tests can fail."""
    away, half = (
        np.vstack(part)
        for part in zip(*(held_out.misses(s, ("stature",)) for s in held_out.SEXES), strict=True)
    )
    i = INDEX["upper_arm"]
    for factor in (0.88, 1.12):
        covered = float((np.abs(away[:, i]) <= factor * half[:, i]).mean())
        assert not LOW <= covered <= HIGH
