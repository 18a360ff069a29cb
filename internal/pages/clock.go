package pages

import "time"

// TimeZones are those to choose from in the settings: of the continent where the game is
// taught most, west to east, then some where it is played too (IANA time zone database).
var TimeZones = []string{"Pacific/Honolulu", "America/Anchorage", "America/Los_Angeles", "America/Phoenix",
	"America/Denver", "America/Mexico_City", "America/Chicago", "America/New_York", "America/Toronto",
	"America/Halifax", "America/Puerto_Rico", "America/Sao_Paulo", "Europe/London", "Europe/Paris", "Europe/Berlin",
	"Europe/Vienna", "Europe/Helsinki", "Asia/Tokyo", "Australia/Sydney", "Pacific/Auckland"}

// Moment writes a time as a staff says it, on its own clock: Nov 27, 6:06 pm.
func Moment(t time.Time, at *time.Location) string { return t.In(at).Format("Jan 2, 3:04 pm") }
