ALTER TABLE plays DROP COLUMN routes_assumed;
