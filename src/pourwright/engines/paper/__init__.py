"""Pictures and pages: SVG and PDF from plain values."""
