package pages

import (
	"strings"
	"testing"

	"overhang/internal/ask"
	"overhang/internal/tags"
)

// TestMistakesAreToldBySituation in the page's words, each at the situation it was entered for.
func TestMistakesAreToldBySituation(t *testing.T) {
	t.Parallel()
	entered := ask.Choices{{Situation: "1st and 10"}, {Situation: "3rd and 5"}}
	err := &tags.Error{Kind: tags.Invalid, Fields: []tags.FieldError{{Field: "choices[0].calls", Msg: "x"},
		{Field: "choices[1].calls[0].share", Msg: "x"}, {Field: "choices[1].note", Msg: "is longer than 2000 characters"},
		{Field: "choices[11].note", Msg: "x"}, {Field: "label", Msg: "x"}}}
	got := mistakes(entered, err)
	if a, b := strings.Join(got["1st and 10"], "|"), strings.Join(got["3rd and 5"], "|"); len(got) != 2 ||
		a != "The shares come to more than 100%." ||
		b != "A share is a number from 0 to 100.|The note: is longer than 2000 characters." {
		t.Errorf("%q", got)
	}
	if got = mistakes(entered, nil); len(got) != 0 {
		t.Errorf("nothing is wrong: %q", got)
	}
}

// TestSources: a policy lets in the films' own hosts, each once; nothing that is no host of the
// web can stand in it and end it (Content Security Policy 3, 2.3.1: host-source).
func TestSources(t *testing.T) {
	t.Parallel()
	var films []tags.Film
	for _, at := range []string{"/srv/a.mp4", "https://film.example/a.mp4", "https://film.example/b.mp4",
		"http://10.0.0.7:8080/c.mp4",
		"ftp://film.example/a", "https://a.example;script-src *//x", "https://a b.example/x", "https://user@evil.example/x",
		"https://*/x", "javascript://x.example/%0aalert", "https:///x", "https://x.example:port/"} {
		films = append(films, tags.Film{Location: at})
	}
	got := strings.Join(sources(films), " ")
	if got != "'self' https://film.example http://10.0.0.7:8080 https://evil.example" {
		t.Error(got)
	}
}
