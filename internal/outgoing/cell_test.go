package outgoing

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"
)

// formulaCells are a hundred and more cells that a spreadsheet would take for formulas, and some that look like them: each
// beginning (OWASP, CSV Injection) with each kind of thing behind it.
func formulaCells() []string {
	var all []string
	for _, sign := range []string{"=", "+", "-", "@", "\t", "\r", "\n", "\t=", " =", "\u00a0=", "＝", "＋", "－", "＠", "'=", "''+", "=+", "-+", "+-@"} {
		for _, rest := range []string{"1+1", "cmd|' /C calc'!A0", "HYPERLINK(\"https://example.org?\"&A1,\"price\")", "SUM(A1:A9)", "A1", "3.2 V", "", "fuse, 30 A", "\"", "1e3x"} {
			all = append(all, sign+rest)
		}
	}
	return all
}

func TestFormulaCells(t *testing.T) {
	cells := formulaCells()
	t.Logf("%d cells", len(cells))
	rows := [][]string{cells, {"fuse", "30", "-3.2", "+5", "-1,5", "-1e-3", "'tis a name", "'", "", "− 3", "a=b", "2 × 3 mm"}}
	var b bytes.Buffer
	if err := WriteCSV(&b, rows); err != nil {
		t.Fatal(err)
	}
	// A carriage return alone before a cell's end is folded by a reader (RFC 4180), so it is read as it was written.
	r := csv.NewReader(&b)
	r.FieldsPerRecord = -1
	got, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range got {
		for k, cell := range row {
			plain := strings.TrimLeft(cell, " \u00a0")
			if i == 0 && strings.IndexAny(plain, formulaSigns) == 0 {
				t.Errorf("%q stands there as %q", rows[i][k], cell)
			}
			if i == 1 && cell != rows[i][k] {
				t.Errorf("%q, which is none, stands there as %q", rows[i][k], cell)
			}
			got[i][k] = ReadCell(cell)
		}
	}
	if !slices.EqualFunc(got, rows, slices.Equal) {
		for k := range rows[0] {
			if got[0][k] != rows[0][k] {
				t.Errorf("%q reads back as %q", rows[0][k], got[0][k])
			}
		}
	}
}

func FuzzCell(f *testing.F) {
	for _, c := range formulaCells() {
		f.Add(c)
	}
	f.Fuzz(func(t *testing.T, text string) {
		safe := SafeCell(text)
		if ReadCell(safe) != text {
			t.Errorf("%q stands there as %q and reads back as %q", text, safe, ReadCell(safe))
		}
		if takenForFormula(safe) && !number(safe) {
			t.Errorf("%q stands there as %q", text, safe)
		}
	})
}
