DROP TABLE merges;
ALTER TABLE words DROP COLUMN pending;
DROP TABLE creations;
DROP TRIGGER plays_inserted ON plays;
DROP TRIGGER plays_updated ON plays;
DROP TRIGGER plays_deleted ON plays;
DROP FUNCTION keep_play_changes;
DROP TABLE play_changes;
ALTER TABLE plays DROP COLUMN since_last;
