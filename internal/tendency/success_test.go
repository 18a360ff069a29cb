package tendency

import (
	"testing"
)

func TestSuccess(t *testing.T) {
	const src = "published success rules, boundaries included (published.md 5.1, SEEN)"
	for _, tt := range []struct {
		down, dist, gain int
		percent          [3]int
		want             bool
	}{{1, 10, 4, [3]int{40, 60, 100}, true}, {1, 10, 4, [3]int{45, 60, 100}, false}, {1, 10, 4, [3]int{50, 70, 100},
		false},
		{2, 10, 6, [3]int{40, 60, 100}, true}, {2, 10, 6, [3]int{50, 70, 100}, false}, {2, 5, 3, [3]int{40, 60, 100}, true},
		{3, 4, 3, [3]int{40, 60, 100}, false}, {4, 1, 1, [3]int{40, 60, 100}, true}} {
		if got := Success(tt.down, tt.dist, tt.gain, false, tt.percent); got != tt.want {
			t.Errorf("Success(%d and %d, gain %d, %v) = %v; want %v (%s)", tt.down, tt.dist, tt.gain, tt.percent, got, tt.want,
				src)
		}
		if n := Needed(tt.down, tt.dist, tt.percent); !Success(tt.down, tt.dist, n, false, tt.percent) ||
			n > 0 && Success(tt.down, tt.dist, n-1, false, tt.percent) {
			t.Errorf("Needed(%d and %d) = %d is not the smallest success", tt.down, tt.dist, n)
		}
	}
}

func TestExplosive(t *testing.T) {
	const src = "run of 12, pass of 16: widely used coaching convention (published.md 5.2, MEM); boundary included"
	for _, tt := range []struct {
		pass bool
		gain int
		want bool
	}{{false, 11, false}, {false, 12, true}, {true, 15, false}, {true, 16, true}, {true, -3, false}} {
		if got := Explosive(tt.pass, tt.gain, 12, 16); got != tt.want {
			t.Errorf("Explosive(pass %v, gain %d) = %v; want %v (%s)", tt.pass, tt.gain, got, tt.want, src)
		}
	}
}
