"""Which way a part leaves its mould, what silicone it holds, and what bars the way."""
