"""One part family a file: its dimensions and its shape."""
