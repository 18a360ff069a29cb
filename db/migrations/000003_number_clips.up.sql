-- A clip knows its snap before anybody has tagged it, and its angle where one
-- film holds several.
ALTER TABLE clips
    ADD COLUMN number integer CONSTRAINT clips_number_check CHECK (number BETWEEN 1 AND 999),
    ADD COLUMN angle text CONSTRAINT clips_angle_check CHECK (btrim(angle) <> '');
