"""How fast the main job is, as medians and as ratios against public peers on the same work in the same run."""
