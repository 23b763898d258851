package site

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/circuit/circuittest"
	"voltwright/internal/site/wiringsheet"
	"voltwright/internal/wiring"
)

// A version whose wiring differs from that of the version before says so in a drawing of the change, in the cut list, on the bench sheet and
// in the table file; one that changes nothing, and one whose version before has no wiring, shows no such drawing.
func TestRevisionStandsWhereItIsMade(t *testing.T) {
	all, err := circuittest.All()
	if err != nil {
		t.Fatal(err)
	}
	x := all[0]
	made := func(change func(*circuit.Circuit)) (map[string]*document, *wiring.Analysis, [][]string, bool) {
		in, now := wiredInput(t, x.Name)
		if change != nil {
			old := &circuit.Circuit{Parts: slices.Clone(x.Circuit.Parts), Leads: slices.Clone(x.Circuit.Leads)}
			change(old)
			in.Results.Circuits["cart/1-first"] = wiring.Compute(old, nil)
		}
		p, found := build(t, in)
		for _, f := range found {
			t.Error(f.Text)
		}
		data, err := p.Bytes("cart/2-second/" + wiringsheet.CutListFile)
		if err != nil {
			t.Fatal(err)
		}
		file, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		return documents(t, p), now, file, p.Has("cart/2-second/" + wiringsheet.ChangeDrawing + ".svg")
	}
	shown := func(docs map[string]*document) (alt string) {
		for _, n := range elements(docs["cart/2-second/index.html"].root) {
			if n.Data == "img" && strings.HasSuffix(attribute(n, "src"), wiringsheet.ChangeDrawing+".svg") {
				if attribute(n, "loading") != "lazy" {
					t.Error("the drawing is loaded at once")
				}
				alt = attribute(n, "alt")
			}
		}
		return alt
	}
	for name, change := range map[string]func(*circuit.Circuit){"none before": nil, "nothing changed": func(*circuit.Circuit) {}} {
		docs, _, file, drawn := made(change)
		if drawn || shown(docs) != "" {
			t.Errorf("%s: a change is drawn", name)
		}
		want := "keep"
		if change == nil {
			want = ""
		}
		for _, row := range file[1:] {
			if row[len(row)-1] != want {
				t.Errorf("%s: %q", name, row)
			}
		}
	}
	// Before, the first lead was longer, and there was one more lead beside the last.
	docs, now, file, drawn := made(func(c *circuit.Circuit) {
		c.Leads[0].Length += 0.2
		extra := c.Leads[len(c.Leads)-1]
		extra.Label, extra.Length = "spare", 0.77
		c.Leads = append(c.Leads, extra)
	})
	first, last := now.Whips[0].Label, now.Whips[len(now.Whips)-1].Label
	if alt := shown(docs); !drawn || !strings.Contains(alt, "Leads to take out: "+first) || !strings.Contains(alt, "spare") || !strings.Contains(alt, "Leads to make up: "+first) {
		t.Errorf("drawn %v, and says %q", drawn, alt)
	}
	fates := map[string]string{}
	for _, row := range file[1:] {
		fates[row[0]+" "+row[len(row)-1]] = row[0]
	}
	for _, want := range []string{first + " make up", first + " take out", "spare take out", last + " keep"} {
		if fates[want] == "" {
			t.Errorf("the file does not say %q", want)
		}
	}
	if len(file)-1 != len(now.Whips)+2 {
		t.Errorf("%d rows for %d leads and two that are taken out", len(file)-1, len(now.Whips))
	}
	for _, page := range []string{"cart/2-second/index.html", "cart/2-second/bench-sheet/index.html"} {
		said := text(docs[page].root)
		if !strings.Contains(said, "2 leads to take out, 1 to make up, ") || !strings.Contains(said, "Take out, by the numbers that they had: "+first+", spare.") {
			t.Errorf("%s does not say what to take out", page)
		}
	}
	for label, stays := range map[string]bool{first: false, last: true} {
		cells := rows(t, docs["cart/2-second/bench-sheet/index.html"], "table-cut-list")[label]
		if len(cells) != 8 || (strings.TrimSpace(text(cells[6])) == "stays") != stays {
			t.Errorf("bench sheet, %s: stays is not %v", label, stays)
		}
	}
}
