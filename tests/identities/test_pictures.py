"""Pictures: what geometry says about them, whatever they look like."""

from __future__ import annotations

import math
import subprocess
import sys
from hashlib import sha256

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from paper_bodies import ball_mesh, box_mesh, drawn, prism_mesh, read_png
from pourwright.basics.errors import InputError, UnknownName
from pourwright.engines.paper.drawing import draw, moved, picture
from pourwright.engines.paper.png import png_bytes
from pourwright.engines.paper.touching import touching_faces

CUBE = box_mesh((0, 0, 0), (10, 10, 10))


def inky(pixels: np.ndarray) -> np.ndarray:
    """Where a line was drawn: darker than any shade of the usual colour."""
    return pixels.mean(axis=2) < 110


def shrunk(mask: np.ndarray, by: int) -> np.ndarray:
    """The mask without a rim."""
    for _ in range(by):
        inner = mask.copy()
        for axis in (0, 1):
            for step in (1, -1):
                inner &= np.roll(mask, step, axis=axis)
        mask = inner
    return mask


# ---------------------------------------------------------------- PNG


@given(
    height=st.integers(1, 9),
    width=st.integers(1, 9),
    channels=st.sampled_from([3, 4]),
    seed=st.integers(0, 2**32 - 1),
    smooth=st.booleans(),
)
def test_a_png_gives_back_every_pixel(height: int, width: int, channels: int, seed: int, smooth: bool) -> None:
    noise = np.random.default_rng(seed).integers(0, 256, (height, width, channels), dtype=np.uint8)
    pixels = np.cumsum(noise // 16, axis=0, dtype=np.uint8) if smooth else noise
    assert (read_png(png_bytes(pixels)) == pixels).all()


def test_a_picture_has_three_or_four_channels() -> None:
    with pytest.raises(ValueError, match="3 or 4"):
        png_bytes(np.zeros((2, 2, 1), dtype=np.uint8))


# ---------------------------------------------------------------- what is seen


def test_a_cube_from_the_front_is_a_square_of_the_right_size() -> None:
    shown = draw([drawn("cube", CUBE)], view="front", width=300)
    rows, columns = np.nonzero(shown.seen == 0)
    side = 300 * (1 - 2 * 0.035)
    assert abs(np.ptp(rows) + 1 - side) <= 1
    assert abs(np.ptp(columns) + 1 - side) <= 1
    assert (shown.seen == 0).sum() == (np.ptp(rows) + 1) * (np.ptp(columns) + 1)


def test_a_cube_from_the_front_has_lines_on_its_outline_and_nowhere_inside() -> None:
    shown = draw([drawn("cube", CUBE)], view="front", width=300)
    inside = shrunk(shown.seen == 0, 3)
    assert not inky(shown.pixels)[inside].any()
    rim = (shown.seen == 0) & ~shrunk(shown.seen == 0, 1)
    assert inky(shown.pixels)[rim].all()


def test_a_cube_from_above_shows_three_faces_of_three_tones() -> None:
    shown = draw([drawn("cube", CUBE)], view="above", width=400)
    colours, counts = np.unique(shown.pixels[shown.seen == 0], axis=0, return_counts=True)
    tones = sorted(float(colour.mean()) for colour, count in zip(colours, counts, strict=True) if count > 2000)
    assert len(tones) == 3
    assert min(np.diff(tones)) > 8
    assert sum(counts[counts > 2000]) > 0.9 * counts.sum()


@given(round_by=st.integers(1, 8), deep=st.floats(1.0, 9.0))
@settings(max_examples=8, deadline=None)
def test_what_is_hidden_leaves_no_trace(round_by: int, deep: float) -> None:
    large = drawn("large", CUBE)
    size = round_by / 2
    hidden = drawn("hidden", box_mesh((5 - size, deep + 10, 5 - size), (5 + size, deep + 11, 5 + size)))
    alone = draw([large], view="front", width=200)
    both = draw([large, hidden], view="front", width=200)
    assert (alone.pixels == both.pixels).all()
    assert not (both.seen == 1).any()


def test_what_stands_in_front_is_seen() -> None:
    shown = draw([drawn("far", CUBE), drawn("near", box_mesh((3, -5, 3), (7, -4, 7)))], view="front", width=250)
    middle = tuple(size // 2 for size in shown.seen.shape)
    assert shown.seen[middle] == 1


def test_a_see_through_body_hides_nothing_but_its_edges_show() -> None:
    solid = drawn("inside", box_mesh((4, 4, 4), (6, 6, 6)))
    ghost = drawn("around", CUBE, ghost=True)
    both = draw([solid, ghost], view="front", width=300)
    rows, _ = np.nonzero(both.seen == 0)
    assert abs(np.ptp(rows) + 1 - 300 * 0.93 / 5) <= 2
    outside = both.seen == 1
    rim = outside & ~shrunk(outside | (both.seen == 0), 1)
    assert (both.pixels[rim].mean(axis=1) < 200).mean() > 0.9


def test_a_smooth_ball_has_an_outline_and_no_line_within() -> None:
    shown = draw([drawn("ball", ball_mesh(10))], view="above", width=300)
    inside = shrunk(shown.seen == 0, 4)
    assert inside.sum() > 40_000
    assert not inky(shown.pixels)[inside].any()


@pytest.mark.parametrize(("sides", "lines"), [(6, True), (8, True), (24, False), (64, False)])
def test_edges_sharper_than_25_degrees_are_drawn_and_others_are_not(sides: int, lines: bool) -> None:
    shown = draw([drawn("prism", prism_mesh(sides, 10, 20))], view="front", width=300)
    inside = shrunk(shown.seen == 0, 5)
    assert inky(shown.pixels)[inside].any() == lines


def test_a_fold_within_one_smooth_face_is_drawn() -> None:
    # A bent sheet that passes behind itself: the faces join smoothly, only the depth tells them apart.
    turn = np.linspace(-0.5 * math.pi, 1.1 * math.pi, 80)
    curve = np.column_stack([10 * np.cos(turn), 10 * np.sin(turn)])
    vertices = np.concatenate([np.column_stack([curve, np.full(80, z)]) for z in (0.0, 10.0)])
    quads = [(k, k + 1, 81 + k, 80 + k) for k in range(79)]
    faces = np.array([t for a, b, c, d in quads for t in ((a, b, c), (a, c, d))], dtype=np.int64)
    shown = draw([drawn("sheet", (vertices, faces))], view="high", width=300)
    inside = shrunk(shown.seen == 0, 5)
    assert inky(shown.pixels)[inside].any()


@given(shift=st.tuples(*[st.floats(-500, 500)] * 3))
@settings(max_examples=10, deadline=None)
def test_where_the_bodies_stand_does_not_change_what_is_seen(shift: tuple[float, float, float]) -> None:
    here = draw([drawn("cube", CUBE)], view="above", width=120).seen
    there = draw(moved([drawn("cube", CUBE)], {"cube": shift}), view="above", width=120).seen
    # Rounding may move the frame by a hair, and with it single pixels of the rim.
    same = np.array_equal(here.shape, there.shape) and (here == there).mean()
    assert same > 0.995


def test_the_same_picture_has_the_same_bytes_twice_and_in_a_fresh_process() -> None:
    bodies = [drawn("ball", ball_mesh(10)), drawn("cube", CUBE, ghost=True)]
    here = [sha256(picture(bodies, width=200)).hexdigest() for _ in range(2)]
    words = (
        "import sys; sys.path.insert(0, 'tests')\n"
        "from hashlib import sha256\n"
        "from paper_bodies import ball_mesh, box_mesh, drawn\n"
        "from pourwright.engines.paper.drawing import picture\n"
        "bodies = [drawn('ball', ball_mesh(10)), drawn('cube', box_mesh((0, 0, 0), (10, 10, 10)), ghost=True)]\n"
        "print(sha256(picture(bodies, width=200)).hexdigest())\n"
    )
    fresh = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True).stdout.strip()
    assert {*here} == {fresh}


def test_an_unknown_view_and_an_empty_picture_are_refused() -> None:
    with pytest.raises(UnknownName, match="abve"):
        draw([drawn("cube", CUBE)], view="abve")
    with pytest.raises(InputError, match="nothing to draw"):
        draw([])


# ---------------------------------------------------------------- faces that touch


def test_only_the_faces_under_the_upper_body_touch_it() -> None:
    lower, upper = box_mesh((0, 0, 0), (30, 20, 5)), box_mesh((0, 0, 5), (30, 20, 9))
    meets = touching_faces(lower, upper)
    normals = np.cross(
        lower[0][lower[1][:, 1]] - lower[0][lower[1][:, 0]], lower[0][lower[1][:, 2]] - lower[0][lower[1][:, 0]]
    )
    assert (meets == (normals[:, 2] > 0)).all()
    assert meets.sum() == 2


@given(gap=st.floats(0.2, 5.0))
@settings(max_examples=10, deadline=None)
def test_bodies_with_a_gap_between_them_do_not_touch(gap: float) -> None:
    lower, upper = box_mesh((0, 0, 0), (30, 20, 5)), box_mesh((0, 0, 5 + gap), (30, 20, 9 + gap))
    assert not touching_faces(lower, upper).any()


def test_a_ball_is_drawn_with_the_area_of_its_disc() -> None:
    shown = draw([drawn("ball", ball_mesh(10))], view="above", width=400)
    disc = math.pi * (400 * 0.93 / 2) ** 2
    assert abs((shown.seen == 0).sum() / disc - 1) < 0.005
