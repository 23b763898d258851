package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// One slip is one error, at the slip: what follows from it in other places is left out until it is mended.
func TestOneSlipIsOneError(t *testing.T) {
	const version, run, log = "trolley/1-first-pack/version.md", "trolley/1-first-pack/bench-2026-01-17.md", "trolley/1-first-pack/bench-2026-01-17.csv"
	for _, tt := range []struct{ name, file, from, to, at, says string }{
		{"a run without its second fence", run, "opened\n---", "opened\n", run, "does not end"},
		{"a run of another kind", run, "kind: run", "kind: runs", run, "unknown word `runs`"},
		{"a colon in a run's name", run, "name: The first run-down", "name: The first: run-down", run, "`name: \"The first: run-down"},
		{"a reading rule without a unit", run, "pause-after: 30 s", "pause-after: 30", run, "30 s, or 30 min"},
		{"a bracket in the version", version, "charge-stops: 14.8 V}", "charge-stops: 14.8 V", version, "this { is not closed"},
		{"a quote in a part", version, `30 A", price: 84.00`, `30 A, price: 84.00`, version, "this quote is not closed"},
		{"a decimal comma", version, "opens: 11.8 V", "opens: 11,8 V", version, "write a decimal point: 11.8 V"},
		{"a capacity that is none", version, "capacity: 10 Ah", "capacity: ten", version, "capacity"},
		{"a log's column", run, "file: bench-2026-01-17.csv", "file: bench-2026-01-17.csv\n  columns: {time: Time (s), voltage: Volts, current: Current (A)}", log, "no column"},
		{"a log that was emptied", log, "", "", log, "empty"},
		{"the name of a log", run, "file: bench-2026-01-17.csv", "file: bench-2026-01-71.csv", run, "did you mean `bench-2026-01-17.csv`"},
	} {
		dir, change := starter(t)
		note := filepath.Join(dir, "notes", "2026-02-01-why.md")
		if err := os.MkdirAll(filepath.Dir(note), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(note, []byte("---\nkind: note\ntitle: Why\ndate: 2026-02-01\n---\n\nIt gave [9.4 Ah](value:trolley/1-first-pack/bench-2026-01-17/charge-out) of [10 Ah](value:trolley/1-first-pack/packs.pack.capacity).\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		if tt.from != "" {
			change(tt.file, tt.from, tt.to)
		} else if err := os.Truncate(filepath.Join(dir, tt.file), 0); err != nil {
			t.Fatal(err)
		}
		in, err := read(dir)
		if err != nil {
			t.Fatal(err)
		}
		judge(in)
		in.close()
		said := 0
		for _, f := range in.findings.Sorted() {
			if f.Rule == "unused-file" {
				t.Errorf("%s: %s: %s", tt.name, f.Span.File(), f.Text)
			}
			if f.Level != finding.Error {
				continue
			}
			if said++; said > 1 || f.Span.File() != tt.at || !strings.Contains(f.Text+"; "+f.Remedy, tt.says) {
				t.Errorf("%s: %s: %s; %s [%s]", tt.name, f.Span.Position(), f.Text, f.Remedy, f.Rule)
			}
		}
		if said == 0 {
			t.Errorf("%s: no error", tt.name)
		}
	}
}
