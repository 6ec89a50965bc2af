"""Files that come back: filled forms, quotes and tables, read with care and previewed."""
