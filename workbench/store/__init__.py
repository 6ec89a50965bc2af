"""The project folder on disk: reading, atomic saving, migration and attachments."""
