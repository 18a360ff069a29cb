ALTER TABLE words DROP COLUMN folded;
ALTER TABLE clips DROP CONSTRAINT clips_play_fkey;
ALTER TABLE clips ADD CONSTRAINT clips_play_fkey FOREIGN KEY (program_id, play_id) REFERENCES plays;
DROP INDEX plays_game;
ALTER TABLE plays DROP CONSTRAINT plays_personnel_check;
ALTER TABLE plays ADD CONSTRAINT plays_personnel_check CHECK (personnel ~ '^[0-5][0-5]$') NOT VALID;
