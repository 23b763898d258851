package safety

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/safety/safetytest"
	"voltwright/internal/study"
)

// mostCallouts is how many callouts a sound, ordinary build carries at most.
const mostCallouts = 3

// soundBuild is a version as a careful maker has it: no margin below a tenth, fused, guarded, all of it stated.
type soundBuild struct {
	dir, path string
	mended    []string // pairs: what stands in the spec of the demo, and what a maker who heeds its callouts writes
}

// demoMended are the demo's versions after their callouts were heeded.
var demoMended = []soundBuild{
	{path: "shunter/1-lead-acid", mended: []string{
		"\ncontroller: ", "\ncutout: {opens: 21.6 V, reset-threshold: 3 V, delay: 3 s, current: 120 A}\ncontroller: ",
		"rated-current: 9.8 A, copper: 165 g ± 20 g", "rated-current: 12 A, copper: 300 g",
	}},
	{path: "shunter/2-lifepo4", mended: []string{
		"reset-threshold: 0.9 V, delay: 2 s, current: 40 A", "reset-threshold: 3 V, delay: 2 s, current: 80 A",
		"fuse-kind: large-blade, resistance: 1.3 mΩ", "breaking: 2.5 kA, fuse-kind: large-blade, resistance: 1.3 mΩ",
		"kind: cutout, peak: 60 A", "kind: cutout, peak: 120 A",
		"rated-current: 9.8 A", "rated-current: 13 A",
		"length: 720 mm, colour: white", "length: 720 mm, colour: red",
	}},
	{path: "shunter/3-second-pack"},
	{path: "barrow/1-li-ion", mended: []string{
		"protection: none", "protection: {opens: 31 V, current: 35 A, charge-stops: 42.4 V, tested: bench-2025-05-17}",
		"rated-current: 12.4 A", "rated-current: 34 A",
		"top-speed: 5 km/h}", "top-speed: 5 km/h, braking: {deceleration: 1.5 m/s², reaction: 1 s ± 0.4 s}}",
		"length: 260 mm", "length: 120 mm",
		"place: outdoors", "place: workshop",
	}},
	{path: "barrow/2-larger-pack", mended: []string{"rated-current: 12.1 A", "rated-current: 34 A"}},
}

// soundBuilds writes the builds to folders: the demo mended, and the sound journals of the corpus.
func soundBuilds(t *testing.T) []soundBuild {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../content")); err != nil {
		t.Fatal(err)
	}
	all := slices.Clone(demoMended)
	for i := range all {
		b := &all[i]
		b.dir = dir
		for k := 0; k < len(b.mended); k += 2 {
			rewrite(t, b.file(), func(text string) string {
				if !strings.Contains(text, b.mended[k]) {
					t.Fatalf("%s does not say %q", b.path, b.mended[k])
				}
				return strings.ReplaceAll(text, b.mended[k], b.mended[k+1])
			})
		}
	}
	return all
}

func (b *soundBuild) file() string {
	return filepath.Join(b.dir, filepath.FromSlash(b.path), "version.md")
}

func rewrite(t *testing.T, file string, change func(string) string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(change(string(text))), 0o600); err != nil {
		t.Fatal(err)
	}
}

var _ = regexp.MustCompile
var _ = safetytest.Read

func TestSoundBuildsCarryFewCallouts(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 10))
	builds := soundBuilds(t)
	results := study.NewResults()
	for _, b := range builds {
		for n := range 3 {
			before, _ := os.ReadFile(b.file())
			if n > 0 {
				rewrite(t, b.file(), func(text string) string { return vary(text, random) })
			}
			var said []string
			for _, f := range calloutsOf(reread(t, b.dir, results), results, b.path) {
				said = append(said, string(f.Signal)+" "+f.Rule+": "+f.Text)
			}
			t.Logf("%s: %d\n%s", b.path, len(said), strings.Join(said, "\n"))
			_ = os.WriteFile(b.file(), before, 0o600)
		}
	}
	_ = finding.Danger
}
