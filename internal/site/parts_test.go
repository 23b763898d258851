package site

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/partslist"
	"voltwright/internal/site/reading"
)

func listed(t testing.TB) reading.Input {
	return input(t, written(t, map[string]string{
		"journal.yaml":    "title: A book\ncurrency: EUR\nmaker: {name: A maker}\nunits: [metric]\n",
		"cart/vehicle.md": "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\nstate: retired\n" +
			"parts:\n  - {name: Blade  fuse, quantity: 3, price: 0.10, mass: 4 g}\n  - {name: meter, price: 20, currency: USD}\n  - {name: tray, price: 7.50, mass: 1.2 kg}\n  - {name: tape}\n---\n",
		"cart/2-second/version.md": "---\nkind: version\nname: Second\nfollows: 1-first\ndate: 2026-02-02\nstate: running\n---\n[The list](parts.csv)\n",
		"cart/2-second/parts.csv": "name,quantity,price,currency,mass,link,pays-the-maker,substitute\n" +
			"blade fuse,5,0.125,,4 g,https://example.org/fuse,true,any of that kind\n\"wire, red\",2,12.05,,,https://example.org/wire,,\nmeter,,21,USD,,,,\ntape,,,,,,,\n",
	}))
}

// What became of the parts, by hand: three fuses are kept and two more bought, 2 · 0.125 = 0.25; wire 2 · 12.05 = 24.10,
// together 24.35. The tray went, for which 7.50 had been paid. As it stands: 3 · 0.10 + 0.25 + 24.10 = 24.65, and the
// meter's 20 dollars. Masses: five fuses of 4 g.
func TestWhatChangedOnThePartsList(t *testing.T) {
	p, _ := build(t, listed(t))
	docs := documents(t, p)
	d := docs["cart/2-second/index.html"]
	got := rows(t, d, "table-parts-change")
	for head, want := range map[string][]string{
		"blade fuse": {"bought", "", "2 × 0.125 EUR", "0.25 EUR"},
		"wire, red":  {"bought", "", "2 × 12.05 EUR", "24.10 EUR"},
		"tray":       {"taken off, by the list", "1 × 7.50 EUR", "", "0.00 EUR"},
	} {
		cells := got[head]
		if len(cells) != 4 {
			t.Errorf("%q has %d cells", head, len(cells))
			continue
		}
		for i, c := range cells {
			if text(c) != want[i] {
				t.Errorf("%q says %q, want %q", head, text(c), want[i])
			}
		}
	}
	for _, same := range []string{"tape", "meter"} {
		if _, ok := got[same]; ok {
			t.Errorf("%s is as it was and is listed as changed", same)
		}
	}
	body := text(d.root)
	for _, want := range []string{
		"What the change cost24.35 EUR", "What the vehicle as it stands cost, without 1 part of unknown price24.65 EUR", "20.00 USD", "What had been paid for the parts that were taken off7.50 EUR",
		"3 parts are as before.", "The parts on the vehicle weigh 20 g, without 3 parts of unknown mass.", "(pays the maker)", partslist.PaysWords, "Or: any of that kind",
	} {
		if !strings.Contains(body, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	record, err := p.Bytes("cart/2-second/parts.json")
	var said struct {
		ChangeCost, VehicleCost, TakenOffCost map[string]string
		PartsMass                             struct{ Value float64 }
		PartsWithoutMass                      int
	}
	if err != nil || json.Unmarshal(record, &said) != nil || said.ChangeCost["EUR"] != "24.35" || said.VehicleCost["EUR"] != "24.65" || said.VehicleCost["USD"] != "20.00" || said.TakenOffCost["EUR"] != "7.50" || math.Abs(said.PartsMass.Value-0.02) > 1e-12 || said.PartsWithoutMass != 3 {
		t.Errorf("the record says %s (%v)", record, err)
	}
	if n := strings.Count(body, "(pays the maker)"); n != 1 {
		t.Errorf("%d links are said to pay the maker", n)
	}
	if body := text(docs["cart/1-first/index.html"].root); strings.Contains(body, "pays the maker") || strings.Contains(body, "version before") {
		t.Error("the first version has a disclosure or something before it")
	}
}

// The table on the site is a parts list that a journal can have, with the same parts in it.
func TestThePartsTableIsReadBack(t *testing.T) {
	for _, in := range []reading.Input{listed(t), input(t, demoJournal)} {
		p, _ := build(t, in)
		for _, vehicle := range in.Journal.Vehicles {
			for _, v := range vehicle.Versions {
				if len(v.Parts) == 0 {
					continue
				}
				table, err := p.Bytes(v.Path() + "/parts.csv")
				if err != nil {
					t.Fatal(err)
				}
				dir := written(t, map[string]string{"journal.yaml": "title: T\nmaker: {name: M}\n", "a/vehicle.md": "---\nkind: vehicle\nname: A\n---\n",
					"a/1-b/version.md": "---\nkind: version\nname: B\ndate: 2026-01-01\n---\n", "a/1-b/parts.csv": string(table)})
				folder, err := notes.Open(dir)
				if err != nil {
					t.Fatal(err)
				}
				var list finding.List
				back := journal.Load(folder, &list).Vehicles[0].Versions[0]
				for _, f := range list.Sorted() {
					if f.Rule != journal.RuleWiredAs && f.Rule != journal.RulePartUntold { // the version here has no wiring and none before it
						t.Errorf("%s: %s", v.Path(), f.Text)
					}
				}
				if len(back.Parts) != len(v.Parts) {
					t.Fatalf("%s: %d parts became %d", v.Path(), len(v.Parts), len(back.Parts))
				}
				for i := range back.Parts {
					if a, b := partslist.PartCells(&v.Parts[i]), partslist.PartCells(&back.Parts[i]); !slices.Equal(a, b) {
						t.Errorf("%s: %q became %q", v.Path(), a, b)
					}
				}
				folder.Close()
			}
		}
	}
}

// A link to the version's own parts.csv leads to the list as it is published.
func TestALinkToThePartsTable(t *testing.T) {
	p, _ := build(t, listed(t))
	for _, n := range elements(documents(t, p)["cart/2-second/index.html"].root) {
		if text(n) == "The list" && n.Data == "a" && attribute(n, "href") == "parts.csv" {
			return
		}
	}
	t.Error("no link to parts.csv")
}

// Every part of every list stands once on the page of all parts for each version that has it.
func TestWherePartsAreUsed(t *testing.T) {
	in := input(t, demoJournal)
	p, _ := build(t, in)
	d := documents(t, p)[address.Parts]
	uses := map[string]int{}
	part := ""
	for _, n := range elements(d.root) {
		if n.Data != "th" {
			continue
		}
		switch attribute(n, "scope") {
		case "rowgroup":
			part = journal.PartKey(text(n))
		case "row":
			uses[part]++
		}
	}
	want := map[string]int{}
	lines := 1
	for _, vehicle := range in.Journal.Vehicles {
		for _, v := range vehicle.Versions {
			for i := range v.Parts {
				want[journal.PartKey(v.Parts[i].Name.Text)]++
				lines++
			}
		}
	}
	for name, n := range want {
		if uses[name] != n {
			t.Errorf("%q is used %d times, the page says %d", name, n, uses[name])
		}
	}
	if len(uses) != len(want) || want["low-voltage cutout"] != 2 {
		t.Errorf("%d parts on the page, %d in the journal", len(uses), len(want))
	}
	table, err := p.Bytes(address.PartsTable())
	if err != nil {
		t.Fatal(err)
	}
	if all, err := csv.NewReader(bytes.NewReader(table)).ReadAll(); err != nil || len(all) != lines {
		t.Errorf("the table has %d rows, want %d: %v", len(all), lines, err)
	}
}

// A journal without parts lists has no page of parts, and none that links to it.
func TestNoPartsNoPage(t *testing.T) {
	p, _ := build(t, oneRun(t, "run-1.csv"))
	if p.Has(address.Parts) {
		t.Error("a page of parts without parts")
	}
}

// What the wiring asks of a part against what the list says it stands.
func TestPartsHeldAgainstTheWiring(t *testing.T) {
	in, w := wiredInput(t, "03-barrow-controller")
	most := w.Circuit.Asked(w.Solutions)
	names := map[string]int{}
	for i := range w.Circuit.Parts {
		names[w.Circuit.Parts[i].Name] = i
	}
	fuse, control := "", ""
	for i := range w.Circuit.Parts {
		switch w.Circuit.Parts[i].Kind {
		case "fuse":
			fuse = w.Circuit.Parts[i].Name
		case "speed-controller":
			control = w.Circuit.Parts[i].Name
		}
	}
	dir := written(t, map[string]string{
		"journal.yaml": "title: A book\nmaker: {name: A maker}\n", "cart/vehicle.md": "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/2-second/version.md": "---\nkind: version\nname: Second\ndate: 2026-02-02\nparts:\n  - {name: " + fuse + ", current: 400 A, volts: 500 V}\n" +
			"  - {name: a box, wired-as: " + control + ", current: 0.1 A, peak: 1000 A, volts: 500 V}\n  - {name: ballast, mass: 5 kg}\n---\n",
	})
	held := input(t, dir)
	held.Docs, held.Results.Circuits = in.Docs, in.Results.Circuits
	p, _ := build(t, held)
	got := rows(t, documents(t, p)["cart/2-second/index.html"], "table-parts-held")
	last := func(name string) string {
		cells := got[name]
		if len(cells) == 0 {
			return ""
		}
		return text(cells[len(cells)-1])
	}
	if last(fuse) != "holds" {
		t.Errorf("the fuse: %q", last(fuse))
	}
	if last("a box") != "does not holdThe lasting current is more than it stands." {
		t.Errorf("the box: %q", last("a box"))
	}
	if _, ok := got["ballast"]; ok {
		t.Error("a part that is not in the wiring is held against it")
	}
	asked := numeral.ComputedValue(most[names[control]].Lasting).Whole
	if c := got["a box"]; len(c) == 0 || !strings.HasPrefix(text(c[0]), asked) {
		t.Errorf("the box is asked for %q, want %q", text(c[0]), asked)
	}
}
