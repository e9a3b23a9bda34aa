"""The ground floor's pages, a module per subject."""
