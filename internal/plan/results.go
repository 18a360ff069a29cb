package plan

// Results are what an opponent's own results add to the chance that a concept succeeds, as
// shares: drawn toward all opponents of the program by what their plays are worth.
type Results struct {
	Plays     int     `json:"plays"`       // of theirs whose success is known
	Everybody int     `json:"all_plays"`   // of all opponents of the program
	Worth     float64 `json:"worth_plays"` // so many plays everybody's rate counts for
	Learned   bool    `json:"learned"`     // that is what the program's opponents say; else assumed
	Level     float64 `json:"level"`       // beside all of them on the same downs
	With      float64 `json:"with_concept"`
	In        float64 `json:"in_situation"`
}

// lift is what they add in all.
func (r *Results) lift() float64 {
	if r == nil {
		return 0
	}
	return r.Level + r.With + r.In
}

// Opponent is what their results add over everything they run, nil where nobody counted them.
func (b *Board) Opponent() *Results {
	if len(b.Concepts) == 0 {
		return nil
	}
	return b.Concepts[0].Results
}
