-- An invitation names who made it, and ends when that member leaves; without a maker it is
-- the administrator's. By its id an owner sees and ends it: the secret is shown once.
-- What stands open names nobody and lives three days at most: owners make it anew.
DELETE FROM invitations WHERE program_id IS NOT NULL AND NOT resets;
ALTER TABLE invitations
    ADD COLUMN id uuid NOT NULL DEFAULT gen_random_uuid(),
    ADD COLUMN made_by uuid,
    ADD COLUMN created_at timestamptz NOT NULL DEFAULT now(),
    ADD CONSTRAINT invitations_maker_fkey FOREIGN KEY (program_id, made_by) REFERENCES members ON DELETE CASCADE;
-- Serves an owner's list, and the end of a member.
CREATE INDEX invitations_maker ON invitations (program_id, made_by);

-- Plays that were stored before there was a history have none, and asking for it found no such
-- play: it begins with what they are now, at the time that their identity carries (RFC 9562, 5.7).
INSERT INTO play_changes (program_id, play_id, change_id, at, how, after)
SELECT p.program_id, p.id, gen_random_uuid(),
    CASE substr(p.id::text, 15, 1)
        WHEN '7' THEN to_timestamp(('x0000' || substr(replace(p.id::text, '-', ''), 1, 12))::bit(64)::bigint / 1000.0)
        ELSE now()
    END,
    'load', to_jsonb(p) - 'program_id'
FROM plays p
WHERE NOT EXISTS (SELECT FROM play_changes c WHERE c.program_id = p.program_id AND c.play_id = p.id)
ORDER BY p.id;
