"""Pure functions from a project and a catalogue to figures that say where they come from."""
