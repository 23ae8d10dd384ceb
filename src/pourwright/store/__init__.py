"""Files and folders that the person owns."""
