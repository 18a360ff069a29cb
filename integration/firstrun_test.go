package integration

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/xuri/excelize/v2"
)

// sheet writes a workbook as nobody prepared it: two lines of title, heads of an
// assistant's own, down and distance in one cell, words in his own writing. Invented.
func sheet(t *testing.T, plays int) string {
	t.Helper()
	f := excelize.NewFile()
	rows := [][]any{{"Film notes, week 3"}, {"kept on the bus"},
		{"Play #", "Per.", "Dn & Dist", "Ball on", "Hash mark", "Pers.", "Formation", "R or P",
			"What they ran", "Yds", "How it ended"}}
	sets, passes, runs := []string{"2x2", "3x1", "2x1"}, []string{"flood", "smash", "mesh", "stick"},
		[]string{"inside zone", "power"}
	for i := range plays {
		down, distance := 1+i%3, []int{10, 7, 4}[i%3]
		kind, what, end, gain := "R", runs[i%2], "rush", 3+i%4
		if i%5 > 1 {
			kind, what, end, gain = "P", passes[i%4], "complete", 6+i%7
			if i%4 == 0 {
				end, gain = "incomplete", 0
			}
		}
		rows = append(rows, []any{i + 1, 1 + 4*i/plays, fmt.Sprintf("%d & %d", down, distance), fmt.Sprint(-25 - i%20),
			[]string{"L", "M", "R"}[i%3], "11", sets[i%3], kind, what, gain, end})
	}
	for i, row := range rows {
		if err := f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row); err != nil {
			t.Fatal(err)
		}
	}
	name := filepath.Join(folder(t), "notes.xlsx")
	if err := f.SaveAs(name); err != nil {
		t.Fatal(err)
	}
	return name
}

// TestFirstRun begins with nothing: the first owner's link, a program, an opponent, a
// workbook nobody prepared, and ends at tendencies and the snaps behind them, by clicks
// and typing alone; it prints how many.
func TestFirstRun(t *testing.T) {
	file := sheet(t, 60)
	p := start(t, database(t))
	link := ownerLink(t, p)
	ctx, ask := browser(t)
	begun, clicks := time.Now(), 0
	do := func(steps ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, steps...); err != nil {
			t.Fatalf("%v at %s: %s", err, ask(`location.pathname`), ask(`document.querySelector("main").innerText`))
		}
	}
	click := func(what, then string) {
		t.Helper()
		clicks++
		do(chromedp.Click(what), chromedp.WaitVisible(then))
	}
	do(chromedp.EmulateViewport(1366, 900), chromedp.Navigate(p.url+link), chromedp.WaitVisible("[name=program_name]"),
		chromedp.SendKeys("[name=program_name]", "Our staff"), chromedp.SendKeys("[name=program_code]", "ours"),
		chromedp.SendKeys("[name=login]", "head"), chromedp.SendKeys("[name=name]", "Invented head"),
		chromedp.SendKeys("[name=password]", "a sentence nobody else says"))
	click("button.main", `a[href="/programs/ours"]`)
	click(`a[href="/programs/ours"]`, `a[href$="/opponents/new"]`)
	keep(t, ctx, "first-home-1366-light")
	click(`a[href$="/opponents/new"]`, "[name=name]")
	do(chromedp.SendKeys("[name=name]", "Larch"))
	click("form.form button.main", ".week")
	click(`.steps a[href$="/tags"]`, `a[href*="/import"]`)
	click(`a[href*="/import"]`, "#file")
	do(chromedp.SendKeys("#game", "Week 3"))
	clicks++ // the file is chosen
	do(chromedp.SetUploadFiles("#file", []string{file}), chromedp.WaitVisible("#store"))
	if sum := ask(`document.getElementById("sum").textContent`); !strings.HasPrefix(sum, "60 plays can be saved.") {
		t.Errorf("%s; problems: %s", sum, ask(`document.getElementById("problems").innerText`))
	}
	// Three heads nobody could guess are said on screen what they are.
	for head, is := range map[string]string{"Per.": "quarter", "What they ran": "concept", "How it ended": "result"} {
		clicks += 2
		unread := `document.querySelector('#columns select[aria-label="Column ` + head + ` is"]')`
		ask(`(s => { s.value = "` + is + `"; s.dispatchEvent(new Event("change")); return ""; })(` + unread + `)`)
		if _, err := chromedp.Run(ctx, chromedp.Poll[bool](unread+`.value === "`+is+`" && `+unread+
			`.closest("tr").textContent.includes("you said so")`)); err != nil {
			t.Fatalf("%s is %s: %v", head, is, err)
		}
	}
	keep(t, ctx, "first-import-1366-light")
	click("#store", "#done a")
	click("#done a", "table.tall tbody tr")
	keep(t, ctx, "first-tendencies-1366-light")
	took := time.Since(begun)
	t.Logf("from the first owner's link to tendencies: %d clicks, %.0f s", clicks, took.Seconds())
	if took > 10*time.Minute {
		t.Errorf("it took %s", took)
	}
	if n := ask(`document.querySelector(".head .quiet").textContent`); !strings.Contains(n, "60 counted plays") {
		t.Errorf("the tendencies say %q", n)
	}
	n := ask(`document.querySelector("table.tall td a").textContent`)
	click("table.tall td a", "table.stack tbody tr")
	if rows := ask(`String(document.querySelectorAll("table.stack tbody tr").length)`); rows != n {
		t.Errorf("%s snaps behind a row of %s plays", rows, n)
	}
	click("table.stack a.button", ".tagging")
}
