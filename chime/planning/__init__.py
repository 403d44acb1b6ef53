"""Which tapes, tracks and positions serve a term for the fewest minutes: sets and numbers alone."""
