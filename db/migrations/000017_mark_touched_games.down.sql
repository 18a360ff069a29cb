DROP TRIGGER seasons_updated_touch ON seasons;
DROP TRIGGER opponents_updated_touch ON opponents;
DROP TRIGGER games_updated_touch ON games;
DROP TRIGGER plays_deleted_touch ON plays;
DROP TRIGGER plays_updated_touch ON plays;
DROP TRIGGER plays_inserted_touch ON plays;
DROP FUNCTION touch_games;
DROP TABLE touched_games;
