-- Every version of a call: who, when, what it said. A trigger writes it, so that no way of
-- changing a call can forget to. It outlives the call, not the program.
CREATE TABLE call_versions (
    program_id uuid NOT NULL CONSTRAINT call_versions_program_fkey REFERENCES programs ON DELETE CASCADE,
    call_id uuid NOT NULL,
    version bigint NOT NULL,
    at timestamptz NOT NULL DEFAULT now(),
    who text CONSTRAINT call_versions_who_check CHECK (btrim(who) <> ''),
    name text NOT NULL,
    active boolean NOT NULL,
    body jsonb NOT NULL CONSTRAINT call_versions_body_check CHECK (jsonb_typeof(body) = 'object'),
    CONSTRAINT call_versions_pkey PRIMARY KEY (program_id, call_id, version)
);

-- The store says who for the transaction. A call that is restored comes back as it was:
-- its version is there already, or is one that it never had.
CREATE FUNCTION keep_call_version() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    INSERT INTO call_versions (program_id, call_id, version, who, name, active, body)
    VALUES (NEW.program_id, NEW.id, NEW.version, nullif(current_setting('overhang.who', true), ''), NEW.name, NEW.active, NEW.body)
    ON CONFLICT DO NOTHING;
    RETURN NULL;
END $$;
CREATE TRIGGER calls_kept AFTER INSERT OR UPDATE ON calls FOR EACH ROW EXECUTE FUNCTION keep_call_version();

-- What calls said before nobody kept: their history begins with what they are now.
INSERT INTO call_versions (program_id, call_id, version, at, name, active, body)
SELECT program_id, id, version, updated_at, name, active, body
FROM calls;
