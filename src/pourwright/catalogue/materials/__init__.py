"""One material class a TOML: every number with unit, range, source and status; a person's own sheet lies over it."""

from pourwright.catalogue.materials.classes import load_class, material_names
from pourwright.catalogue.materials.own_sheet import load_material

__all__ = ["load_class", "load_material", "material_names"]
