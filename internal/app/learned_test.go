package app

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/record"
	"voltwright/internal/study"
)

// A pack whose resistance nobody states has the one that its runs taught, in the drive and in the wiring, on the page and
// in what `predict` says.
func TestLearnedResistanceIsTakenEverywhere(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "journal")
	if err := os.CopyFS(dir, os.DirFS("../../content")); err != nil {
		t.Fatal(err)
	}
	note := filepath.Join(dir, "shunter", "2-lifepo4", "version.md")
	text, err := os.ReadFile(note)
	if err != nil {
		t.Fatal(err)
	}
	without := strings.Replace(string(text), "    resistance: 17 mΩ\n", "", 1)
	if without == string(text) {
		t.Fatal("the note states no resistance")
	}
	if err := os.WriteFile(note, []byte(without), 0o644); err != nil {
		t.Fatal(err)
	}
	in, err := read(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer in.close()
	compute(in)
	const path = "shunter/2-lifepo4"
	var v *journal.Version
	for _, vehicle := range in.journal.Vehicles {
		for _, x := range vehicle.Versions {
			if x.Path() == path {
				v = x
			}
		}
	}
	driven, wired := in.results.Drive(path), in.results.Circuit(path)
	learned, _ := study.BankResistance(v, in.results.Predictions[path])
	said := ""
	for _, a := range driven.Assumed {
		if a.What == "resistance of the packs" {
			said = a.Words + ", " + a.Source
		}
	}
	if want := learned.String() + ", " + predict.LearnedFromRuns; !strings.HasPrefix(said, want) {
		t.Errorf("the drive takes %q, want %s", said, want)
	}
	var out, complaints bytes.Buffer
	if status := Main([]string{"predict", path, "--journal", dir, "--format", "json", "--no-store"}, strings.NewReader(""), &out, &complaints); status != 0 {
		t.Fatalf("status %d: %s", status, complaints.String())
	}
	var predicted struct{ Drive, Wiring json.RawMessage }
	if err := json.Unmarshal(out.Bytes(), &predicted); err != nil {
		t.Fatal(err)
	}
	for what, both := range map[string][2]any{"drive": {predicted.Drive, record.OfPerformance(driven)}, "wiring": {predicted.Wiring, record.OfWiring(wired)}} {
		if got, want := compact(t, both[0]), compact(t, both[1]); got != want || len(got) < 100 {
			t.Errorf("%s: predict says\n%s\nand the page\n%s", what, got, want)
		}
	}
}

func compact(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
