-- Routes that nobody saw: a sheet had the concept, and they are what it usually is.
ALTER TABLE plays ADD COLUMN routes_assumed boolean NOT NULL DEFAULT false;
