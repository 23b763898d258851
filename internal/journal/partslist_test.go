package journal

import (
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/finding"
)

// The same parts give the same list, whether they stand in the front matter or
// in a table, and each value knows its place.
func TestPartsFromATable(t *testing.T) {
	archive := txtar.Parse([]byte(`-- journal.yaml --
title: T
maker: {name: M}
currency: GBP
-- cart/vehicle.md --
---
kind: vehicle
name: Cart
---
-- cart/1-front/version.md --
---
kind: version
name: Front
date: 2026-01-01
wiring:
  parts: [{name: left fuse, kind: fuse}, {name: right fuse, kind: fuse}]
  leads: [{from: "left fuse:in", to: "right fuse:out"}, {from: "left fuse:out", to: "right fuse:in"}]
parts:
  - {name: "fuse, blade", quantity: 2, price: 4.20, current: 30 A, mass: 35 g, wired-as: [left fuse, right fuse], link: "https://example.org/f", pays-the-maker: true}
  - {name: cable, currency: EUR, price: 0.10}
---
-- cart/2-table/version.md --
---
kind: version
name: Table
date: 2026-01-02
wiring:
  parts: [{name: left fuse, kind: fuse}, {name: right fuse, kind: fuse}]
  leads: [{from: "left fuse:in", to: "right fuse:out"}, {from: "left fuse:out", to: "right fuse:in"}]
---
-- cart/2-table/parts.csv --
name,quantity,price,currency,current,mass,wired-as,link,pays-the-maker
"fuse, blade",2,4.20,,30 A,35 g,left fuse; right fuse,https://example.org/f,true
,,,,,,,,
cable,,0.10,EUR
`))
	dir, _ := unpack(t, archive)
	j, list := load(t, dir)
	for _, f := range list.Sorted() {
		t.Errorf("%s%s", f.Span.Position(), f.Text)
	}
	front, table := j.Vehicles[0].Versions[0].Parts, j.Vehicles[0].Versions[1].Parts
	if len(front) != 2 || len(table) != 2 {
		t.Fatalf("%d and %d parts", len(front), len(table))
	}
	for i := range front {
		a, b := front[i], table[i]
		ea, _ := a.Each()
		eb, _ := b.Each()
		if a.Name.Text != b.Name.Text || a.Pieces() != b.Pieces() || ea.Cmp(eb) != 0 || j.Paid(&a) != j.Paid(&b) || a.Current.Set != b.Current.Set || a.PaysMaker.Value != b.PaysMaker.Value || len(a.WiredAs) != len(b.WiredAs) {
			t.Errorf("part %d: %+v and %+v", i, a, b)
		}
	}
	if m := table[0].Mass.Value; m != 0.035 {
		t.Errorf("a mass of %v kg", m)
	}
	for _, c := range []struct {
		span   finding.Span
		column int
		line   int
	}{{table[0].Name.Span, 1, 2}, {table[0].Quantity.Span, 15, 2}, {table[0].Price.Span, 17, 2}, {table[1].Price.Span, 8, 4}} {
		if p := c.span.Position(); p.File != "cart/2-table/parts.csv" || p.Line != c.line || p.Column != c.column {
			t.Errorf("a value at %v, want line %d column %d", p, c.line, c.column)
		}
	}
	used := false
	for _, a := range j.Used {
		used = used || a.Path == "cart/2-table/parts.csv" && a.Kind == PartsTable
	}
	if !used {
		t.Error("the table is not among the files that are used")
	}
}
