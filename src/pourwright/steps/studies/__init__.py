"""What is to be known of a part before and while its mould is planned: how it lies, parts, lets go and floats."""
