"""Nouns: frozen values that say what is wanted, owned, made and learned. SI units throughout."""
