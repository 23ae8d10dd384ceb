"""Outlines of lines and arcs in r and z: the half section of a round part, and exact answers about it."""
