package site

import (
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

func twoVersions(t testing.TB) reading.Input {
	return input(t, written(t, map[string]string{
		"journal.yaml":    "title: A book\ncurrency: EUR\nmaker: {name: A maker}\nunits: [metric]\n",
		"cart/vehicle.md": "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\nstate: retired\npacks: [{chemistry: lfp, series: 7, capacity: 11 Ah}]\n" +
			"cutout: {opens: 19.4 V}\nmasses: {vehicle: 31 kg, payload: 40 kg}\n---\n",
		"cart/2-second/version.md": "---\nkind: version\nname: Second\nfollows: 1-first\ndate: 2026-02-02\nstate: running\npacks: [{chemistry: lfp, series: 7, capacity: 13 Ah}]\n" +
			"masses: {vehicle: 31 kg, payload: 40 kg}\n" +
			"parts:\n  - {name: fuse, quantity: 3, price: 0.10}\n  - {name: wire, price: 12.05}\n  - {name: meter, price: 20, currency: USD}\n  - {name: tape}\n---\n",
		"cart/2-second/run-1.md": "---\nkind: run\ntype: bench\nname: Once\ndate: 2026-02-03\nreadings:\n  - {at: 0 min, voltage: 23.4 V}\n  - {at: 10 min, voltage: 23.0 V}\n---\n",
	}))
}

// rows are the cells of a table's rows, by the text of the row's head.
func rows(t *testing.T, d *document, table string) map[string][]*html.Node {
	t.Helper()
	out := map[string][]*html.Node{}
	for _, n := range elements(d.root) {
		if n.Data != "table" || attribute(n, "id") != table {
			continue
		}
		for _, tr := range elements(n) {
			if tr.Data != "tr" {
				continue
			}
			head := ""
			var cells []*html.Node
			for c := range tr.ChildNodes() {
				if c.Data == "th" && attribute(c, "scope") == "row" {
					head = text(c)
				}
				if c.Data == "td" {
					cells = append(cells, c)
				}
			}
			out[head] = cells
		}
	}
	if len(out) == 0 {
		t.Fatalf("%s has no table %s", d.path, table)
	}
	return out
}

func TestSpecsSideBySide(t *testing.T) {
	p, _ := build(t, twoVersions(t))
	docs := documents(t, p)
	for _, page := range []string{"cart/index.html", "cart/2-second/index.html"} {
		got := rows(t, docs[page], "table-spec")
		for head, want := range map[string]struct {
			cells   []string
			changed bool
		}{
			"Capacity":           {[]string{"11 Ah", "13 Ah"}, true},
			"Cells":              {[]string{"7 in series, 1 in parallel", "7 in series, 1 in parallel"}, false},
			"Nominal voltage":    {[]string{"22.4 V", "22.4 V"}, false}, // 7 · 3.2 V
			"Energy":             {[]string{"246.4 Wh", "291.2 Wh"}, true},
			"Opens":              {[]string{"19.4 V", "not stated"}, true},
			"Opens, of one cell": {[]string{"2.771 V", "not stated"}, true}, // 19.4 V / 7
			"Together":           {[]string{"71 kg", "71 kg"}, false},
		} {
			cells := got[head]
			if len(cells) != 2 {
				t.Errorf("%s: %q has %d cells", page, head, len(cells))
				continue
			}
			for i, c := range cells {
				if text(c) != want.cells[i] {
					t.Errorf("%s: %q says %q, want %q", page, head, text(c), want.cells[i])
				}
			}
			if changed := attribute(cells[1], "class") == "new"; changed != want.changed {
				t.Errorf("%s: %q is marked as changed: %v", page, head, changed)
			}
		}
	}
}

// Money is counted exactly and by currency: 3 · 0.10 + 12.05 is 12.35.
func TestPartsAddUp(t *testing.T) {
	p, _ := build(t, twoVersions(t))
	d := documents(t, p)["cart/2-second/index.html"]
	var totals []string
	for _, n := range elements(d.root) {
		if n.Data == "tr" && n.Parent.Data == "tfoot" {
			totals = append(totals, text(n))
		}
	}
	if want := []string{"What the vehicle as it stands cost, without 1 part of unknown price12.35 EUR", "What the vehicle as it stands cost, without 1 part of unknown price20.00 USD"}; !slices.Equal(totals, want) {
		t.Errorf("totals %q", totals)
	}
	if got := rows(t, d, "table-parts")["fuse"]; text(got[len(got)-1]) != "0.30 EUR" || text(got[len(got)-2]) != "0.10 EUR" {
		t.Errorf("three fuses cost %q", text(got[len(got)-1]))
	}
}

// A callout stands on the page that it concerns and on that page's version, the most serious first, and no page of the
// site says "clean" that has one.
func TestCalloutsStandWhereTheyBelong(t *testing.T) {
	in := twoVersions(t)
	second := in.Journal.Vehicles[0].Versions[1]
	in.Findings = []finding.Finding{
		{Rule: "a-rule", Level: finding.Warning, Signal: finding.Caution, Span: second.Runs[0].Note.Whole(), Text: "the run was hot", Remedy: "wait."},
		{Rule: "a-rule", Level: finding.Warning, Signal: finding.Danger, Span: second.Note.Whole(), Text: "it has no fuse"},
		{Rule: "a-rule", Level: finding.Note, Span: second.Note.Whole(), Text: "a remark"},
	}
	p, _ := build(t, in)
	docs := documents(t, p)
	signals := func(page string) (out []string, says, block string) {
		for _, n := range elements(docs[page].root) {
			if strings.HasPrefix(attribute(n, "class"), "signal ") {
				out = append(out, text(n))
			}
			if n.Data == "dt" && text(n) == "Inspected" {
				block = text(n.Parent)
			}
			if attribute(n, "class") == "told" {
				says += text(n)
			}
		}
		return out, says, strings.TrimPrefix(block, "Inspected")
	}
	for page, want := range map[string]struct {
		signals []string
		block   string
	}{
		"cart/2-second/index.html":       {[]string{"DANGER", "CAUTION"}, "2 warnings, 1 note"},
		"cart/2-second/run-1/index.html": {[]string{"CAUTION"}, "1 warning"},
		"cart/1-first/index.html":        {nil, "clean"},
		"index.html":                     {nil, "2 warnings, 1 note"},
	} {
		got, says, block := signals(page)
		if !slices.Equal(got, want.signals) || block != want.block {
			t.Errorf("%s: %v, inspected %q", page, got, block)
		}
		if len(want.signals) == 1 && !strings.Contains(says, "The run was hot.Wait.") {
			t.Errorf("%s: says %q", page, says)
		}
	}
	if body := text(docs["cart/2-second/index.html"].root); !strings.Contains(body, "A remark.") {
		t.Error("a finding that is no callout is not on its page")
	}
}

// A journal that names its units without US customary shows none.
func TestUnitsOfTheJournal(t *testing.T) {
	in := twoVersions(t)
	p, _ := build(t, in)
	if body := text(documents(t, p)["cart/2-second/index.html"].root); strings.Contains(body, "lb") {
		t.Error("pounds in a journal that is metric alone")
	}
	in.Journal.Units = nil
	p, _ = build(t, in)
	if body := text(documents(t, p)["cart/2-second/index.html"].root); !strings.Contains(body, "71 kg or 157 lb") {
		t.Error("no pounds in a journal that leaves the units open")
	}
}

func TestNumerals(t *testing.T) {
	for _, c := range []struct {
		q                       quantity.Quantity
		whole, integer, decimal string
	}{
		{quantity.Quantity{Dimension: quantity.Voltage, Value: 23.137, U: 0.03, Decimals: -1}, "(23.14 ± 0.06) V", "23", ".14"},
		{quantity.Quantity{Dimension: quantity.Current, Value: -2.582, U: 0.013, Decimals: -1}, "(−2.582 ± 0.026) A", "−2", ".582"},
		{quantity.Quantity{Dimension: quantity.Time, Value: 4058, U: 1, Decimals: -1}, "1 h 7 min 38.0 s ± 2.0 s", "1 h 7 min 38.0 s", ""},
	} {
		n := numeral.Printed(c.q, numeral.Measured, "")
		if n.Whole != c.whole || n.Int != c.integer || n.Frac != c.decimal {
			t.Errorf("%v: %q, split %q %q", c.q.Value, n.Whole, n.Int, n.Frac)
		}
	}
	column := []*numeral.Numeral{{Int: "9", Frac: ".61"}, {Int: "231", Frac: ".4"}, {Int: "58"}}
	numeral.Align(column)
	for _, n := range column {
		if n.Width != "f2" {
			t.Errorf("%s%s has the width %q in a column of two decimals", n.Int, n.Frac, n.Width)
		}
	}
	for text, want := range map[string]string{"the pack is hot": "The pack is hot.", "pause-after is short": "pause-after is short.", "7 cells": "7 cells.", "Done.": "Done.", "": ""} {
		if got := numeral.Sentence(text); got != want {
			t.Errorf("sentence %q became %q", text, got)
		}
	}
}

// Every page with a spec carries the cautions that go with its packs and defers to local codes and licensed practice.
func TestPagesWithASpecCarryCautions(t *testing.T) {
	const lithium, lead = "Charge lithium-ion packs only", "they give off hydrogen"
	p, _ := build(t, input(t, demoJournal))
	said := map[string]string{}
	for _, d := range documents(t, p) {
		if d.ids["table-spec"] == 0 {
			continue
		}
		said[d.path] = ""
		for _, n := range elements(d.root) {
			if attribute(n, "id") == "cautions" {
				said[d.path] = text(n)
			}
		}
		if !strings.Contains(said[d.path], "Local codes") || !strings.Contains(said[d.path], "licensed trade") {
			t.Errorf("%s has a spec and defers to nobody", d.path)
		}
	}
	for page, want := range map[string][2]bool{
		"shunter/index.html": {true, true}, "shunter/1-lead-acid/index.html": {false, true}, "shunter/2-lifepo4/index.html": {true, false}, "barrow/index.html": {true, false},
	} {
		if got := [2]bool{strings.Contains(said[page], lithium), strings.Contains(said[page], lead)}; got != want {
			t.Errorf("%s: cautions for lithium and for lead %v, want %v", page, got, want)
		}
	}
}
