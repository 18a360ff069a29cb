-- At most five backs and tight ends stand behind and beside five linemen and a
-- passer. Rows stored before this are left as they are.
ALTER TABLE plays DROP CONSTRAINT plays_personnel_check;
ALTER TABLE plays ADD CONSTRAINT plays_personnel_check
    CHECK (personnel ~ '^(0[0-5]|1[0-4]|2[0-3]|3[0-2]|4[01]|50)$') NOT VALID;

-- Serves the list of a game's plays.
CREATE INDEX plays_game ON plays (program_id, game_id, id);

-- A clip outlives the play it shows: the film still shows what it shows.
ALTER TABLE clips DROP CONSTRAINT clips_play_fkey;
ALTER TABLE clips ADD CONSTRAINT clips_play_fkey FOREIGN KEY (program_id, play_id) REFERENCES plays ON DELETE SET NULL (play_id);

-- A word is one word in whatever letters and blanks it is written; the oldest of
-- those that are there twice stays. An alias stands for a word, never for an alias.
ALTER TABLE words ADD COLUMN folded text;
UPDATE words SET folded = lower(regexp_replace(btrim(word), '\s+', ' ', 'g'));
WITH first AS (
    SELECT DISTINCT ON (program_id, field, folded) program_id, field, folded, word
    FROM words
    ORDER BY program_id, field, folded, alias_of IS NOT NULL, id
)
UPDATE words w SET alias_of = nullif(first.word, w.word)
FROM first
WHERE first.program_id = w.program_id AND first.field = w.field AND first.folded = lower(regexp_replace(btrim(w.alias_of), '\s+', ' ', 'g'));
DELETE FROM words w
USING words first
WHERE first.program_id = w.program_id AND first.field = w.field AND first.folded = w.folded
    AND (first.alias_of IS NOT NULL, first.id) < (w.alias_of IS NOT NULL, w.id);
DO $$
BEGIN
    FOR round IN 1..20 LOOP
        UPDATE words w SET alias_of = nullif(t.alias_of, w.word)
        FROM words t
        WHERE t.program_id = w.program_id AND t.field = w.field AND t.word = w.alias_of AND t.alias_of IS NOT NULL;
        EXIT WHEN NOT FOUND;
    END LOOP;
END $$;
ALTER TABLE words ALTER COLUMN folded SET NOT NULL;
ALTER TABLE words ADD CONSTRAINT words_word_folded_key UNIQUE (program_id, field, folded);
