"""Part families: one file a family, found by scanning this folder."""

from pourwright.basics.shelf import Shelf
from pourwright.catalogue.families.family import Family

FAMILIES: Shelf[Family] = Shelf("pourwright.catalogue.families", attribute="FAMILY", noun="part family")
