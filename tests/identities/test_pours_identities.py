"""What must hold for the pours of any mould."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourwright.app.answer_pours import pours_answer
from pourwright.catalogue.materials import load_material, material_names
from pourwright.domain.part import MouldWish, Part, Project
from pourwright.domain.pours import CAST, MouldVolumes
from pourwright.domain.shop import Room, Scale, Shop
from pourwright.steps.make_pours import Materials, make_pours

SILICONES = [name for name in material_names() if "silicone" in name]

volumes = st.builds(
    MouldVolumes,
    lower_half=st.floats(1e-6, 5e-3),
    lid=st.one_of(st.just(0.0), st.floats(1e-6, 5e-3)),
    cavity=st.floats(1e-7, 2e-3),
)
shops = st.builds(
    Shop,
    room=st.builds(Room, temperature=st.floats(278.15, 313.15), humidity=st.floats(0.0, 1.0)),
    scale=st.builds(
        Scale,
        readability=st.sampled_from([1e-5, 1e-4, 1e-3]),
        repeatability=st.floats(0.0, 2e-3),
        capacity=st.floats(0.01, 10.0),
    ),
)
wishes = st.builds(
    MouldWish,
    cavities=st.integers(1, 9),
    pressure=st.one_of(st.none(), st.floats(0.0, 5e5)),
    overflow=st.one_of(st.none(), st.floats(0.0, 0.5)),
    cup_loss=st.one_of(st.none(), st.floats(0.0, 0.05)),
)


@given(
    volumes=volumes,
    shop=shops,
    wish=wishes,
    resin=st.sampled_from(material_names()),
    silicone=st.sampled_from(SILICONES),
    poured=st.one_of(st.none(), st.floats(1e-3, 3.0)),
)
def test_pours_add_up_keep_their_ratio_and_say_all_that_is_wrong(volumes, shop, wish, resin, silicone, poured):
    project = Project(name="any", title="", part=Part(family="any"), resin=resin, silicone=silicone, mould=wish)
    materials = Materials(resin=load_material(resin), silicone=load_material(silicone))
    pours = make_pours(volumes, project, shop, materials, poured_a=poured)
    for pour in pours.pours:
        assert pour.a + pour.b == pytest.approx(pour.total, rel=1e-14)
        assert pour.b * pour.ratio[0] == pytest.approx(pour.a * pour.ratio[1], rel=1e-13)
        if pour.poured_a is None:
            parts = pour.volume * pour.density + pour.cup_loss + pour.overfill
            assert pour.total == pytest.approx(parts, rel=1e-12)
        assert min(pour.cup_loss, pour.overfill) >= 0
        assert pour.too_fast == (pour.needed > pour.clock)
        assert abs(pour.stop_scale_at[-1] - pour.total) <= shop.scale.readability * (0.5 + 1e-6)
    assert all(bool(check.advice) is not check.ok for check in pours.checks)
    assert pours.time_to_parts.low <= pours.parts_in_hand <= pours.time_to_parts.high
    assert json.loads(json.dumps(pours_answer(pours), allow_nan=False))["ok"] == pours.ok
    if poured is not None:
        assert pours.named(CAST).a == poured
