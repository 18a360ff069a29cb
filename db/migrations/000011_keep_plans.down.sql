DELETE FROM deletions WHERE kind = 'plans';
DELETE FROM deleted_rows WHERE kind = 'plans';
ALTER TABLE deleted_rows DROP CONSTRAINT deleted_rows_kind_check;
ALTER TABLE deleted_rows ADD CONSTRAINT deleted_rows_kind_check
    CHECK (kind IN ('seasons', 'opponents', 'games', 'films', 'plays', 'clips', 'blind_tags', 'words', 'calls', 'link'));
ALTER TABLE deletions DROP CONSTRAINT deletions_kind_check;
ALTER TABLE deletions ADD CONSTRAINT deletions_kind_check
    CHECK (kind IN ('seasons', 'opponents', 'games', 'films', 'plays', 'clips', 'blind_tags', 'words', 'calls'));
DROP TABLE plans;
DROP FUNCTION keep_locked_plan;
