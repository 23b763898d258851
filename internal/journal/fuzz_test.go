package journal

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// Whatever a version and a run say, loading gives a journal that keeps its
// promises, and findings that each have a place and a documented rule.
func FuzzLoad(f *testing.F) {
	for _, name := range []string{"clean", "values", "text", "yaml", "wiring", "like"} {
		archive, err := txtar.ParseFile(filepath.Join("testdata", name+".txtar"))
		if err != nil {
			f.Fatal(err)
		}
		version := []byte("---\nkind: version\nname: V\ndate: 2026-01-01\n---\n")
		for _, file := range archive.Files {
			if filepath.Ext(file.Name) == ".md" {
				f.Add(version, file.Data)
				f.Add(file.Data, []byte("---\nkind: run\ntype: bench\nname: R\ndate: 2026-02-01\nlog: {file: x.csv}\n---\n[](value:sag)\n"))
			}
		}
	}
	known := map[string]bool{}
	for _, d := range slices.Concat(Docs(), notes.Docs(), circuit.Docs()) {
		known[d.Name] = true
	}
	dir := f.TempDir()
	place := filepath.Join(dir, "shunter", "1-lead-acid")
	if err := os.MkdirAll(place, 0o755); err != nil {
		f.Fatal(err)
	}
	base, err := txtar.ParseFile("testdata/like.txtar")
	if err != nil {
		f.Fatal(err)
	}
	long := base.Files[slices.IndexFunc(base.Files, func(file txtar.File) bool { return file.Name == "shunter/1-long/version.md" })]
	if err := os.MkdirAll(filepath.Join(dir, "shunter", "1-long"), 0o755); err != nil {
		f.Fatal(err)
	}
	for name, text := range map[string]string{long.Name: string(long.Data), "journal.yaml": "title: T\nmaker: {name: M}\n", "shunter/vehicle.md": "---\nkind: vehicle\nname: S\n---\n", "shunter/1-lead-acid/x.csv": "t\n"} {
		if err := os.WriteFile(filepath.Join(dir, filepath.FromSlash(name)), []byte(text), 0o644); err != nil {
			f.Fatal(err)
		}
	}
	f.Fuzz(func(t *testing.T, version, run []byte) {
		if len(version)+len(run) > 1<<14 {
			return
		}
		for name, text := range map[string][]byte{"version.md": version, "run.md": run} {
			if err := os.WriteFile(filepath.Join(place, name), text, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		folder, err := notes.Open(dir)
		if err != nil {
			t.Fatal(err)
		}
		defer folder.Close()
		var list finding.List
		j := Load(folder, &list)
		whole(t, j)
		for _, v := range j.Vehicles[0].Versions {
			full := v.WrittenOut()
			if n := notes.ParseNote("full.yaml", []byte(full), &finding.List{}); n.Broken && full != "" {
				t.Errorf("what is written out cannot be read:\n%s", full)
			}
			v.With([]Setting{{"packs.1.capacity", "9 Ah"}, {"wiring.paths.1.size", "4 mm²"}}, &finding.List{})
		}
		for _, r := range j.Runs() {
			_, _, _ = r.Noted(), r.Timed(), r.EvidenceSpan()
		}
		for _, x := range list.Sorted() {
			if !known[x.Rule] || x.Span.Source == nil {
				t.Errorf("%s at %s: %s", x.Rule, x.Span.Position(), x.Text)
			}
		}
	})
}
