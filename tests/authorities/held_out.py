"""People held out of the fit: does a normal fitted to the others foretell them?

As in ansur_figures.json: of each sex, in file order, `default_rng(7).permutation(n)[:round(0.2 n)]` is out.
"""

from __future__ import annotations

import functools

import numpy as np
from numpy.typing import NDArray

from shortlever.person.population import INDEX, Observation, condition
from tests.authorities import reduce_ansur

SEED = 7
SHARE = 0.2
Z90 = 1.6448536
SEXES = ("male", "female")
KNOWN = {
    "stature": ("stature",),
    "stature, span": ("stature", "span"),
    "stature, span, body mass": ("stature", "span", "body_mass"),
    "shoulder breadth, arm length": ("shoulder_breadth", "arm_length"),
}
KNOWN_OF_LEGS = {
    "stature, body mass": ("stature", "body_mass"),
    "five heights": ("stature", "body_mass", "hip_height", "acromion_height", "knee_height"),
}


def split(sex: str) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """People to fit and people held out, m and kg, columns as reduce_ansur.ORDER."""
    people = reduce_ansur.people(sex)
    mixed = np.random.default_rng(SEED).permutation(len(people))
    out = round(SHARE * len(people))
    return people[mixed[out:]], people[mixed[:out]]


@functools.cache
def fit(sex: str) -> tuple[list[float], list[list[float]]]:
    """Mean and covariance of the people to fit."""
    data = split(sex)[0]
    return data.mean(axis=0).tolist(), np.cov(data, rowvar=False).tolist()


def seen(person: NDArray[np.float64], known: tuple[str, ...], error: float = 0.0) -> list[Observation]:
    """What a tape without error (or with one of ``error`` SD, already added) says of one person."""
    found = []
    for name in known:
        weights = {"upper_arm": 1.0, "forearm_to_grip": 1.0} if name == "arm_length" else {name: 1.0}
        value = sum(weight * float(person[INDEX[part]]) for part, weight in weights.items())
        found.append(Observation(weights, value, error))
    return found


@functools.cache
def misses(sex: str, known: tuple[str, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """How far each held-out person is from what is foretold, and half the 90 % interval (SI)."""
    mean, covariance = fit(sex)
    away, half = [], []
    for person in split(sex)[1]:
        m, p, _ = condition(mean, covariance, seen(person, known))
        away.append(person - np.array(m))
        half.append(Z90 * np.sqrt(np.maximum(np.diag(np.array(p)), 0.0)))
    return np.array(away), np.array(half)


def rmse(sex: str, known: tuple[str, ...], name: str) -> float:
    away, _ = misses(sex, known)
    return float(np.sqrt((away[:, INDEX[name]] ** 2).mean()))


def cover(sex: str, known: tuple[str, ...], name: str) -> float:
    """Share of the held-out people of one sex inside their 90 % interval of one dimension."""
    away, half = misses(sex, known)
    i = INDEX[name]
    return float((np.abs(away[:, i]) <= half[:, i]).mean())


def pooled_cover(known: tuple[str, ...], name: str) -> float:
    """The same over both sexes."""
    count = {sex: len(misses(sex, known)[0]) for sex in SEXES}
    return sum(cover(sex, known, name) * count[sex] for sex in SEXES) / sum(count.values())
