"""What goes on paper and into spreadsheets: documents, and the writers that set them."""
