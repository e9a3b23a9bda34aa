"""Pages that look across the house, a module per subject."""
