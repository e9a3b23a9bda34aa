"""Pages of the Build place, a module per subject."""
