-- A program whose owner has said so takes shares: it is an association. A share lets it count
-- the giver's plays together with those of others, and nothing more. It stands while its row
-- does: taking it back deletes the row, and every question looks.
CREATE TABLE associations (
    program_id uuid CONSTRAINT associations_pkey PRIMARY KEY
        CONSTRAINT associations_program_fkey REFERENCES programs ON DELETE CASCADE,
    opened_at timestamptz NOT NULL DEFAULT now()
);

CREATE TABLE shares (
    program_id uuid NOT NULL CONSTRAINT shares_program_fkey REFERENCES programs ON DELETE CASCADE, -- the giver
    association_id uuid NOT NULL CONSTRAINT shares_association_fkey REFERENCES associations ON DELETE CASCADE,
    given_at timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT shares_pkey PRIMARY KEY (program_id, association_id)
);
-- Serves an association's question: who gave.
CREATE INDEX shares_association ON shares (association_id, program_id);

-- Beside the wall that every table of a program gets: an association sees which shares it was given.
CREATE POLICY given ON shares FOR SELECT TO overhang_server USING (association_id = this_program());
