-- What analysts of data read with their own tools: views of the schema data, under logins
-- of their own. A login is of one program: the views look it up by session_user, which
-- nobody but a superuser changes, so no setting opens another program. The views run with
-- their owner's rights, and a login has none to the tables; as barriers they hand no row of another
-- program to a function that a login made (PostgreSQL manual, 41.5).
DO $$
BEGIN
    CREATE ROLE overhang_data NOLOGIN NOSUPERUSER NOBYPASSRLS;
EXCEPTION
    WHEN duplicate_object OR unique_violation THEN NULL;
END
$$;

CREATE TABLE data_logins (
    program_id uuid NOT NULL CONSTRAINT data_logins_program_fkey REFERENCES programs ON DELETE CASCADE,
    login text NOT NULL CONSTRAINT data_logins_login_key UNIQUE,
    created_at timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT data_logins_pkey PRIMARY KEY (program_id, login)
);

CREATE SCHEMA data;
COMMENT ON SCHEMA data IS 'One program, to read: what a data login sees. Unknown is null, never zero.';
GRANT USAGE ON SCHEMA data TO overhang_data;

CREATE VIEW data.program WITH (security_barrier) AS
SELECT p.code, p.name, p.level, p.invented,
    (p.settings #>> '{success_percent,0}')::integer AS success_1st_percent,
    (p.settings #>> '{success_percent,1}')::integer AS success_2nd_percent,
    (p.settings #>> '{success_percent,2}')::integer AS success_late_percent,
    (p.settings ->> 'explosive_run_yd')::integer AS explosive_run_yd,
    (p.settings ->> 'explosive_pass_yd')::integer AS explosive_pass_yd
FROM programs p
WHERE p.id = (SELECT l.program_id FROM data_logins l WHERE l.login = session_user);
COMMENT ON VIEW data.program IS 'The program itself and what it calls a success; one row.';
COMMENT ON COLUMN data.program.code IS 'The program''s short name, as in addresses.';
COMMENT ON COLUMN data.program.name IS 'Its name.';
COMMENT ON COLUMN data.program.level IS 'high_school, college or professional.';
COMMENT ON COLUMN data.program.invented IS 'True: demo data that nobody played.';
COMMENT ON COLUMN data.program.success_1st_percent IS 'A 1st down is a success from this percentage of the distance on.';
COMMENT ON COLUMN data.program.success_2nd_percent IS 'The same on 2nd down.';
COMMENT ON COLUMN data.program.success_late_percent IS 'The same on 3rd and 4th down.';
COMMENT ON COLUMN data.program.explosive_run_yd IS 'A run is explosive from this gain on, in yards.';
COMMENT ON COLUMN data.program.explosive_pass_yd IS 'A pass is explosive from this gain on, in yards.';

CREATE VIEW data.bands WITH (security_barrier) AS
SELECT k.kind, b.name, b.from_yd, b.to_yd
FROM programs p
CROSS JOIN (VALUES ('distance', 'distance_bands'), ('field_zone', 'field_zones')) k (kind, member)
CROSS JOIN LATERAL jsonb_to_recordset(p.settings -> k.member) b (name text, from_yd integer, to_yd integer)
WHERE p.id = (SELECT l.program_id FROM data_logins l WHERE l.login = session_user);
COMMENT ON VIEW data.bands IS 'How the program cuts distances and the field.';
COMMENT ON COLUMN data.bands.kind IS 'distance (yards to the first down) or field_zone (yards to the goal line).';
COMMENT ON COLUMN data.bands.name IS 'The band''s name, as data.plays has it.';
COMMENT ON COLUMN data.bands.from_yd IS 'The first yard in it.';
COMMENT ON COLUMN data.bands.to_yd IS 'The last yard in it.';

CREATE VIEW data.seasons WITH (security_barrier) AS
SELECT s.id, s.label
FROM seasons s
WHERE s.program_id = (SELECT l.program_id FROM data_logins l WHERE l.login = session_user);
COMMENT ON VIEW data.seasons IS 'Seasons, which group games.';
COMMENT ON COLUMN data.seasons.id IS 'The season''s identity.';
COMMENT ON COLUMN data.seasons.label IS 'Its name.';

CREATE VIEW data.opponents WITH (security_barrier) AS
SELECT o.id, o.code, o.name, o.note
FROM opponents o
WHERE o.program_id = (SELECT l.program_id FROM data_logins l WHERE l.login = session_user);
COMMENT ON VIEW data.opponents IS 'Whom the staff prepares for.';
COMMENT ON COLUMN data.opponents.id IS 'The opponent''s identity.';
COMMENT ON COLUMN data.opponents.code IS 'A short name of the staff''s own.';
COMMENT ON COLUMN data.opponents.name IS 'The name.';
COMMENT ON COLUMN data.opponents.note IS 'What the staff noted.';

CREATE VIEW data.games WITH (security_barrier) AS
SELECT g.id, g.opponent_id, o.code AS opponent, g.season_id, s.label AS season, g.label, g.week, g.versus, g.ours
FROM games g
JOIN opponents o ON o.program_id = g.program_id AND o.id = g.opponent_id
LEFT JOIN seasons s ON s.program_id = g.program_id AND s.id = g.season_id
WHERE g.program_id = (SELECT l.program_id FROM data_logins l WHERE l.login = session_user);
COMMENT ON VIEW data.games IS 'Games of an opponent whose plays are tagged.';
COMMENT ON COLUMN data.games.id IS 'The game''s identity.';
COMMENT ON COLUMN data.games.opponent_id IS 'Whose offense is on the film.';
COMMENT ON COLUMN data.games.opponent IS 'That opponent''s code.';
COMMENT ON COLUMN data.games.season_id IS 'The season, where one was given.';
COMMENT ON COLUMN data.games.season IS 'That season''s name.';
COMMENT ON COLUMN data.games.label IS 'The game''s name among the opponent''s.';
COMMENT ON COLUMN data.games.week IS 'The week it was played in.';
COMMENT ON COLUMN data.games.versus IS 'Whom the opponent played.';
COMMENT ON COLUMN data.games.ours IS 'True: the program itself played it, and coverage is the call it made.';

CREATE VIEW data.plays WITH (security_barrier) AS
SELECT p.id, p.game_id, p.opponent_id, o.code AS opponent, s.label AS season, g.label AS game, g.week, g.ours,
    p.number, p.status, p.quarter, p.clock_s, p.down, p.distance_yd,
    (SELECT b.name FROM jsonb_to_recordset(m.settings -> 'distance_bands') b (name text, from_yd integer, to_yd integer)
        WHERE p.distance_yd BETWEEN b.from_yd AND b.to_yd LIMIT 1) AS distance_band,
    p.yards_to_goal,
    (SELECT b.name FROM jsonb_to_recordset(m.settings -> 'field_zones') b (name text, from_yd integer, to_yd integer)
        WHERE p.yards_to_goal BETWEEN b.from_yd AND b.to_yd LIMIT 1) AS field_zone,
    p.hash, p.score_margin, p.personnel, p.set_name, p.strength, p.backfield, p.motion, p.called, p.family,
    p.play_fake, p.run_option, p.concept, p.play_side, p.target_route, p.throw_depth_yd, p.throw_s, p.pressured,
    p.result, p.gain_yd, p.touchdown,
    CASE WHEN p.down IS NOT NULL AND p.distance_yd IS NOT NULL AND (p.gain_yd IS NOT NULL OR p.touchdown)
        THEN p.touchdown OR 100 * p.gain_yd >= p.distance_yd * (m.settings #>> ARRAY['success_percent',
            (least(p.down, 3) - 1)::text])::integer
    END AS success,
    p.gain_yd >= CASE p.called WHEN 'run' THEN (m.settings ->> 'explosive_run_yd')::integer
        WHEN 'pass' THEN (m.settings ->> 'explosive_pass_yd')::integer END AS explosive,
    p.shell, p.coverage, p.coverage_kind, p.rushers, p.blitzers, p.since_last, p.routes_assumed, p.note, p.updated_at
FROM plays p
JOIN programs m ON m.id = p.program_id
JOIN games g ON g.program_id = p.program_id AND g.id = p.game_id
JOIN opponents o ON o.program_id = p.program_id AND o.id = p.opponent_id
LEFT JOIN seasons s ON s.program_id = g.program_id AND s.id = g.season_id
WHERE p.program_id = (SELECT l.program_id FROM data_logins l WHERE l.login = session_user);
COMMENT ON VIEW data.plays IS 'One row a snap of an opponent''s offense. Counts of the program take those of status counted.';
COMMENT ON COLUMN data.plays.id IS 'The play''s identity.';
COMMENT ON COLUMN data.plays.game_id IS 'Its game.';
COMMENT ON COLUMN data.plays.opponent_id IS 'Whose offense it is.';
COMMENT ON COLUMN data.plays.opponent IS 'That opponent''s code.';
COMMENT ON COLUMN data.plays.season IS 'The name of the game''s season.';
COMMENT ON COLUMN data.plays.game IS 'The game''s name.';
COMMENT ON COLUMN data.plays.week IS 'The week the game was played in.';
COMMENT ON COLUMN data.plays.ours IS 'True: against the program itself; coverage is the call it made.';
COMMENT ON COLUMN data.plays.number IS 'Which snap of the game.';
COMMENT ON COLUMN data.plays.status IS 'counted, or why not: no_play, kneel, spike.';
COMMENT ON COLUMN data.plays.quarter IS '1 to 4; 5 is overtime.';
COMMENT ON COLUMN data.plays.clock_s IS 'Seconds left in the quarter.';
COMMENT ON COLUMN data.plays.down IS '1 to 4.';
COMMENT ON COLUMN data.plays.distance_yd IS 'Yards to the first down.';
COMMENT ON COLUMN data.plays.distance_band IS 'The program''s band of that distance (data.bands).';
COMMENT ON COLUMN data.plays.yards_to_goal IS 'Yards to the goal line.';
COMMENT ON COLUMN data.plays.field_zone IS 'The program''s zone of the field (data.bands).';
COMMENT ON COLUMN data.plays.hash IS 'left, middle or right, as the offense sees it.';
COMMENT ON COLUMN data.plays.score_margin IS 'Points the offense leads by; negative: it trails.';
COMMENT ON COLUMN data.plays.personnel IS 'Backs, then tight ends: 11 is one of each. Text.';
COMMENT ON COLUMN data.plays.set_name IS 'How the offense lined up, a word of the vocabulary.';
COMMENT ON COLUMN data.plays.strength IS 'Strong side: left, right or balanced.';
COMMENT ON COLUMN data.plays.backfield IS 'How the backs stood, a word of the vocabulary.';
COMMENT ON COLUMN data.plays.motion IS 'Motion, a word of the vocabulary; none: looked at, and there was none.';
COMMENT ON COLUMN data.plays.called IS 'run or pass; a sack or a scramble was called a pass.';
COMMENT ON COLUMN data.plays.family IS 'run, dropback, quick, play_action, boot, screen, rpo or draw.';
COMMENT ON COLUMN data.plays.play_fake IS 'True: a run was faked.';
COMMENT ON COLUMN data.plays.run_option IS 'True: the passer could have handed off.';
COMMENT ON COLUMN data.plays.concept IS 'What was run, a word of the vocabulary.';
COMMENT ON COLUMN data.plays.play_side IS 'left or right: where it was run to.';
COMMENT ON COLUMN data.plays.target_route IS 'The target''s route where routes were not tagged one by one.';
COMMENT ON COLUMN data.plays.throw_depth_yd IS 'How far past the line of scrimmage the throw went, in yards.';
COMMENT ON COLUMN data.plays.throw_s IS 'Seconds from the snap to the throw.';
COMMENT ON COLUMN data.plays.pressured IS 'True: the passer was pressured.';
COMMENT ON COLUMN data.plays.result IS 'rush, scramble, complete, incomplete, intercepted, sack, fumble_lost or penalty.';
COMMENT ON COLUMN data.plays.gain_yd IS 'Yards gained; negative: lost.';
COMMENT ON COLUMN data.plays.touchdown IS 'True: the offense scored.';
COMMENT ON COLUMN data.plays.success IS 'By the program''s percentages of the distance (data.program); null: not known.';
COMMENT ON COLUMN data.plays.explosive IS 'By the program''s yards (data.program); null: not known.';
COMMENT ON COLUMN data.plays.shell IS 'What the defense showed: no_high, one_high, two_high or other.';
COMMENT ON COLUMN data.plays.coverage IS 'The coverage they met, a word of the vocabulary.';
COMMENT ON COLUMN data.plays.coverage_kind IS 'man or zone.';
COMMENT ON COLUMN data.plays.rushers IS 'How many rushed.';
COMMENT ON COLUMN data.plays.blitzers IS 'How many of them blitzed.';
COMMENT ON COLUMN data.plays.since_last IS 'What lay between this play and the one before: penalty, review, possession, kick or half.';
COMMENT ON COLUMN data.plays.routes_assumed IS 'True: nobody saw the routes, they are what the concept usually is.';
COMMENT ON COLUMN data.plays.note IS 'What the analyst noted.';
COMMENT ON COLUMN data.plays.updated_at IS 'When it was last changed.';

CREATE VIEW data.routes WITH (security_barrier) AS
SELECT p.id AS play_id, r.side, r.number, r.eligible, r.route, r.break_depth_yd, r.break_direction, r.targeted,
    p.routes_assumed AS assumed
FROM plays p
CROSS JOIN LATERAL unnest(p.routes) r
WHERE p.program_id = (SELECT l.program_id FROM data_logins l WHERE l.login = session_user);
COMMENT ON VIEW data.routes IS 'One row a route; at most five a play.';
COMMENT ON COLUMN data.routes.play_id IS 'Its play (data.plays.id).';
COMMENT ON COLUMN data.routes.side IS 'left or right of the center at the snap, as the offense sees it.';
COMMENT ON COLUMN data.routes.number IS 'From the sideline in; backs count last.';
COMMENT ON COLUMN data.routes.eligible IS 'receiver, tight_end or back.';
COMMENT ON COLUMN data.routes.route IS 'A word of the vocabulary.';
COMMENT ON COLUMN data.routes.break_depth_yd IS 'Where it breaks, in yards past the line of scrimmage.';
COMMENT ON COLUMN data.routes.break_direction IS 'in, out, up, back or none.';
COMMENT ON COLUMN data.routes.targeted IS 'True: the ball was thrown here.';
COMMENT ON COLUMN data.routes.assumed IS 'True: nobody saw it, it is what the concept usually has.';

CREATE VIEW data.words WITH (security_barrier) AS
SELECT w.field, w.word, w.alias_of, w.pending
FROM words w
WHERE w.program_id = (SELECT l.program_id FROM data_logins l WHERE l.login = session_user);
COMMENT ON VIEW data.words IS 'The vocabulary.';
COMMENT ON COLUMN data.words.field IS 'set_name, backfield, motion, concept, route or coverage.';
COMMENT ON COLUMN data.words.word IS 'The word.';
COMMENT ON COLUMN data.words.alias_of IS 'It counts as that word.';
COMMENT ON COLUMN data.words.pending IS 'True: met in a play, nobody has looked at it yet.';

CREATE VIEW data.calls WITH (security_barrier) AS
SELECT c.id, c.name, c.active, c.body, c.updated_at
FROM calls c
WHERE c.program_id = (SELECT l.program_id FROM data_logins l WHERE l.login = session_user);
COMMENT ON VIEW data.calls IS 'The program''s own defensive calls.';
COMMENT ON COLUMN data.calls.id IS 'The call''s identity.';
COMMENT ON COLUMN data.calls.name IS 'Its name.';
COMMENT ON COLUMN data.calls.active IS 'False: out of the book for now.';
COMMENT ON COLUMN data.calls.body IS 'Its definition, JSON as the API takes it.';
COMMENT ON COLUMN data.calls.updated_at IS 'When it was last changed.';

GRANT SELECT ON ALL TABLES IN SCHEMA data TO overhang_data;
