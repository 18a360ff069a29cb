-- What was deleted, with all that went along, until it is restored or purged. The
-- identity of a deletion is that of its change in the history of plays.
CREATE TABLE deletions (
    program_id uuid NOT NULL CONSTRAINT deletions_program_fkey REFERENCES programs ON DELETE CASCADE,
    id uuid NOT NULL,
    at timestamptz NOT NULL DEFAULT now(),
    who text CONSTRAINT deletions_who_check CHECK (btrim(who) <> ''),
    kind text NOT NULL -- the table of what was deleted itself
        CONSTRAINT deletions_kind_check CHECK (kind IN ('seasons', 'opponents', 'games', 'films', 'plays', 'clips', 'blind_tags', 'words', 'calls')),
    what text NOT NULL, -- its name, for people
    CONSTRAINT deletions_pkey PRIMARY KEY (program_id, id)
);

-- A row as its table had it, without its program. Of kind link: a clip that stays
-- and showed a play that went, with its number of before.
CREATE TABLE deleted_rows (
    program_id uuid NOT NULL,
    deletion_id uuid NOT NULL,
    kind text NOT NULL
        CONSTRAINT deleted_rows_kind_check CHECK (kind IN ('seasons', 'opponents', 'games', 'films', 'plays', 'clips', 'blind_tags', 'words', 'calls', 'link')),
    id uuid NOT NULL,
    kept jsonb NOT NULL,
    CONSTRAINT deleted_rows_pkey PRIMARY KEY (program_id, deletion_id, kind, id),
    CONSTRAINT deleted_rows_deletion_fkey FOREIGN KEY (program_id, deletion_id) REFERENCES deletions ON DELETE CASCADE
);
-- Serves looking for a parent among what was deleted.
CREATE INDEX deleted_rows_id ON deleted_rows (program_id, id);

ALTER TABLE play_changes DROP CONSTRAINT play_changes_how_check;
ALTER TABLE play_changes ADD CONSTRAINT play_changes_how_check CHECK (how IN ('edit', 'bulk edit', 'load', 'merge', 'undo', 'restore'));
