-- A game the program played itself: the coverage tagged on its plays is the call
-- the program made. Its plays stay plays of that opponent.
ALTER TABLE games ADD COLUMN ours boolean NOT NULL DEFAULT false;
