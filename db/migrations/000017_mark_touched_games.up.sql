-- Which games a transaction touched, so that a server which keeps counted plays in memory
-- knows what to read again: a row is news to a server that saw the database before its transaction
-- (PostgreSQL manual, 9.27: xid8 and pg_snapshot). Triggers write it, so that no way of
-- changing a play can forget to. A row too many only costs a reading; rows that everybody
-- has seen are cleared away by the servers.
CREATE TABLE touched_games (
    program_id uuid NOT NULL CONSTRAINT touched_games_program_fkey REFERENCES programs ON DELETE CASCADE,
    xid xid8 NOT NULL DEFAULT pg_current_xact_id(),
    game_id uuid NOT NULL
);
-- Serves what is news since a snapshot.
CREATE INDEX touched_games_xid ON touched_games (program_id, xid);

-- What a game's plays are counted by beside their own tags: the game, its opponent's code,
-- its season's label.
CREATE FUNCTION touch_games() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    IF TG_TABLE_NAME = 'plays' AND TG_OP <> 'DELETE' THEN
        INSERT INTO touched_games (program_id, game_id) SELECT DISTINCT n.program_id, n.game_id FROM new_rows n;
    END IF;
    IF TG_TABLE_NAME = 'plays' AND TG_OP <> 'INSERT' THEN
        INSERT INTO touched_games (program_id, game_id)
        SELECT DISTINCT o.program_id, o.game_id
        FROM old_rows o
        WHERE EXISTS (SELECT FROM programs p WHERE p.id = o.program_id);
    END IF;
    IF TG_TABLE_NAME = 'games' THEN
        INSERT INTO touched_games (program_id, game_id) SELECT n.program_id, n.id FROM new_rows n;
    ELSIF TG_TABLE_NAME = 'opponents' THEN
        INSERT INTO touched_games (program_id, game_id)
        SELECT g.program_id, g.id
        FROM new_rows n
        JOIN old_rows o ON o.program_id = n.program_id AND o.id = n.id AND to_jsonb(o) ->> 'code' <> to_jsonb(n) ->> 'code'
        JOIN games g ON g.program_id = n.program_id AND g.opponent_id = n.id;
    ELSIF TG_TABLE_NAME = 'seasons' THEN
        INSERT INTO touched_games (program_id, game_id)
        SELECT g.program_id, g.id
        FROM new_rows n
        JOIN old_rows o ON o.program_id = n.program_id AND o.id = n.id AND to_jsonb(o) ->> 'label' <> to_jsonb(n) ->> 'label'
        JOIN games g ON g.program_id = n.program_id AND g.season_id = n.id;
    END IF;
    RETURN NULL;
END $$;
CREATE TRIGGER plays_inserted_touch AFTER INSERT ON plays REFERENCING NEW TABLE AS new_rows
    FOR EACH STATEMENT EXECUTE FUNCTION touch_games();
CREATE TRIGGER plays_updated_touch AFTER UPDATE ON plays REFERENCING OLD TABLE AS old_rows NEW TABLE AS new_rows
    FOR EACH STATEMENT EXECUTE FUNCTION touch_games();
CREATE TRIGGER plays_deleted_touch AFTER DELETE ON plays REFERENCING OLD TABLE AS old_rows
    FOR EACH STATEMENT EXECUTE FUNCTION touch_games();
CREATE TRIGGER games_updated_touch AFTER UPDATE ON games REFERENCING NEW TABLE AS new_rows
    FOR EACH STATEMENT EXECUTE FUNCTION touch_games();
CREATE TRIGGER opponents_updated_touch AFTER UPDATE ON opponents REFERENCING OLD TABLE AS old_rows NEW TABLE AS new_rows
    FOR EACH STATEMENT EXECUTE FUNCTION touch_games();
CREATE TRIGGER seasons_updated_touch AFTER UPDATE ON seasons REFERENCING OLD TABLE AS old_rows NEW TABLE AS new_rows
    FOR EACH STATEMENT EXECUTE FUNCTION touch_games();
