package runlog

import (
	"encoding/csv"
	"flag"
	"os"
	"strings"
	"testing"
)

var updateHeads = flag.Bool("update-heads", false, "write testdata/heads.csv anew")

// headMeaning is what a head says by itself: its channel, or "state", "position" or nothing, and its unit.
func headMeaning(name string) (meaning, unit string) {
	h := parseHead(name)
	if h.unit != nil {
		unit = h.unit.Symbol()
	}
	if lat, long := h.position(); lat || long {
		return "position", ""
	}
	c, score := h.channel()
	if score < leastScore {
		return "", unit
	}
	return c.String(), unit
}

// TestHeadsByWholeWords: several hundred heads, those of the data sets and others as instruments and loggers of any make name
// things, with the channel and the unit that each says by its whole words. The table was read through row by row: a channel
// that a letter within a word gave would stand out in it. An empty channel means that a head names none.
func TestHeadsByWholeWords(t *testing.T) {
	const path = "testdata/heads.csv"
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(file).ReadAll()
	file.Close()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) < 400 {
		t.Fatalf("%d heads; the table has lost some", len(rows))
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	_ = w.Write(rows[0])
	for _, r := range rows[1:] {
		meaning, unit := headMeaning(r[0])
		_ = w.Write([]string{r[0], meaning, unit})
		if !*updateHeads && (meaning != r[1] || unit != r[2]) {
			t.Errorf("%q says %q in %q, want %q in %q", r[0], meaning, unit, r[1], r[2])
		}
	}
	w.Flush()
	if *updateHeads {
		if err := os.WriteFile(path, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
