// Package tendency is statistics on counts: shares with their doubt, success,
// tests of independence, tells, trends, shrinkage of thin cells, likeness of
// opponents, agreement of taggers, calibration. It is pure; the store counts,
// this package scores, and nothing here draws a random number.
//
// Every share travels with its n and an interval, every test with how many were
// asked at once. What the counts cannot answer is said (Test.Method "none",
// Agreement.Defined false), never given as a number. None of it knows that snaps
// of one game are more alike than snaps of two: intervals are those of
// independent plays.
package tendency
