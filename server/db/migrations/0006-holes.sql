-- Where each hole is on its trunk and how it was drilled; how a tree is.
ALTER TABLE tree ADD COLUMN health TEXT NOT NULL DEFAULT 'sound' CHECK (health IN ('sound', 'slow', 'hurt'));
ALTER TABLE tap ADD COLUMN around_cm REAL CHECK (around_cm >= 0);
ALTER TABLE tap ADD COLUMN height_cm REAL CHECK (height_cm > 0);
ALTER TABLE tap ADD COLUMN bit_mm REAL CHECK (bit_mm > 0);
ALTER TABLE tap ADD COLUMN depth_mm REAL CHECK (depth_mm > 0);
