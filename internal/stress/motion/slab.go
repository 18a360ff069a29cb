package motion

// A slab is room that is handed out piece by piece and taken back all at once: many small rooms cost as
// much to make as a man's run.
type slab[T any] struct {
	blocks [][]T
	block  int // the one that is handed out from,
	used   int // and how much of it is
	least  int // elements of a new block
}

func slabOf[T any](least int) slab[T] { return slab[T]{least: least, blocks: make([][]T, 0, 4)} }

// pieces is how many of the size that is asked for a new block holds at least.
const pieces = 4

// take hands out n elements, which hold what they held before.
func (s *slab[T]) take(n int) []T {
	for ; ; s.block, s.used = s.block+1, 0 {
		if s.block == len(s.blocks) {
			s.blocks = append(s.blocks, make([]T, max(s.least, pieces*n)))
		}
		if from := s.used; from+n <= len(s.blocks[s.block]) {
			s.used = from + n
			return s.blocks[s.block][from:s.used:s.used]
		}
	}
}

// back takes back all that was handed out.
func (s *slab[T]) back() { s.block, s.used = 0, 0 }
