-- Links for players: one position group, one opponent, a week at most, nobody signs in. A
-- link names who made it and lets in while they may still make one; its secret is kept as a
-- hash. It has no key to its opponent: while that is in the trash the link opens nothing, and
-- a purge takes it along.
CREATE TABLE packet_links (
    program_id uuid NOT NULL CONSTRAINT packet_links_program_fkey REFERENCES programs ON DELETE CASCADE,
    id uuid NOT NULL,
    opponent_id uuid NOT NULL,
    position_group text NOT NULL CONSTRAINT packet_links_position_group_check CHECK (btrim(position_group) <> ''),
    secret_hash bytea NOT NULL CONSTRAINT packet_links_secret_hash_key UNIQUE,
    made_by uuid, -- null: where nobody signs in
    created_at timestamptz NOT NULL DEFAULT now(),
    expires_at timestamptz NOT NULL,
    ended_at timestamptz, -- by hand, before its time
    CONSTRAINT packet_links_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT packet_links_expires_at_check CHECK (expires_at <= created_at + interval '7 days')
);
-- Serves the list of a week's links.
CREATE INDEX packet_links_opponent ON packet_links (program_id, opponent_id);

-- What was answered in the quiz: the first answer of a jersey number to a question, never a
-- name, so that a link holds a bounded number of rows no matter who has it.
CREATE TABLE quiz_answers (
    program_id uuid NOT NULL,
    link_id uuid NOT NULL,
    question text NOT NULL,
    jersey text NOT NULL CONSTRAINT quiz_answers_jersey_check CHECK (jersey ~ '^[0-9]{1,2}$'),
    call text NOT NULL,
    man text NOT NULL,
    rule_when text NOT NULL,
    rule_do text NOT NULL,
    fits boolean NOT NULL,
    at timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT quiz_answers_pkey PRIMARY KEY (program_id, link_id, question, jersey),
    CONSTRAINT quiz_answers_link_fkey FOREIGN KEY (program_id, link_id) REFERENCES packet_links ON DELETE CASCADE
);
