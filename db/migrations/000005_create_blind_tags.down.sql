DROP TABLE blind_tags;
