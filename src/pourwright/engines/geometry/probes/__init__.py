"""Questions to a finished solid: how thin, how it lies on a printer's bed, where a bore or a screw is."""
