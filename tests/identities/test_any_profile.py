"""Free outlines drawn at random become kits that keep every identity, in every style that takes them."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from family_parts import profile_part
from mould_designs import WISH, evaluator
from pourwright.basics.errors import CannotBuild, DoesNotFit
from pourwright.catalogue.families.shape_of import shape_of
from pourwright.catalogue.moulds.style import STYLES
from pourwright.catalogue.part_shape import PartShape
from pourwright.steps.proofs.prove import prove

BORED_MM = st.sampled_from([0.0, 0.0, 3.0, 4.5])
WIDTHS_MM = st.lists(st.integers(16, 32).map(lambda halves: halves / 2), min_size=2, max_size=5)
STEPS_MM = st.lists(st.integers(4, 16).map(lambda halves: halves / 2), min_size=5, max_size=5)


def turned(widths_mm: list[float], steps_mm: list[float], bore_mm: float, flat: bool) -> PartShape:
    """A part whose outside goes from width to width, by cones or, flat, by a cylinder and a shoulder each time."""
    corners, height = [(bore_mm, 0.0)], 0.0
    for k, width in enumerate(widths_mm):
        corners.append((width, height))
        if flat or k < len(widths_mm) - 1:
            height += steps_mm[k]
        if flat:
            corners.append((width, height))
    kept = [corner for k, corner in enumerate(corners) if k == 0 or corner != corners[k - 1]]
    return shape_of(profile_part(*kept, (bore_mm, height)), {})


@pytest.mark.parametrize("style", STYLES)
@settings(max_examples=4, deadline=None, suppress_health_check=list(HealthCheck))
@given(widths=WIDTHS_MM, steps=STEPS_MM, bore=BORED_MM, flat=st.booleans(), cavities=st.sampled_from([1, 2, 4]))
def test_a_random_outline_that_a_style_takes_keeps_every_identity(style, widths, steps, bore, flat, cavities) -> None:
    part = turned(widths, steps, bore, flat)
    wish = replace(WISH, cavities=cavities, scale=1.008, free_face=style == "one-part open")
    if STYLES[style].allowed(part, wish, None):
        return
    try:
        design = STYLES[style].build(part, wish, None)
    except (CannotBuild, DoesNotFit):  # no room for vents, keys or screws: told in words
        return
    proof = prove(design, evaluator(48))
    assert proof.ok, [(one.name, one.value, one.bound) for one in proof.identities if not one.ok]


def test_such_outlines_are_mostly_taken() -> None:
    """So that the test above looks at kits and not at refusals."""
    taken: Counter[str] = Counter()
    tries = [([12.0, 12.0], True), ([14.0, 9.0, 12.0], True), ([8.0, 12.0, 14.0], False), ([10.0, 15.0, 15.0], False)]
    for style in STYLES:
        for widths, flat in tries:
            part = turned(widths, [6.0] * 5, 0.0, flat)
            wish = replace(WISH, scale=1.008, free_face=True)
            if STYLES[style].allowed(part, wish, None):
                continue
            taken[style] += STYLES[style].build(part, wish, None) is not None
    assert set(taken) == set(STYLES)
    assert sum(taken.values()) >= 2 * len(STYLES)
