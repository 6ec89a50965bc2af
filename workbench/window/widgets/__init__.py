"""The parts every page is built of: fields, marks, bars, rows and charts, all of one theme."""
