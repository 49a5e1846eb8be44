-- What the air's pressure was known by when the thermometer was zeroed: once it is known by something else, the
-- two pressures can't be held against each other. Null is not known.
ALTER TABLE thermometer_check ADD COLUMN basis TEXT;
