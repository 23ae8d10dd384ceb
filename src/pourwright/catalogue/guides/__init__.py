"""Words for people: measuring, safety, first pour."""
