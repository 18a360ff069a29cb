package intake

import (
	"regexp"
	"strings"

	"overhang/internal/spell"
)

// heads says what a column's head usually means, most likely first: ordinary
// words of the trade (common practice, no source). The values decide between
// several. A field in angle brackets is nothing a play keeps by itself.
var heads = func() map[string][]string {
	m := map[string][]string{}
	for _, line := range strings.Split(strings.TrimSpace(`
number: number; no; play number; play no; snap; snap number; snap no; play; num; nr
quarter: quarter; qtr; q; period; qt
clock_s: clock; time; time left; game clock; game time; time remaining
down: down; dn; d; downs
distance_yd: distance; dist; to go; togo; yards to go; yds to go; ytg; yards needed; need; dis
<down and distance>: down and distance; down distance; d d; dd; d and d; down dist; down to go; situation; dn dist; d and dist; down and dist
<spot>: ball on; spot; ball spot; yard line; yardline; yd line; field position; field pos; line of scrimmage; los; ball; position; ball position; start; yl; from
<spot>: yard; yd
yards_to_goal: yards to goal; yards to goal line; to goal; to the goal line; yards to end zone; yds to goal
<half>: side of field; territory; half of field; field side; own opp; own or opp
hash: hash; hash mark; hashmark; ball hash; hash side
personnel: personnel; pers; grouping; group; grp; people; personnel group; personnel grouping; package
set_name: formation; set; form; formation name; alignment; look; offensive set; fmn
set_name: receivers; receiver set; wr set; receiver distribution; distribution
strength: strength; strong side; strong; str; formation strength; strength call; set strength; strength side; formation side
backfield: backfield; back; backs; back set; backfield set; qb; qb alignment; qb depth
motion: motion; mot; shift; motion shift; shift motion; motion type
called: r p; run pass; run or pass; p r; pass run; rp; type; play type; kind; call type; play; run pass rpo; r or p; type of play; category
family: family; play family; pass type; action; dropback
concept: concept; play; play call; play name; pass concept; run concept; route concept; play concept; scheme; run scheme; call; name of play; play ran; play run; type; play type; run play; pass play; routes; route combo; combination; pass; run; blocking; run type
play_side: play side; side; direction; dir; to side; to; side of play; play direction; play dir; run to; ran to; left right; l r; which side; run direction; pass direction; where
result: result; outcome; what happened; end; play result; res; result of play
gain_yd: gain; yards; yards gained; gain loss; yds; gained; net; net yards; yds gained; g l; plus minus; yards gain; result; gain or loss; loss gain; yardage; total yards
touchdown: touchdown; td; touchdown scored
coverage: coverage; cov; cover; shell; secondary; our coverage; def coverage; coverage seen; def call; defense call; coverage called; call
coverage: coverage faced; defense faced; coverage played; coverage shown; coverage run
shell: shell; safeties; high safeties
rushers: rushers; number of rushers; rush; men rushing
blitzers: blitzers; number of blitzers
score_margin: score margin; margin; score difference; score diff; lead; ahead behind
<opponent>: opponent; team; offense; opp; club; offense team; opponent name; scouted; team name; school
<versus>: versus; vs; against; defense; played against; their opponent; opponent; playing
<date>: date; game date; day; played; date of game; played on; game day
<season>: season; year
<week>: week; wk; game week; week no; week number
<game>: game; game no; game name; contest; match; game number; film
<nothing>: series; drive; possession; drive number; series number; drive no; series no; front; def front; defensive front; blitz; stunt; pressure; protection; success; efficient; first down; explosive
<date>: game
number: play
note: note; notes; comment; comments; remarks; remark; memo`), "\n") {
		field, words, _ := strings.Cut(line, ": ")
		for _, w := range strings.Split(words, "; ") {
			m[w] = append(m[w], field)
		}
	}
	return m
}()

var (
	inBrackets = regexp.MustCompile(`\([^)]*\)|\[[^\]]*\]`)
	notWord    = regexp.MustCompile(`[^a-z0-9]+`)
	leading    = regexp.MustCompile(`^(offense|offensive|off|their|the|def|defensive|our|ball|pre snap) `)
	trailing   = regexp.MustCompile(` (yds|yards|name|called|call|seen|no|number|ran|used|of play|of the play)$`)
)

// shortened are words of heads as they are cut short (common practice, no source).
var shortened = map[string]string{"yd": "yard", "yds": "yards", "ln": "line", "gn": "gain", "ls": "loss",
	"conc": "concept", "cncpt": "concept", "frm": "formation", "pt": "play type", "pl": "play number", "ply": "play",
	"bf": "backfield", "bkfld": "backfield", "opponnt": "opponent", "rslt": "result", "hsh": "hash", "dwn": "down",
	"dst": "distance", "per": "personnel", "prsnl": "personnel", "cvg": "coverage", "mtn": "motion", "stren": "strength",
	"pos": "position", "fld": "field", "qrtr": "quarter", "gm": "game", "dt": "date"}

// choices are the letters a head lists behind it: "hash l m r" of "Hash L/M/R".
var choices = regexp.MustCompile(`( [a-z])+$`)

func spelledOut(head string) string {
	ws := strings.Fields(head)
	for i, w := range ws {
		if long := shortened[w]; long != "" {
			ws[i] = long
		}
	}
	return strings.Join(ws, " ")
}

// headWords brings a head to the form the table has.
func headWords(s string) string {
	s = strings.ToLower(inBrackets.ReplaceAllString(s, " "))
	s = strings.NewReplacer("#", " number ", "&", " and ", "'s", "").Replace(s)
	s = strings.TrimSpace(notWord.ReplaceAllString(s, " "))
	if s == "d and d" {
		return "d d"
	}
	return s
}

// meanings lists what a head may stand for; misspelt is the word it was taken
// for where it is one letter off.
func meanings(head string) (fields []string, misspelt string) {
	w := headWords(head)
	if w == "" || len(w) > 40 {
		return nil, ""
	}
	long := spelledOut(w)
	for _, try := range []string{w, leading.ReplaceAllString(w, ""), trailing.ReplaceAllString(w, ""),
		trailing.ReplaceAllString(leading.ReplaceAllString(w, ""), ""), long, choices.ReplaceAllString(w, ""),
		choices.ReplaceAllString(long, "")} {
		if f := heads[try]; f != nil {
			return f, ""
		}
	}
	if len(w) < 5 {
		return nil, ""
	}
	found := ""
	for known := range heads {
		if len(known) >= 5 && spell.Edits(w, known) == 1 && (found == "" || known < found) {
			found = known
		}
	}
	return heads[found], found
}
