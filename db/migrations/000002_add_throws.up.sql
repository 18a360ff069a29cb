-- What the charting of throws and of play design adds to a play. All of it may be
-- unknown. target_route is for charts that name the target's route but not where
-- he stood; a targeted route in routes says the same and more.
ALTER TABLE plays
    ADD COLUMN play_fake boolean,
    ADD COLUMN run_option boolean,
    ADD COLUMN target_route text,
    ADD COLUMN throw_depth_yd integer CONSTRAINT plays_throw_depth_yd_check CHECK (throw_depth_yd BETWEEN -40 AND 99),
    ADD COLUMN throw_s double precision CONSTRAINT plays_throw_s_check CHECK (throw_s BETWEEN 0 AND 30),
    ADD COLUMN pressured boolean,
    ADD COLUMN coverage_kind text CONSTRAINT plays_coverage_kind_check CHECK (coverage_kind IN ('man', 'zone'));
