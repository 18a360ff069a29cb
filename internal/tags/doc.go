// Package tags is what is written down about film: programs, games, films,
// clips, plays with their routes, the vocabulary, the calls. It checks what
// comes in; it knows no SQL and no HTTP.
//
// Unknown is nil, never zero: a play whose gain was not tagged has no gain,
// and no statistic may treat it as a gain of nothing.
//
// # Our own game is a mark on the game
//
// Our own game is a mark on the game (games.ours), not another kind of play: its coverage is the
// call we made, and ours is a dimension like any other, so that a self-scout is the tendencies of
// coverage under ours=yes. plan.Callbook says which call a coverage means: the one of its name,
// else the one the vocabulary holds for it.
package tags
