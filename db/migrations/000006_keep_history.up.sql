-- What lay between a play and the one before it, where their own tags do not say.
ALTER TABLE plays ADD COLUMN since_last text
    CONSTRAINT plays_since_last_check CHECK (since_last IN ('penalty', 'review', 'possession', 'kick', 'half'));

-- Every change of a play: who, when, how, before, after. Triggers write it, so
-- that no way of changing a play can forget to. change_id holds together what was
-- done together. It outlives the play, not the program.
CREATE TABLE play_changes (
    program_id uuid NOT NULL CONSTRAINT play_changes_program_fkey REFERENCES programs ON DELETE CASCADE,
    id bigint GENERATED ALWAYS AS IDENTITY,
    play_id uuid NOT NULL,
    change_id uuid NOT NULL,
    at timestamptz NOT NULL DEFAULT now(),
    who text CONSTRAINT play_changes_who_check CHECK (btrim(who) <> ''),
    how text NOT NULL CONSTRAINT play_changes_how_check CHECK (how IN ('edit', 'bulk edit', 'load', 'merge', 'undo')),
    before jsonb,
    after jsonb,
    CONSTRAINT play_changes_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT play_changes_before_check CHECK (before IS NOT NULL OR after IS NOT NULL)
);
-- Serve the history of one play, and what was done together.
CREATE INDEX play_changes_play ON play_changes (program_id, play_id, id);
CREATE INDEX play_changes_change ON play_changes (program_id, change_id, id);

-- The store says who and how for the transaction; a hand at the database is an
-- edit by nobody known.
CREATE FUNCTION keep_play_changes() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    together uuid := coalesce(nullif(current_setting('overhang.change', true), ''), gen_random_uuid()::text);
    who text := nullif(current_setting('overhang.who', true), '');
    how text := coalesce(nullif(current_setting('overhang.how', true), ''), 'edit');
BEGIN
    IF TG_OP = 'INSERT' THEN
        INSERT INTO play_changes (program_id, play_id, change_id, who, how, after)
        SELECT n.program_id, n.id, together, who, how, to_jsonb(n) - 'program_id'
        FROM new_plays n;
    ELSIF TG_OP = 'UPDATE' THEN
        INSERT INTO play_changes (program_id, play_id, change_id, who, how, before, after)
        SELECT n.program_id, n.id, together, who, how, to_jsonb(o) - 'program_id', to_jsonb(n) - 'program_id'
        FROM new_plays n
        JOIN old_plays o ON o.program_id = n.program_id AND o.id = n.id;
    ELSE
        INSERT INTO play_changes (program_id, play_id, change_id, who, how, before)
        SELECT o.program_id, o.id, together, who, how, to_jsonb(o) - 'program_id'
        FROM old_plays o
        WHERE EXISTS (SELECT FROM programs p WHERE p.id = o.program_id);
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER plays_inserted AFTER INSERT ON plays REFERENCING NEW TABLE AS new_plays
    FOR EACH STATEMENT EXECUTE FUNCTION keep_play_changes();
CREATE TRIGGER plays_updated AFTER UPDATE ON plays REFERENCING OLD TABLE AS old_plays NEW TABLE AS new_plays
    FOR EACH STATEMENT EXECUTE FUNCTION keep_play_changes();
CREATE TRIGGER plays_deleted AFTER DELETE ON plays REFERENCING OLD TABLE AS old_plays
    FOR EACH STATEMENT EXECUTE FUNCTION keep_play_changes();

-- What was answered to a create that carried an Idempotency-Key; sum is of what
-- was asked. Kept for a week.
CREATE TABLE creations (
    program_id uuid NOT NULL CONSTRAINT creations_program_fkey REFERENCES programs ON DELETE CASCADE,
    who text NOT NULL,
    key text NOT NULL CONSTRAINT creations_key_check CHECK (key <> ''),
    at timestamptz NOT NULL DEFAULT now(),
    sum bytea NOT NULL,
    answer json,
    CONSTRAINT creations_pkey PRIMARY KEY (program_id, who, key)
);
CREATE INDEX creations_at ON creations (at);

-- A pending word was met in a play before the vocabulary's owner has seen it.
ALTER TABLE words ADD COLUMN pending boolean NOT NULL DEFAULT false;

-- Two words that are one: what was merged into what, with the aliases that moved
-- along, so that it can be taken back. The plays' own history has the plays.
CREATE TABLE merges (
    program_id uuid NOT NULL CONSTRAINT merges_program_fkey REFERENCES programs ON DELETE CASCADE,
    id uuid NOT NULL,
    at timestamptz NOT NULL DEFAULT now(),
    who text,
    field text NOT NULL,
    word text NOT NULL,
    into_word text NOT NULL,
    aliases text[] NOT NULL,
    plays integer NOT NULL,
    undone_at timestamptz,
    CONSTRAINT merges_pkey PRIMARY KEY (program_id, id)
);
