"""Parts of every family for the tests: examples, parts from millimetres, and random ones that can be built."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import strategies as st

from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.families.family import Dimension, Family
from pourwright.catalogue.part_shape import PartShape
from pourwright.domain.part import Part
from pourwright.engines.geometry.kernels.analytic import revolved_volume_mm3
from pourwright.engines.geometry.profiles.outline_crossings import self_crossing
from pourwright.engines.geometry.profiles.outline_math import curves
from pourwright.engines.geometry.tree import Revolve

SIZED = tuple(sorted(name for name, family in FAMILIES.items() if family.dimensions))
Corner = Mapping[str, float]


def typed(dimensions: tuple[Dimension, ...], texts: Mapping[str, str]) -> dict[str, float]:
    """Typed texts in mm, degrees and counts."""
    return {dimension.key: dimension.typed(texts[dimension.key]) for dimension in dimensions if dimension.key in texts}


def with_defaults(family: Family, given: Mapping[str, float]) -> dict[str, float]:
    """All values of a family in mm, those not given by default."""
    defaults = {d.key: d.typed(d.default) for d in family.dimensions if d.default is not None}
    return {**defaults, **given}


def drawn(name: str, **mm: float) -> PartShape:
    """A part of a family from its dimensions in mm, edges sharp unless given."""
    return FAMILIES[name].build(with_defaults(FAMILIES[name], {"edge_radius": 0.0, **mm}))


def example(name: str, **mm: float) -> PartShape:
    """The example of a family, with changes in mm."""
    family = FAMILIES[name]
    return family.build(with_defaults(family, {**typed(family.dimensions, family.example), **mm}))


def part_mm(name: str, **mm: float) -> Part:
    """A part as the store hands it over: SI."""
    return Part(family=name, dimensions={key: value / 1e3 for key, value in mm.items()})


def profile_part(*corners_mm: tuple[float, ...] | Corner) -> Part:
    """A free outline: (r, z), (r, z, arc) or mappings, mm."""
    keys = ("r", "z", "arc", "bulge")
    mapped = [c if isinstance(c, Mapping) else dict(zip(keys, c, strict=False)) for c in corners_mm]
    outline = tuple({key: value / 1e3 for key, value in corner.items()} for corner in mapped)
    return Part(family="profile", outline=outline)


def assert_sound(shape: PartShape) -> None:
    """One simple closed outline that stands on zero, with the size, radius and bore that its points show."""
    outline = shape.outline
    assert shape.node == Revolve(outline)
    assert self_crossing(outline) is None
    assert revolved_volume_mm3(outline) > 0
    points = np.vstack([curve.points(np.linspace(0, 1, 4001)) for curve in curves(outline)])
    low, high = points.min(axis=0), points.max(axis=0)
    width = 2 * high[0]
    assert low[0] >= 0
    assert low[1] == 0
    assert shape.size_mm == pytest.approx((width, width, high[1]), rel=1e-6)
    assert shape.radius_mm == pytest.approx(high[0], rel=1e-6)
    assert shape.bore_mm == pytest.approx(low[0], abs=1e-9)


# ---------------------------------------------------------------- random dimensions


def _mm(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda value: round(value, 3))


SHARE = st.floats(0.0, 0.9)
OUTER, HEIGHT = _mm(4, 80), _mm(2, 90)


def _grown(keys: tuple[str, ...], *more: st.SearchStrategy[float]) -> st.SearchStrategy[dict[str, float]]:
    return st.tuples(OUTER, HEIGHT, SHARE, SHARE, *more).map(lambda drawn_: dict(zip(keys, drawn_, strict=True)))


def _edge(values: dict[str, float], least_radius: float, bore_radius: float, height: float) -> dict[str, float]:
    """The share that was drawn for the edge, of what fits a square corner."""
    room = min(least_radius - bore_radius, height / 2)
    return {**values, "edge_radius": round(values["edge_radius"] * 0.5 * room, 4)}


def _straight(v: dict[str, float]) -> dict[str, float]:
    v = {**v, "bore": round(v["bore"] * v["outer_diameter"], 3)}
    return _edge(v, v["outer_diameter"] / 2, v["bore"] / 2, v["height"])


def _taper(v: dict[str, float]) -> dict[str, float]:
    lower, upper = v["outer_diameter"], round(v["outer_diameter"] * v["ratio"], 3)
    v = {"lower_diameter": lower, "upper_diameter": upper, "height": v["height"] + lower / 2, **_only(v)}
    v["bore"] = round(v["bore"] * min(lower, upper), 3)
    return _edge(v, min(lower, upper) / 2, v["bore"] / 2, v["height"])


def _only(v: dict[str, float]) -> dict[str, float]:
    return {key: v[key] for key in ("bore", "edge_radius")}


def _belly(v: dict[str, float]) -> dict[str, float]:
    ends = v["outer_diameter"]
    belly = round(ends + v["ratio"] * min(ends, v["height"]), 3)
    v = {"outer_diameter": ends, "belly_diameter": belly, "height": v["height"], **_only(v)}
    v["bore"] = round(v["bore"] * ends, 3)
    return _edge(v, ends / 2, v["bore"] / 2, v["height"])


def _waist(v: dict[str, float]) -> dict[str, float]:
    ends = v["outer_diameter"]
    waist = round(ends - 0.5 * v["ratio"] * min(ends, v["height"]), 3)
    v = {"outer_diameter": ends, "waist_diameter": waist, "height": v["height"], **_only(v)}
    v["bore"] = round(v["bore"] * waist * 0.8, 3)
    return _edge(v, waist / 2, v["bore"] / 2, v["height"] / 2)


def _step(v: dict[str, float]) -> dict[str, float]:
    shoulder, height = round(v["outer_diameter"] * v["ratio"], 3), v["height"]
    high = round(height * v["share"], 3)
    v = {**{key: v[key] for key in ("outer_diameter", "height")}, **_only(v)}
    v |= {"shoulder_diameter": shoulder, "shoulder_height": high, "bore": round(v["bore"] * shoulder, 3)}
    return _edge(v, shoulder / 2, v["bore"] / 2, min(high, height - high))


def _ring(v: dict[str, float]) -> dict[str, float]:
    inner = round(max(0.6, v.pop("bore") * v["outer_diameter"]), 3)
    return _edge({**v, "inner_diameter": inner}, v["outer_diameter"] / 4, inner / 4, v["height"])


def _bumper(v: dict[str, float]) -> dict[str, float]:
    v = _straight({**_only(v), **{key: v[key] for key in ("outer_diameter", "height")}} | {"bore": v["bore"] * 0.5})
    outer, bore = v["outer_diameter"] / 2, v["bore"] / 2
    highest = min((outer**2 - bore**2) ** 0.5, v["height"] - v["edge_radius"])
    return {**v, "dome_height": round(0.9 * 0.5 * highest, 3), "edge_radius": round(v["edge_radius"] * 0.3, 4)}


def _wheel(v: dict[str, float]) -> dict[str, float]:
    outer, height, edge = v["outer_diameter"], v["height"], v["edge_radius"]
    core = round(outer * (0.3 + 0.3 * v["bore"]), 3)
    shoulder = {"shoulder_drop": round(0.05 * outer, 3), "shoulder_width": round(0.3 * v["ratio"] * height, 3)}
    deep = round(0.1 * min(core, height), 3)
    groove = {"groove_width": round(0.5 * height, 3), "groove_depth": deep}
    sizes = {"outer_diameter": outer, "height": height, "core_diameter": core, **shoulder, **groove}
    return {**sizes, "edge_radius": round(edge * 0.1 * min(height, outer - core), 4)}


BASE = ("outer_diameter", "height", "bore", "edge_radius")
RANDOM: Mapping[str, st.SearchStrategy[dict[str, float]]] = {
    "straight bushing": _grown(BASE).map(_straight),
    "taper bushing": _grown((*BASE, "ratio"), st.floats(0.5, 1.5)).map(_taper),
    "barrel bushing": _grown((*BASE, "ratio"), st.floats(0.0, 0.8)).map(_belly),
    "waisted bushing": _grown((*BASE, "ratio"), st.floats(0.0, 0.8)).map(_waist),
    "stepped bushing": _grown((*BASE, "ratio", "share"), st.floats(0.3, 0.95), st.floats(0.1, 0.9)).map(_step),
    "ring": _grown(BASE).map(_ring),
    "bumper": _grown(BASE).map(_bumper),
    "wheel": _grown((*BASE, "ratio"), st.floats(0.2, 1.0)).map(_wheel),
}
ANY_PART = st.one_of(
    [st.tuples(st.just(name), values) for name, values in sorted(RANDOM.items())],
)
