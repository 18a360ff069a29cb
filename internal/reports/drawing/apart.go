package drawing

import "overhang/internal/reports/ink"

// beside is which part of two symbols' widths lies between them at least, so that both are seen.
const beside = 0.85

// apart finds where the symbols of the men go: where they stand, but that defenders of whom one
// would hide the other stand side by side. The one it is about stays where he is.
func (sh *sheet) apart() {
	men := sh.scene.Men
	for i := range men {
		sh.stands = append(sh.stands, sh.at(men[i].At))
	}
	for range 3 { // who is moved out of one man's way may be in another's
		for j := range men {
			for i := range j {
				sh.part(i, j)
			}
		}
	}
}

// part moves two men away from each other as far as they lack.
func (sh *sheet) part(i, j int) {
	way := sh.stands[j].Sub(sh.stands[i])
	lack := beside*(sh.half(i)+sh.half(j)) - way.Len()
	if sh.half(i) == 0 || sh.half(j) == 0 || lack <= 0 {
		return
	}
	if way = way.Unit(); way == (ink.Spot{}) {
		way = ink.At(1, 0)
	}
	share := 0.5
	switch {
	case sh.told(i):
		share = 0
	case sh.told(j):
		share = 1
	}
	sh.stands[i] = sh.stands[i].Sub(way.Times(share * lack))
	sh.stands[j] = sh.stands[j].Add(way.Times((1 - share) * lack))
}

// half is half the width of a defender's symbol, 0 of anybody else.
func (sh *sheet) half(i int) float64 {
	m := &sh.scene.Men[i]
	if m.Away || m.Kind != Defender && m.Kind != Rusher {
		return 0
	}
	return sh.shieldWidth(sh.radius(m.Kind), m.Mark)
}
