package site

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/record"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/wiringsheet"
	"voltwright/internal/wiring"
)

// What the page of the wiring in full prints of every lead is what the solution says, to the digits printed; so is what
// the two files beside the version's page hold, to six digits.
func TestNumbersOfTheWiring(t *testing.T) {
	near := func(text string, want, step float64) bool {
		got, err := strconv.ParseFloat(strings.ReplaceAll(text, "−", "-"), 64)
		return err == nil && math.Abs(got-want) <= step/2+1e-12
	}
	same := func(got *float64, want float64) bool {
		return got != nil && math.Abs(*got-want) <= 1e-5*math.Abs(want)+1e-300
	}
	compared := 0
	eachCircuit(t, func(t *testing.T, in reading.Input, w *wiring.Analysis, p *frame.Pages, docs map[string]*document) {
		var record record.Wiring
		data, err := p.Bytes("cart/2-second/" + wiringsheet.WiringFile)
		if err == nil {
			err = json.Unmarshal(data, &record)
		}
		if err != nil || len(record.Points) != len(w.Solutions) || len(record.Verdicts) != len(w.Verdicts) || len(record.Cut) != len(w.Whips) {
			t.Fatalf("the record has %d points, %d verdicts and %d leads: %v", len(record.Points), len(record.Verdicts), len(record.Cut), err)
		}
		data, err = p.Bytes("cart/2-second/" + wiringsheet.PointsFile)
		if err != nil {
			t.Fatal(err)
		}
		table, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		line := 1
		for k, sol := range w.Solutions {
			page := rows(t, docs["cart/2-second/wiring/index.html"], "table-leads-"+wiringsheet.AnchorWords(sol.Point.Name))
			for i, l := range sol.Leads {
				name := w.Whips[i].Label
				cells := page[name]
				if len(cells) != 4 {
					t.Fatalf("%s: %d cells at %s", name, len(cells), sol.Point.Name)
				}
				if !near(text(cells[1]), float64(l.Current), 0.01) || !near(text(cells[2]), 1000*float64(l.Drop), 0.1) || !near(text(cells[3]), float64(l.Heat), 0.01) {
					t.Errorf("%s at %s: %s A, %s mV, %s W; want %v, %v, %v", name, sol.Point.Name, text(cells[1]), text(cells[2]), text(cells[3]), l.Current, l.Drop, l.Heat)
				}
				r := record.Points[k].Leads[i]
				if r.Name != name || !same(r.Current, float64(l.Current)) || !same(r.Drop, float64(l.Drop)) || !same(r.Heat, float64(l.Heat)) {
					t.Errorf("%s at %s: the record says %+v", name, sol.Point.Name, r)
				}
				if row := table[line]; row[0] != sol.Point.Name || row[2] != name || !near(row[5], float64(l.Current), 2e-5*math.Abs(float64(l.Current))) {
					t.Errorf("%s at %s: the table says %q", name, sol.Point.Name, row)
				}
				line++
				compared++
			}
			line += len(sol.Inside)
		}
		if line != len(table) {
			t.Errorf("the table has %d lines, want %d", len(table), line)
		}
	})
	if compared < 500 {
		t.Errorf("only %d leads were compared", compared)
	}
}

// The share that each pack in parallel gives, and what is lost on the way to each load, stand on the version's page.
func TestSharesAndLosses(t *testing.T) {
	in, w := wiredInput(t, "06-two-packs")
	p, _ := build(t, in)
	page := rows(t, documents(t, p)["cart/2-second/index.html"], "table-operating-points")
	sol := w.Solutions[0]
	for head, cells := range page {
		if !strings.HasPrefix(head, sol.Point.Name) {
			continue
		}
		var total float64
		for _, pack := range sol.Packs {
			want := fmt.Sprintf("%.1f %%", 100*float64(pack.Current)/float64(sol.Packs[0].Current+sol.Packs[1].Current))
			if !strings.Contains(text(cells[0]), want) {
				t.Errorf("the share %s is not in %q", want, text(cells[0]))
			}
			total += float64(pack.Share)
		}
		if math.Abs(total-1) > 1e-9 {
			t.Errorf("the shares make %v", total)
		}
		for _, load := range sol.Loads {
			if !strings.Contains(text(cells[1]), numeral.ComputedValue(load.Drop).Whole) || !strings.Contains(text(cells[1]), numeral.PercentOf(float64(load.Share)).Whole) {
				t.Errorf("what is lost to %s is not in %q", w.Circuit.Parts[load.Part].Name, text(cells[1]))
			}
		}
		return
	}
	t.Errorf("no row for %s", sol.Point.Name)
}

// Wiring with a fault in it gives a page that says so, with the drawing and the cut list and without a number that is
// none.
func TestWiringWithAFault(t *testing.T) {
	in, w := wiredInput(t, "02-barrow-fuse")
	faulty := *w.Circuit
	faulty.Leads = append([]circuit.Lead{{From: circuit.Terminal{Part: "nowhere", Name: "x"}, To: faulty.Leads[0].To}}, faulty.Leads...)
	in.Results.Circuits["cart/2-second"] = wiring.Compute(&faulty, nil)
	p, _ := build(t, in)
	docs := documents(t, p)
	if body := text(docs["cart/2-second/index.html"].root); !strings.Contains(body, "Nothing is computed: the wiring is written wrong.") {
		t.Error("the page does not say that the wiring is written wrong")
	}
	if p.Has("cart/2-second/wiring/index.html") || !p.Has("cart/2-second/bench-sheet/index.html") {
		t.Error("a page of what was not computed, or none of the leads")
	}
}
