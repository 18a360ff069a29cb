// Package spell says how far one word is from another: for slips of the finger
// in sheets, words of a vocabulary, commands and flags.
package spell

// Edits is the distance of Damerau 1964 and Levenshtein 1966: letters changed,
// left out, put in, or swapped with their neighbor (each pair once). It is 0 for
// equal words and symmetric; letters are Unicode's code points.
func Edits(a, b string) int {
	ra, rb := []rune(a), []rune(b)
	var before, last []int
	row := make([]int, len(rb)+1)
	for j := range row {
		row[j] = j
	}
	for i := range ra {
		before, last, row = last, row, make([]int, len(rb)+1)
		row[0] = i + 1
		for j := range rb {
			cost := 1
			if ra[i] == rb[j] {
				cost = 0
			}
			row[j+1] = min(last[j]+cost, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && ra[i] == rb[j-1] && ra[i-1] == rb[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
	}
	return row[len(rb)]
}
