package pages

import (
	"html/template"
	"sync"
	"time"
)

// TimeZones are those to choose from in the settings: of the continent where the game is
// taught most, west to east, then some where it is played too (IANA time zone database).
var TimeZones = []string{"Pacific/Honolulu", "America/Anchorage", "America/Los_Angeles", "America/Phoenix",
	"America/Denver", "America/Mexico_City", "America/Chicago", "America/New_York", "America/Toronto",
	"America/Halifax", "America/Puerto_Rico", "America/Sao_Paulo", "Europe/London", "Europe/Paris", "Europe/Berlin",
	"Europe/Vienna", "Europe/Helsinki", "Asia/Tokyo", "Australia/Sydney", "Pacific/Auckland"}

// Moment writes a time as a staff says it, on its own clock: Nov 27, 6:06 pm.
func Moment(t time.Time, at *time.Location) string { return t.In(at).Format("Jan 2, 3:04 pm") }

// Day writes a day without its year while it is this year's: Nov 27.
func Day(t time.Time, at *time.Location) string {
	t = t.In(at)
	if t.Year() == time.Now().In(at).Year() {
		return t.Format("Jan 2")
	}
	return t.Format("Jan 2, 2006")
}

// clocks are the templates by the clock they tell times on.
var clocks sync.Map

// templates are those that tell times on the program's clock.
func (s *Shell) templates() *template.Template {
	at := time.UTC
	if s.Program != nil {
		at = s.Program.Settings.Zone()
	}
	if t, ok := clocks.Load(at.String()); ok {
		return t.(*template.Template)
	}
	t := template.Must(templates.Clone()).Funcs(template.FuncMap{
		"day":    func(t time.Time) string { return Day(t, at) },
		"moment": func(t time.Time) string { return Moment(t, at) },
	})
	clocks.Store(at.String(), t)
	return t
}
