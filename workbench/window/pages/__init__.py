"""One module for each page of the window; pages receive the session and ask it for changes."""
