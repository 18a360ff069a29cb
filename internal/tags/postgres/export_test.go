package postgres

// HangsOn lists which kind is deleted with which, by the column that says so.
func HangsOn() map[string]string {
	out := map[string]string{}
	for _, r := range references {
		if r.hangs {
			out[r.kind+"."+r.column] = r.to
		}
	}
	return out
}
