package points

import "testing"

// BenchmarkOf is the worth of a down at whole yards, looked up; BenchmarkExactly works it out.
func BenchmarkOf(b *testing.B) {
	t, sum := Season(Settings{FieldGoal: 40}), 0.0
	for b.Loop() {
		sum += t.Of(2, 7, 45)
	}
}

func BenchmarkExactly(b *testing.B) {
	t, sum := Season(Settings{FieldGoal: 40}), 0.0
	for b.Loop() {
		sum += t.exactly(2, 7, 45)
	}
}
