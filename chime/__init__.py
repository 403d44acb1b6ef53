"""chime: from a written bell programme to dated rings, a punched tape, a calendar and a chart."""
