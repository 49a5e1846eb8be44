-- How steeply each hole goes up into its trunk, and how cold the wood was.
ALTER TABLE tap ADD COLUMN slope_degrees REAL CHECK (slope_degrees >= 0);
ALTER TABLE tap ADD COLUMN wood_temp_c REAL;
