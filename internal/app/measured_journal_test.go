package app

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/measuredjournal"
	"voltwright/internal/recorded"
	"voltwright/internal/site"
)

// TestMeasuredJournal publishes the journal made from published, measured logs
// and holds what stands beside each run's page against what the data sets
// themselves state: their testers' counters, their published capacities, and
// the reference values of their SOURCE files. Each row of stated.csv names
// where its value is stated and how near the figure has to come.
func TestMeasuredJournal(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	all, err := measured()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := site.Write(dir, all.pages, nil, nil); err != nil {
		t.Fatal(err)
	}
	rows := recorded.Rows(t, measuredjournal.Stated)
	if len(rows) < 60 {
		t.Fatalf("stated.csv has %d rows; the comparison has lost some", len(rows))
	}
	runs := map[string]map[string]float64{}
	for _, row := range rows[1:] {
		run, figure, where := row[0], row[1], row[5]
		stated, tolerance := parse(t, row[2]), parse(t, strings.TrimSuffix(row[4], " %"))/100
		if runs[run] == nil {
			runs[run] = published(t, filepath.Join(dir, run, "results.json"))
		}
		got, ok := runs[run][figure]
		if !ok {
			t.Errorf("%s has no %s", run, figure)
			continue
		}
		off := math.Abs(got-stated) / math.Abs(stated)
		t.Logf("%-55s %-14s %12.6g %s, stated %12.6g, off by %.4f %% of at most %.4f %%", run, figure, got, row[3], stated, off*100, tolerance*100)
		if !(off <= tolerance) {
			t.Errorf("%s %s is %.6g %s, stated as %.6g (%s): off by %.4f %%, at most %.4f %% allowed", run, figure, got, row[3], stated, where, off*100, tolerance*100)
		}
	}
}

// measured is the measured journal, read, predicted and laid out once: it takes long. It stands in the folder of the tests' store,
// which lasts until they have ended.
var measured = sync.OnceValues(func() (*laidOut, error) {
	dir := filepath.Join(os.Getenv("XDG_CACHE_HOME"), "journal-measured")
	if err := measuredjournal.LayOut(dir); err != nil {
		return nil, err
	}
	in, err := read(dir)
	if err != nil {
		return nil, err
	}
	pages, err := layOut(in)
	if n := in.findings.Count(finding.Error); err == nil && n > 0 {
		err = fmt.Errorf("inspection finds %s", count(n, "error"))
	}
	return &laidOut{in, pages}, err
})

type laidOut struct {
	*inspected
	pages *site.Pages
}

// published reads the figures that stand beside a run's page, in base units.
func published(t *testing.T, path string) map[string]float64 {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var results struct {
		Figures []struct {
			Name  string
			Value *float64
		}
	}
	if err := json.Unmarshal(text, &results); err != nil {
		t.Fatal(err)
	}
	figures := map[string]float64{}
	for _, f := range results.Figures {
		if f.Value != nil {
			figures[f.Name] = *f.Value
		}
	}
	return figures
}

func parse(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
