"""One method a wish; jobs, progress, stop, cache."""
