"""What a boat search is made of: frozen records and small exact values, standard library only."""
