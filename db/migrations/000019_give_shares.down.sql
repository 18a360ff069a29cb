DROP TABLE shares;
DROP TABLE associations;
