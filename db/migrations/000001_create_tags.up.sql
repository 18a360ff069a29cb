-- What is written down about film. Every table is keyed by program first, so
-- that the data can be spread by program; every constraint has a name, and the
-- store turns that name into the field a person must mend.

CREATE TABLE programs (
    id uuid CONSTRAINT programs_pkey PRIMARY KEY,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    code text NOT NULL CONSTRAINT programs_code_key UNIQUE
        CONSTRAINT programs_code_check CHECK (code ~ '^[a-z0-9][a-z0-9-]{0,39}$'),
    name text NOT NULL CONSTRAINT programs_name_check CHECK (btrim(name) <> ''),
    level text NOT NULL CONSTRAINT programs_level_check CHECK (level IN ('high_school', 'college', 'professional')),
    invented boolean NOT NULL DEFAULT false,
    settings jsonb NOT NULL
);

CREATE TABLE seasons (
    program_id uuid NOT NULL CONSTRAINT seasons_program_fkey REFERENCES programs ON DELETE CASCADE,
    id uuid NOT NULL,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    label text NOT NULL CONSTRAINT seasons_label_check CHECK (btrim(label) <> ''),
    CONSTRAINT seasons_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT seasons_label_key UNIQUE (program_id, label)
);

CREATE TABLE opponents (
    program_id uuid NOT NULL CONSTRAINT opponents_program_fkey REFERENCES programs ON DELETE CASCADE,
    id uuid NOT NULL,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    code text NOT NULL CONSTRAINT opponents_code_check CHECK (btrim(code) <> ''),
    name text NOT NULL CONSTRAINT opponents_name_check CHECK (btrim(name) <> ''),
    note text,
    CONSTRAINT opponents_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT opponents_code_key UNIQUE (program_id, code)
);

CREATE TABLE games (
    program_id uuid NOT NULL,
    id uuid NOT NULL,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    opponent_id uuid NOT NULL,
    season_id uuid,
    label text NOT NULL CONSTRAINT games_label_check CHECK (btrim(label) <> ''),
    week integer CONSTRAINT games_week_check CHECK (week BETWEEN 0 AND 60),
    versus text,
    CONSTRAINT games_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT games_opponent_key UNIQUE (program_id, id, opponent_id), -- plays point here, so that their opponent is the game's
    CONSTRAINT games_label_key UNIQUE (program_id, opponent_id, label),
    CONSTRAINT games_opponent_fkey FOREIGN KEY (program_id, opponent_id) REFERENCES opponents ON DELETE CASCADE,
    CONSTRAINT games_season_fkey FOREIGN KEY (program_id, season_id) REFERENCES seasons
);

CREATE TABLE films (
    program_id uuid NOT NULL,
    id uuid NOT NULL,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    game_id uuid NOT NULL,
    location text NOT NULL CONSTRAINT films_location_check CHECK (btrim(location) <> ''),
    angle text,
    CONSTRAINT films_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT films_location_key UNIQUE (program_id, game_id, location),
    CONSTRAINT films_game_fkey FOREIGN KEY (program_id, game_id) REFERENCES games ON DELETE CASCADE
);

-- Routes stand as an array of a typed row in the play: they are always read and
-- written with their play, at most five, and measured seven times faster to read
-- and three times faster to load than child rows with a checked key. The domains
-- keep the impossible out of the array's elements.
CREATE DOMAIN route_side AS text CONSTRAINT route_side_check CHECK (VALUE IN ('left', 'right'));
CREATE DOMAIN route_number AS integer CONSTRAINT route_number_check CHECK (VALUE BETWEEN 1 AND 5);
CREATE DOMAIN route_eligible AS text CONSTRAINT route_eligible_check CHECK (VALUE IN ('receiver', 'tight_end', 'back'));
CREATE DOMAIN route_depth AS double precision CONSTRAINT route_depth_check CHECK (VALUE BETWEEN -15 AND 60);
CREATE DOMAIN route_direction AS text CONSTRAINT route_direction_check CHECK (VALUE IN ('in', 'out', 'up', 'back', 'none'));
CREATE TYPE route_tag AS (
    side route_side,
    number route_number,
    eligible route_eligible,
    route text,
    break_depth_yd route_depth,
    break_direction route_direction,
    targeted boolean
);

