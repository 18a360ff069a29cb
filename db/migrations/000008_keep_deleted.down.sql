UPDATE play_changes SET how = 'undo' WHERE how = 'restore';
ALTER TABLE play_changes DROP CONSTRAINT play_changes_how_check;
ALTER TABLE play_changes ADD CONSTRAINT play_changes_how_check CHECK (how IN ('edit', 'bulk edit', 'load', 'merge', 'undo'));
DROP TABLE deleted_rows;
DROP TABLE deletions;
