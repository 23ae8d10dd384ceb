"""One paper sheet a file."""
