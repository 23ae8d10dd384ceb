"""Kernels that turn a described solid into a real one."""