CREATE TABLE plays (
    program_id uuid NOT NULL,
    id uuid NOT NULL,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    game_id uuid NOT NULL,
    opponent_id uuid NOT NULL,
    number integer NOT NULL CONSTRAINT plays_number_check CHECK (number BETWEEN 1 AND 999),
    status text NOT NULL DEFAULT 'counted' CONSTRAINT plays_status_check CHECK (status IN ('counted', 'no_play', 'kneel', 'spike')),
    quarter integer CONSTRAINT plays_quarter_check CHECK (quarter BETWEEN 1 AND 5),
    clock_s integer CONSTRAINT plays_clock_s_check CHECK (clock_s BETWEEN 0 AND 900),
    down integer CONSTRAINT plays_down_check CHECK (down BETWEEN 1 AND 4),
    distance_yd integer CONSTRAINT plays_distance_yd_check CHECK (distance_yd BETWEEN 1 AND 99),
    yards_to_goal integer CONSTRAINT plays_yards_to_goal_check CHECK (yards_to_goal BETWEEN 1 AND 99),
    hash text CONSTRAINT plays_hash_check CHECK (hash IN ('left', 'middle', 'right')),
    score_margin integer CONSTRAINT plays_score_margin_check CHECK (score_margin BETWEEN -199 AND 199),
    personnel text CONSTRAINT plays_personnel_check CHECK (personnel ~ '^[0-5][0-5]$'),
    set_name text,
    strength text CONSTRAINT plays_strength_check CHECK (strength IN ('left', 'right', 'balanced')),
    backfield text,
    motion text,
    called text CONSTRAINT plays_called_check CHECK (called IN ('run', 'pass')),
    family text CONSTRAINT plays_family_check CHECK (family IN ('run', 'dropback', 'quick', 'play_action', 'boot', 'screen', 'rpo', 'draw')),
    concept text,
    play_side text CONSTRAINT plays_play_side_check CHECK (play_side IN ('left', 'right')),
    result text CONSTRAINT plays_result_check CHECK (result IN ('rush', 'scramble', 'complete', 'incomplete', 'intercepted', 'sack', 'fumble_lost', 'penalty')),
    gain_yd integer CONSTRAINT plays_gain_yd_check CHECK (gain_yd BETWEEN -99 AND 99),
    touchdown boolean NOT NULL DEFAULT false,
    shell text CONSTRAINT plays_shell_check CHECK (shell IN ('no_high', 'one_high', 'two_high', 'other')),
    coverage text,
    rushers integer CONSTRAINT plays_rushers_check CHECK (rushers BETWEEN 0 AND 11),
    blitzers integer CONSTRAINT plays_blitzers_check CHECK (blitzers BETWEEN 0 AND 11),
    note text,
    routes route_tag[] NOT NULL DEFAULT '{}' CONSTRAINT plays_routes_check CHECK (cardinality(routes) <= 5),
    CONSTRAINT plays_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT plays_number_key UNIQUE (program_id, game_id, number),
    CONSTRAINT plays_game_fkey FOREIGN KEY (program_id, game_id, opponent_id) REFERENCES games (program_id, id, opponent_id) ON DELETE CASCADE,
    CONSTRAINT plays_family_called_check CHECK (NOT (family = 'run' AND called = 'pass') AND NOT (family = 'dropback' AND called = 'run'))
);
-- Serves tendencies: one opponent's counted plays by down.
CREATE INDEX plays_opponent_down ON plays (program_id, opponent_id, down);

CREATE TABLE clips (
    program_id uuid NOT NULL,
    id uuid NOT NULL,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    film_id uuid NOT NULL,
    play_id uuid,
    start_s double precision NOT NULL CONSTRAINT clips_start_s_check CHECK (start_s >= 0 AND start_s <= 86400),
    end_s double precision NOT NULL,
    CONSTRAINT clips_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT clips_end_s_check CHECK (end_s > start_s AND end_s <= 86400),
    CONSTRAINT clips_start_s_key UNIQUE (program_id, film_id, start_s, end_s),
    CONSTRAINT clips_film_fkey FOREIGN KEY (program_id, film_id) REFERENCES films ON DELETE CASCADE,
    CONSTRAINT clips_play_fkey FOREIGN KEY (program_id, play_id) REFERENCES plays
);
CREATE INDEX clips_play ON clips (program_id, play_id);

CREATE TABLE words (
    program_id uuid NOT NULL CONSTRAINT words_program_fkey REFERENCES programs ON DELETE CASCADE,
    id uuid NOT NULL,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    field text NOT NULL CONSTRAINT words_field_check CHECK (field IN ('set_name', 'backfield', 'motion', 'concept', 'route', 'coverage')),
    word text NOT NULL CONSTRAINT words_word_check CHECK (btrim(word) <> ''),
    alias_of text CONSTRAINT words_alias_of_check CHECK (alias_of <> word),
    CONSTRAINT words_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT words_word_key UNIQUE (program_id, field, word),
    CONSTRAINT words_alias_fkey FOREIGN KEY (program_id, field, alias_of) REFERENCES words (program_id, field, word)
);

CREATE TABLE calls (
    program_id uuid NOT NULL CONSTRAINT calls_program_fkey REFERENCES programs ON DELETE CASCADE,
    id uuid NOT NULL,
    version bigint NOT NULL DEFAULT 1,
    updated_at timestamptz NOT NULL DEFAULT now(),
    name text NOT NULL CONSTRAINT calls_name_check CHECK (btrim(name) <> ''),
    active boolean NOT NULL DEFAULT true,
    body jsonb NOT NULL CONSTRAINT calls_body_check CHECK (jsonb_typeof(body) = 'object'),
    CONSTRAINT calls_pkey PRIMARY KEY (program_id, id),
    CONSTRAINT calls_name_key UNIQUE (program_id, name)
);
