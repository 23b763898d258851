package site

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// A part whose name a spreadsheet would compute with opens as its name, and reads back as it.
func TestPartsThatLookLikeFormulas(t *testing.T) {
	names := []string{"=HYPERLINK(0)", "+5 V converter", "-rail", "@home", "plain", "'quoted'"}
	list := ""
	for _, n := range names {
		list += "\"" + n + "\",2\n"
	}
	journalOf := func(table string) map[string]string {
		return map[string]string{"journal.yaml": "title: T\nmaker: {name: M}\n", "a/vehicle.md": "---\nkind: vehicle\nname: A\n---\n",
			"a/1-b/version.md": "---\nkind: version\nname: B\ndate: 2026-01-01\n---\n", "a/1-b/parts.csv": table}
	}
	p, _ := build(t, input(t, written(t, journalOf("name,quantity\n"+list))))
	table, err := p.Bytes("a/1-b/parts.csv")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(table))).ReadAll()
	if err != nil || len(rows) != len(names)+1 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for i, row := range rows[1:] {
		if strings.ContainsAny(row[0][:1], "=+-@") {
			t.Errorf("row %d opens as a formula: %q", i, row[0])
		}
	}
	folder, err := notes.Open(written(t, journalOf(string(table))))
	if err != nil {
		t.Fatal(err)
	}
	defer folder.Close()
	var found finding.List
	var back []string
	for _, part := range journal.Load(folder, &found).Vehicles[0].Versions[0].Parts {
		back = append(back, part.Name.Text)
	}
	if !slices.Equal(back, names) {
		t.Errorf("%q became %q", names, back)
	}
}
