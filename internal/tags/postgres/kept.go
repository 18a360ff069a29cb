package postgres

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"github.com/google/uuid"

	"overhang/internal/tags"
	"overhang/internal/tags/tally"
)

// Kept plays: a program that is asked about again and again has its counted plays in this
// server's memory (package tally), and its counts are answered from there. The database
// stays what is right: every question first asks it, in one short statement, which games
// were touched by transactions that the image had not seen (touched_games), and those are
// read again before anything is counted. So an answer is never older than the last write that was
// acknowledged, by whichever server; servers tell each other nothing. What an image
// cannot answer goes to the plays, as does everything while there is none.

// KeptBytes is the memory for all images of a server, unless Keep says otherwise.
const KeptBytes = 256 << 20

const (
	worthKeeping = 1000        // plays under the questions so far; the next question makes an image
	leastOfOne   = 100         // a question counts as so many plays at least: it had to be asked
	mostAtOnce   = 200         // touched games that a question waits for; more are read beside
	keptFor      = time.Hour   // an image that nobody asked for so long is dropped
	touchedFor   = 2 * keptFor // rows of touched_games; longer than any image goes without asking
	refusedFor   = 10 * time.Minute
	gamesAtOnce  = 300 // read by one statement
)

// cubedFrom is from how many plays on an image has cubes of what is asked; a variable for tests.
var cubedFrom = 50_000

// keptPlays are the images of a store. They are this process's only.
type keptPlays struct {
	mu      sync.Mutex
	room    int
	images  map[keptKey]*keptImage
	wanted  map[keptKey]int       // plays under the questions that the database answered
	refused map[keptKey]time.Time // cannot be kept, until then it is not tried again
	making  bool                  // one image is made at a time
	end     context.CancelFunc
	ended   context.Context
	beside  sync.WaitGroup

	answered, made, failed atomic.Int64
}

// A keptKey is a program with the cut points by which its plays are judged.
type keptKey struct {
	program uuid.UUID
	cuts    string
}

func keyOf(p *tags.Program) keptKey {
	x := &p.Settings
	return keptKey{p.ID, fmt.Sprint(x.SuccessPercent, x.ExplosiveRunYd, x.ExplosivePassYd, x.DistanceBands, x.FieldZones)}
}

// A keptImage is a program's plays and the moment they are of.
type keptImage struct {
	program  tags.Program
	code     string // of the program, once one who knows it asked; under keptPlays.mu
	state    atomic.Pointer[keptState]
	catching sync.Mutex // who reads touched games
	behind   atomic.Bool
	asked    atomic.Int64 // when, Unix nanoseconds
	mark     atomic.Pointer[keptState]
	settings atomic.Pointer[readSettings] // as they were stored when the program was entered last
}

// A keptState is an image at a moment.
type keptState struct {
	image *tally.Image
	moment
}

// A moment is what the database had committed when a statement looked.
type moment struct {
	began    time.Time // before it looked, by this process's clock
	snapshot string    // pg_snapshot
	server   time.Time // when that PostgreSQL was started: another one may count transactions otherwise
	at       time.Time // by the database's clock
}

func newKept() *keptPlays {
	k := &keptPlays{room: KeptBytes, images: map[keptKey]*keptImage{}, wanted: map[keptKey]int{},
		refused: map[keptKey]time.Time{}}
	k.ended, k.end = context.WithCancel(context.Background())
	return k
}

// Keep bounds the memory for plays that are kept to count them, in bytes; 0 keeps none.
func (s *Store) Keep(bytes int) {
	s.kept.mu.Lock()
	defer s.kept.mu.Unlock()
	s.kept.room = bytes
}

// A KeptReport says how the kept plays are doing.
type KeptReport struct {
	Images, Plays, Bytes   int
	Cubes                  int // of what was asked again
	Answered, Made, Failed int64
}

// Kept says how the kept plays are doing.
func (s *Store) Kept() (r KeptReport) {
	s.kept.mu.Lock()
	defer s.kept.mu.Unlock()
	for _, i := range s.kept.images {
		im := i.state.Load().image
		r.Images, r.Plays, r.Bytes, r.Cubes = r.Images+1, r.Plays+im.Plays(), r.Bytes+im.Bytes(), r.Cubes+im.Cubes()
	}
	r.Answered, r.Made, r.Failed = s.kept.answered.Load(), s.kept.made.Load(), s.kept.failed.Load()
	return r
}

func (k *keptPlays) close() {
	k.end()
	k.beside.Wait()
}

