package tendency

// Success says whether a gain was enough on its down: percent of the distance
// on 1st, 2nd and 3rd or 4th down, in whole numbers so that 0.6 x 5 is 3; a
// touchdown always is. The boundary counts as success. down is 1 to 4.
func Success(down, distance, gain int, touchdown bool, percent [3]int) bool {
	return touchdown || 100*gain >= distance*percent[min(down, 3)-1]
}

// Needed returns the smallest whole gain that is a success.
func Needed(down, distance int, percent [3]int) int {
	p := percent[min(down, 3)-1]
	return (distance*p + 99) / 100
}

// Explosive says whether a gain counts as explosive; every staff has its own
// thresholds, so they are asked for. The boundary counts.
func Explosive(pass bool, gain, runYd, passYd int) bool {
	if pass {
		return gain >= passYd
	}
	return gain >= runYd
}
