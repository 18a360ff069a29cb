DROP TABLE calls, words, clips, plays, films, games, opponents, seasons, programs;
DROP TYPE route_tag;
DROP DOMAIN route_side, route_number, route_eligible, route_depth, route_direction;
