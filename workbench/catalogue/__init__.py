"""What an experienced eye looks at: checks, rules, remedies, access tasks and prices, as data."""
