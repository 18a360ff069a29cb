-- What analysts tagged on a clip without seeing each other's tags. No play: the
-- clip's play is made, or changed, when the clip is settled.
CREATE TABLE blind_tags (
    program_id uuid NOT NULL,
    id uuid NOT NULL,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    clip_id uuid NOT NULL,
    analyst text NOT NULL CONSTRAINT blind_analyst_check CHECK (btrim(analyst) <> ''),
    tags jsonb NOT NULL CONSTRAINT blind_tags_check CHECK (jsonb_typeof(tags) = 'object'),
    CONSTRAINT blind_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT blind_analyst_key UNIQUE (program_id, clip_id, analyst),
    CONSTRAINT blind_clip_fkey FOREIGN KEY (program_id, clip_id) REFERENCES clips ON DELETE CASCADE
);
