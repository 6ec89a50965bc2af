"""Item models: adapters over the project and its figures that keep nothing of their own."""
