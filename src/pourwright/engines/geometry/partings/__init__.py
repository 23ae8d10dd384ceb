"""Where a part can be divided between the halves of its mould, level or following it, and how thin the lips are."""
