package tags

// A QuizAnswer is the first try of a jersey number at one question.
type QuizAnswer struct {
	Question string // which of the quiz, by its id
	Jersey   string
	Call     string
	Man      string
	When, Do string // the rule
	Fits     bool
}

// A RuleCount counts answers to what one rule asks of one man.
type RuleCount struct {
	Group    string   `db:"position_group"`
	Call     string   `db:"call"`
	Man      string   `db:"man"`
	When     string   `db:"rule_when"`
	Do       string   `db:"rule_do"`
	Answered int      `db:"answered"`
	Missed   int      `db:"missed"`
	Jerseys  []string `db:"jerseys"` // that missed it
}
