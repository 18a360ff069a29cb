ALTER TABLE plays
    DROP COLUMN play_fake,
    DROP COLUMN run_option,
    DROP COLUMN target_route,
    DROP COLUMN throw_depth_yd,
    DROP COLUMN throw_s,
    DROP COLUMN pressured,
    DROP COLUMN coverage_kind;
