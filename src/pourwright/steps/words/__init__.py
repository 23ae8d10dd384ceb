"""What was found, in words: for the command line, the bench sheet and the print files."""
