package tendency

import "testing"

// BenchmarkFisherTable is a table near the exact test's limit: four sets by
// five concepts on thin counts.
func BenchmarkFisherTable(b *testing.B) {
	t := [][]int{{9, 3, 2, 1, 4}, {2, 6, 3, 2, 1}, {1, 2, 7, 3, 2}, {3, 1, 2, 5, 2}}
	for b.Loop() {
		FisherTable(t)
	}
}
