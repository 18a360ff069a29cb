-- Game plans: what was recommended and predicted when the plan was made, and what
-- the coordinator chose. The content is plan.Content as JSON.
CREATE TABLE plans (
    program_id uuid NOT NULL,
    id uuid NOT NULL,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    opponent_id uuid NOT NULL,
    game_id uuid, -- of the opponent, where the plan is for one
    label text NOT NULL CONSTRAINT plans_label_check CHECK (btrim(label) <> ''),
    locked_at timestamptz,
    locked_by text CONSTRAINT plans_locked_by_check CHECK (locked_by IS NULL OR btrim(locked_by) <> '' AND locked_at IS NOT NULL),
    content jsonb NOT NULL CONSTRAINT plans_content_check CHECK (jsonb_typeof(content) = 'object'),
    CONSTRAINT plans_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT plans_label_key UNIQUE (program_id, opponent_id, label),
    CONSTRAINT plans_opponent_fkey FOREIGN KEY (program_id, opponent_id) REFERENCES opponents ON DELETE CASCADE,
    CONSTRAINT plans_game_fkey FOREIGN KEY (program_id, game_id, opponent_id) REFERENCES games (program_id, id, opponent_id) ON DELETE CASCADE
);
-- Serves what hangs on a game.
CREATE INDEX plans_game ON plans (program_id, game_id);

-- A locked plan never changes, whoever writes; it can go, and come back as it was.
CREATE FUNCTION keep_locked_plan() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'the plan is locked and does not change any more: make a copy and change that'
        USING ERRCODE = 'restrict_violation', CONSTRAINT = 'plans_locked_check';
END $$;
CREATE TRIGGER plans_locked BEFORE UPDATE ON plans
    FOR EACH ROW WHEN (OLD.locked_at IS NOT NULL) EXECUTE FUNCTION keep_locked_plan();

ALTER TABLE deletions DROP CONSTRAINT deletions_kind_check;
ALTER TABLE deletions ADD CONSTRAINT deletions_kind_check
    CHECK (kind IN ('seasons', 'opponents', 'games', 'films', 'plays', 'clips', 'blind_tags', 'words', 'calls', 'plans'));
ALTER TABLE deleted_rows DROP CONSTRAINT deleted_rows_kind_check;
ALTER TABLE deleted_rows ADD CONSTRAINT deleted_rows_kind_check
    CHECK (kind IN ('seasons', 'opponents', 'games', 'films', 'plays', 'clips', 'blind_tags', 'words', 'calls', 'plans', 'link'));
