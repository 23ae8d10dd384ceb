"""Rubber that shrinks on a rigid core: closed form (from memory), its limits, and a sum over thin rings."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pourwright.basics.errors import InputError
from pourwright.engines.process.overmould import bonded_shrink, end_shrink, held_share

S, R = 0.006, 20e-3


def outside_by_rings(core: float, *, poisson: float, along: bool) -> float:
    """The outside's motion inwards by finite differences of the balance of forces in a ring held at its inner face."""
    count = 400
    r = np.linspace(core, R, count + 1)
    # Strains less the free shrink make the stress; along: no motion along the axis (plane strain), with free shrink.
    nu = poisson / (1 - poisson) if along else poisson
    free = -S * (1 + poisson) if along else -S
    step = r[1] - r[0]
    rows, rights = np.zeros((count + 1, count + 1)), np.zeros(count + 1)
    rows[0, 0] = 1.0
    for k in range(1, count):  # u'' + u'/r - u/r2 = 0
        rows[k, k - 1 : k + 2] = [1 / step**2 - 0.5 / (r[k] * step), -2 / step**2 - 1 / r[k] ** 2,
                                  1 / step**2 + 0.5 / (r[k] * step)]  # fmt: skip
    # No pressure outside: u' + nu u / r = (1 + nu) free.
    rows[count, count - 2 : count + 1] = [0.5 / step, -2 / step, 1.5 / step]
    rows[count, count] += nu / R
    rights[count] = (1 + nu) * free
    return -float(np.linalg.solve(rows, rights)[-1])


@pytest.mark.parametrize("share", [0.3, 0.5, 0.8])
def test_both_limits_are_those_of_the_rings(share: float) -> None:
    disc, roller = bonded_shrink(shrink=S, outside_radius=R, core_radius=share * R)
    assert disc == pytest.approx(outside_by_rings(share * R, poisson=0.5, along=False), rel=1e-4)
    # At nu = 1/2 plane strain is a limit; 0.49999 comes within 2e-4 of it.
    assert roller == pytest.approx(outside_by_rings(share * R, poisson=0.49999, along=True), rel=5e-4)


def test_without_a_core_a_disc_shrinks_as_free_rubber() -> None:
    assert bonded_shrink(shrink=S, outside_radius=R, core_radius=0.0) == pytest.approx((S * R, 1.5 * S * R))


def test_a_thin_layer_gets_thinner_by_one_and_a_half_or_three_times_the_free_shrink() -> None:
    thin = 1e-6 * R
    disc, roller = bonded_shrink(shrink=S, outside_radius=R, core_radius=R - thin)
    assert (disc / thin, roller / thin) == pytest.approx((1.5 * S, 3 * S), rel=1e-5)


def test_a_long_roller_keeps_its_volume_but_for_the_shrink() -> None:
    core, small = 8e-3, 1e-6
    _, roller = bonded_shrink(shrink=small, outside_radius=R, core_radius=core)
    lost = math.pi * (R**2 - (R - roller) ** 2)
    assert lost == pytest.approx(3 * small * math.pi * (R**2 - core**2), rel=1e-5)


def test_a_longer_ring_is_held_more_and_its_ends_move_by_what_lies_near_them() -> None:
    shares = [held_share(length=length, thickness=5e-3) for length in (1e-3, 10e-3, 100e-3)]
    assert shares == sorted(shares)
    assert 0 < shares[0] < shares[-1] < 1
    assert end_shrink(shrink=S, length=100e-3, thickness=5e-3) == end_shrink(shrink=S, length=50e-3, thickness=5e-3)


def test_a_core_wider_than_the_outside_is_refused() -> None:
    with pytest.raises(InputError, match="no ring"):
        bonded_shrink(shrink=S, outside_radius=R, core_radius=R)
