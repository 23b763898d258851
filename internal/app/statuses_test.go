package app

import (
	"encoding/csv"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/reference"
)

// Every value that is shipped, in a table or in the file of a chemistry, has a
// status of the closed set; "confirmed" only with a source of a kind that counts:
// a standard, a law, a maker's sheet, a paper, a handbook or a measured data set.
// The files are read here and not by their packages, so that a table that nobody
// checks is caught as well.
func TestEveryShippedValueHasAStatus(t *testing.T) {
	counts := map[reference.Status]int{}
	check := func(where, source, status string) {
		if err := reference.Sound(source, reference.Status(status)); err != nil {
			t.Errorf("%s: %v", where, err)
		}
		counts[reference.Status(status)]++
	}
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() && (d.Name() == "testdata" || d.Name() == "starter") {
			return firstOf(err, fs.SkipDir)
		}
		text, _ := os.ReadFile(path)
		switch filepath.Ext(path) {
		case ".csv":
			tableStatuses(t, path, string(text), check)
		case ".json":
			var all any
			if json.Unmarshal(text, &all) == nil {
				jsonStatuses(path, all, check)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if counts[reference.Confirmed] < 100 || counts[reference.SecondHand] < 100 || counts[reference.FromMemory] < 100 {
		t.Errorf("too few values were found: %v", counts)
	}
	for _, s := range reference.Statuses() {
		t.Logf("%4d %s", counts[s], s)
	}
}

func firstOf(err, other error) error {
	if err != nil {
		return err
	}
	return other
}

// tableStatuses are the statuses of a table: each column that is called status, or
// ends so, with the column of the source. A shipped table without one is a fault.
func tableStatuses(t *testing.T, path, text string, check func(where, source, status string)) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 2 || filepath.Base(filepath.Dir(path)) != "tables" {
		if filepath.Base(filepath.Dir(path)) == "tables" {
			t.Errorf("%s is no table: %v", path, err)
		}
		return
	}
	source := slices.Index(rows[0], "source")
	var columns []int
	for i, name := range rows[0] {
		if name == "status" || strings.HasSuffix(name, "_status") {
			columns = append(columns, i)
		}
	}
	if source < 0 || len(columns) == 0 {
		t.Errorf("%s has no source or no status: %v", path, rows[0])
		return
	}
	for _, row := range rows[1:] {
		for _, c := range columns {
			check(path+": "+strings.Join(row[:2], " "), row[source], row[c])
		}
	}
}

// jsonStatuses are the statuses at any depth of a file: an object with a status has a source beside it.
func jsonStatuses(where string, v any, check func(where, source, status string)) {
	switch v := v.(type) {
	case map[string]any:
		if status, is := v["status"].(string); is {
			source, _ := v["source"].(string)
			check(where, source, status)
		}
		for name, inner := range v {
			jsonStatuses(where+" "+name, inner, check)
		}
	case []any:
		for _, inner := range v {
			jsonStatuses(where, inner, check)
		}
	}
}

// Every rule of safety says how far its limits are to be trusted, and whatever is
// documented calls confirmed only what was read in a source of a kind that counts.
func TestEveryRuleSaysItsStatus(t *testing.T) {
	rules := 0
	for _, d := range docs() {
		if d.Kind == finding.RuleDoc && d.Signal != "" {
			rules++
			if err := reference.Claims(d.Source); err != nil && !onlyStated(d.Source) {
				t.Errorf("%s: %v", d.Name, err)
			}
		} else if strings.Contains(d.Source, string(reference.Confirmed)) {
			if err := reference.Claims(d.Source); err != nil {
				t.Errorf("%s: %v", d.Name, err)
			}
		}
		// What `explain` prints is the source with its marks, whole.
		var b strings.Builder
		if err := d.Print(&b); err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(strings.Fields(b.String()), " "); !strings.Contains(got, strings.Join(strings.Fields(d.Source), " ")) {
			t.Errorf("explain %s does not print its source", d.Name)
		}
	}
	if rules < 100 {
		t.Errorf("%d rules of safety", rules)
	}
}

// onlyStated tells a rule whose limit is what the maker states.
func onlyStated(source string) bool {
	return strings.Contains(source, "as stated") && !strings.Contains(source, string(reference.Confirmed))
}
