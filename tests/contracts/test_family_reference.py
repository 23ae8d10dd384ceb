"""The reference page of the part families says what the families are."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from family_parts import part_mm, profile_part, typed
from pourwright.catalogue.families import FAMILIES
from pourwright.catalogue.families.reference import reference_page
from pourwright.catalogue.families.shape_of import shape_of

PAGE = Path(__file__).parents[2] / "docs" / "reference" / "part-families.md"


def test_the_page_in_the_documents_is_the_one_that_the_families_make():
    assert PAGE.read_text(encoding="utf-8") == reference_page(), f"write reference_page() to {PAGE.name} again"


def test_every_example_on_the_page_is_toml_that_builds():
    examples = [tomllib.loads(text)["part"] for text in re.findall(r"```toml\n(.*?)```", reference_page(), re.DOTALL)]
    assert {part["family"] for part in examples} == set(FAMILIES) - {"file"}
    for part in examples:
        family = FAMILIES[part["family"]]
        if family.corner:
            shape = shape_of(profile_part(*(typed(family.corner, corner) for corner in part["outline"])))
        else:
            shape = shape_of(part_mm(family.name, **typed(family.dimensions, part)))
        assert min(shape.size_mm) > 0
