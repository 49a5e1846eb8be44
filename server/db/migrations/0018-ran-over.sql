-- Whether sap ran over in the time of a forecast: then what was weighed is the least that came. What was closed without
-- a figure is closed again by this rule.
ALTER TABLE inflow_told ADD COLUMN ran_over INTEGER NOT NULL DEFAULT 0 CHECK (ran_over IN (0, 1));
UPDATE inflow_told SET closed = 0 WHERE came_g IS NULL;
