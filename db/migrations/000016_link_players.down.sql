DROP TABLE quiz_answers;
DROP TABLE packet_links;
