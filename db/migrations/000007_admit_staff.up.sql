-- Who is who. A person is somebody of this server; what they may do depends on the
-- program. Secrets are kept as hashes: SHA-256 of 256 random bits, argon2id of passwords.

CREATE TABLE people (
    id uuid CONSTRAINT people_pkey PRIMARY KEY,
    login text NOT NULL CONSTRAINT people_login_key UNIQUE
        CONSTRAINT people_login_check CHECK (login ~ '^[^[:space:][:cntrl:]]{1,100}$' AND login = lower(login)),
    name text NOT NULL CONSTRAINT people_name_check CHECK (btrim(name) <> ''),
    password_hash text NOT NULL,
    created_at timestamptz NOT NULL DEFAULT now()
);

CREATE DOMAIN staff_role AS text CONSTRAINT staff_role_check CHECK (VALUE IN ('reader', 'analyst', 'coordinator', 'owner'));

CREATE TABLE members (
    program_id uuid NOT NULL CONSTRAINT members_program_fkey REFERENCES programs ON DELETE CASCADE,
    person_id uuid NOT NULL CONSTRAINT members_person_fkey REFERENCES people ON DELETE CASCADE,
    role staff_role NOT NULL,
    CONSTRAINT members_pkey PRIMARY KEY (program_id, person_id)
);
CREATE INDEX members_person ON members (person_id);

CREATE TABLE tokens (
    program_id uuid NOT NULL,
    id uuid NOT NULL,
    person_id uuid NOT NULL,
    label text NOT NULL CONSTRAINT tokens_label_check CHECK (btrim(label) <> ''),
    role staff_role NOT NULL,
    secret_hash bytea NOT NULL CONSTRAINT tokens_secret_hash_key UNIQUE,
    created_at timestamptz NOT NULL DEFAULT now(),
    expires_at timestamptz NOT NULL,
    revoked_at timestamptz,
    used_at timestamptz,
    CONSTRAINT tokens_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT tokens_person_fkey FOREIGN KEY (program_id, person_id) REFERENCES members ON DELETE CASCADE
);

CREATE TABLE sessions (
    secret_hash bytea CONSTRAINT sessions_pkey PRIMARY KEY,
    person_id uuid NOT NULL CONSTRAINT sessions_person_fkey REFERENCES people ON DELETE CASCADE,
    expires_at timestamptz NOT NULL
);
CREATE INDEX sessions_person ON sessions (person_id);

-- Without a program: the first owner may make one.
CREATE TABLE invitations (
    secret_hash bytea CONSTRAINT invitations_pkey PRIMARY KEY,
    program_id uuid CONSTRAINT invitations_program_fkey REFERENCES programs ON DELETE CASCADE,
    login text,
    role staff_role NOT NULL,
    resets boolean NOT NULL DEFAULT false, -- the guest may choose a new password for a known login
    expires_at timestamptz NOT NULL
);

-- The walls. The server serves programs as a role that owns nothing and sees the
-- rows of one program: the one its connection was told. Told none, it sees none.
-- The role is the cluster's, so another database may have made it.
DO $$
BEGIN
    CREATE ROLE overhang_server NOLOGIN NOSUPERUSER NOBYPASSRLS;
EXCEPTION
    WHEN duplicate_object OR unique_violation THEN NULL;
END
$$;
GRANT overhang_server TO CURRENT_USER;

CREATE FUNCTION this_program() RETURNS uuid LANGUAGE sql STABLE
    RETURN nullif(current_setting('overhang.program', true), '')::uuid;

-- Puts a wall through every table that has none and is keyed by program; called
-- after every migration, so that no later table is forgotten.
CREATE FUNCTION wall_programs() RETURNS void LANGUAGE plpgsql AS $$
DECLARE
    t regclass;
BEGIN
    FOR t IN
        SELECT c.oid::regclass
        FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attname = 'program_id' AND NOT a.attisdropped
        WHERE c.relkind IN ('r', 'p') AND c.relnamespace = 'public'::regnamespace AND NOT c.relrowsecurity AND c.relname <> 'invitations'
    LOOP
        EXECUTE format('ALTER TABLE %s ENABLE ROW LEVEL SECURITY', t);
        EXECUTE format('CREATE POLICY own_program ON %s TO overhang_server USING (program_id = this_program()) WITH CHECK (program_id = this_program())', t);
        EXECUTE format('GRANT SELECT, INSERT, UPDATE, DELETE ON %s TO overhang_server', t);
    END LOOP;
END
$$;

ALTER TABLE programs ENABLE ROW LEVEL SECURITY;
CREATE POLICY own_program ON programs TO overhang_server USING (id = this_program()) WITH CHECK (id = this_program());
GRANT SELECT, UPDATE ON programs TO overhang_server;

-- Of people the server's role sees who they are, not what lets them in.
ALTER TABLE people ENABLE ROW LEVEL SECURITY;
CREATE POLICY own_program ON people TO overhang_server
    USING (EXISTS (SELECT FROM members m WHERE m.person_id = people.id AND m.program_id = this_program()));
GRANT SELECT (id, login, name) ON people TO overhang_server;
