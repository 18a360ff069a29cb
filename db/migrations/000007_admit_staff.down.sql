DROP TABLE invitations, sessions, tokens, members, people;
DO $$
DECLARE
    p record;
BEGIN
    FOR p IN SELECT schemaname, tablename, policyname FROM pg_policies WHERE schemaname = 'public' AND policyname = 'own_program' LOOP
        EXECUTE format('DROP POLICY own_program ON %I.%I', p.schemaname, p.tablename);
        EXECUTE format('ALTER TABLE %I.%I DISABLE ROW LEVEL SECURITY', p.schemaname, p.tablename);
        EXECUTE format('REVOKE ALL ON %I.%I FROM overhang_server', p.schemaname, p.tablename);
    END LOOP;
END
$$;
DROP FUNCTION wall_programs();
DROP FUNCTION this_program();
DROP DOMAIN staff_role;
-- The role overhang_server stays: other databases of the server may use it.
