"""Stage 2: takes a syntax tree, gives a checked programme: names resolved, values read, nothing dated."""
