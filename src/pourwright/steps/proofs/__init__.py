"""The proofs of a mould: that it leaves the part, in both kernels, and that it comes apart."""