// image returns a program's plays as they are now, or nil where the plays themselves
// must be asked: none is kept, one is too far behind, or it could not be brought up to now.
func (s *Store) image(ctx context.Context, p *tags.Program) *tally.Image {
	if s.kept == nil || ctx.Value(replicaKey{}) != nil {
		return nil
	}
	key := keyOf(p)
	s.kept.mu.Lock()
	k := s.kept.images[key]
	if k != nil && p.Code != "" { // an association does not know it
		k.code = p.Code
	}
	s.kept.mu.Unlock()
	if k == nil {
		return nil
	}
	k.asked.Store(time.Now().UnixNano())
	im, err := s.brought(ctx, k)
	if err != nil {
		if ctx.Err() == nil {
			s.kept.failed.Add(1)
			s.kept.drop(key)
		}
		return nil
	}
	if im != nil {
		s.kept.answered.Add(1)
	}
	return im
}

var errOutdated = errors.New("the database was started anew, or the image was not asked for too long")

// brought brings an image up to now. nil: so much has changed that it is done beside.
func (s *Store) brought(ctx context.Context, k *keptImage) (*tally.Image, error) {
	asked, st := time.Now(), k.state.Load()
	now, touched, known := heard(ctx, st)
	if !known {
		var err error
		if now, touched, err = news(ctx, s.pool, k.program.ID, &st.moment); err != nil {
			return nil, err
		}
	}
	if len(touched) == 0 {
		k.state.CompareAndSwap(st, &keptState{st.image, now})
		s.clearTouched(ctx, k, now)
		return st.image, nil
	}
	if len(touched) > mostAtOnce {
		s.catchUpBeside(ctx, k)
		return nil, nil
	}
	k.catching.Lock()
	defer k.catching.Unlock()
	if st := k.state.Load(); st.began.After(asked) { // somebody else has just read it
		return st.image, nil
	}
	return s.catchUp(ctx, k)
}

// catchUpBeside lets one catch up while the plays are asked.
func (s *Store) catchUpBeside(ctx context.Context, k *keptImage) {
	if !k.behind.CompareAndSwap(false, true) {
		return
	}
	s.kept.aside(ctx, func(ctx context.Context) {
		defer k.behind.Store(false)
		k.catching.Lock()
		defer k.catching.Unlock()
		if _, err := s.catchUp(ctx, k); err != nil && ctx.Err() == nil {
			s.kept.failed.Add(1)
			s.kept.drop(keyOf(&k.program))
		}
	})
}

// aside does something that no question waits for, until the store is closed.
func (k *keptPlays) aside(ctx context.Context, do func(context.Context)) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.ended.Err() != nil {
		return
	}
	ctx, cancel := context.WithCancel(context.WithoutCancel(ctx)) // it carries the program, for the walls
	stop := context.AfterFunc(k.ended, cancel)
	k.beside.Add(1)
	go func() {
		defer k.beside.Done()
		defer cancel()
		defer stop()
		do(ctx)
	}()
}

// wantImage is told how many plays a question was about that the database answered.
func (s *Store) wantImage(ctx context.Context, p *tags.Program, plays int) {
	if s.kept == nil || plays == 0 || ctx.Value(replicaKey{}) != nil {
		return
	}
	key := keyOf(p)
	k := s.kept
	k.mu.Lock()
	enough := k.wanted[key] >= worthKeeping
	if len(k.wanted) > 1000 { // made-up cut points
		clear(k.wanted)
	}
	k.wanted[key] += max(plays, leastOfOne)
	start := enough && !k.making && k.images[key] == nil && k.room > 0 && time.Now().After(k.refused[key])
	k.making = k.making || start
	k.mu.Unlock()
	if !start {
		return
	}
	k.aside(ctx, func(ctx context.Context) {
		made, err := s.makeImage(ctx, *p)
		k.mu.Lock()
		defer k.mu.Unlock()
		k.making = false
		switch {
		case err == nil:
			k.made.Add(1)
			k.images[key] = made
			k.evict(key)
		case ctx.Err() == nil:
			k.failed.Add(1)
			k.refused[key] = time.Now().Add(refusedFor)
		}
	})
}

func (k *keptPlays) drop(key keptKey) {
	k.mu.Lock()
	defer k.mu.Unlock()
	delete(k.images, key)
}

// evict drops what nobody has asked for, and then the longest not asked for, until what is
// left fits; all but the newest.
func (k *keptPlays) evict(newest keptKey) {
	keys := make([]keptKey, 0, len(k.images))
	bytes := 0
	for key, i := range k.images {
		keys = append(keys, key)
		bytes += i.state.Load().image.Bytes()
	}
	slices.SortFunc(keys, func(a, b keptKey) int {
		return cmp.Compare(k.images[a].asked.Load(), k.images[b].asked.Load())
	})
	for _, key := range keys {
		i := k.images[key]
		old := time.Since(time.Unix(0, i.asked.Load())) > keptFor
		if key != newest && (old || bytes > k.room) {
			bytes -= i.state.Load().image.Bytes()
			delete(k.images, key)
		}
	}
}
