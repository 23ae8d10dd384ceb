"""What every test relies on: generated cases are never timed, and nothing is remembered from another run."""

import os

from hypothesis import settings

os.environ["POURWRIGHT_CACHE"] = "off"

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
