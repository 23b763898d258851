package app

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/store"
)

// Inspection of the demo says of each vehicle's standing version what one more run would bring, where that is something, and counts it among no
// findings; the version's own answers say the same. With what is kept it says the same again.
func TestOneMoreRunIsTold(t *testing.T) {
	kept, err := store.Open(filepath.Join(t.TempDir(), "store"))
	if err != nil {
		t.Fatal(err)
	}
	const dir = "../../content"
	var first string
	for again := range 2 {
		in, err := readJournal(dir, means{store: kept})
		if err != nil {
			t.Fatal(err)
		}
		judge(in)
		before := in.findings.Len()
		var out bytes.Buffer
		if err := report(&out, in, "lines", false); err != nil {
			t.Fatal(err)
		}
		said := oneMoreRun(in, true)
		if strings.Count(said, "\n") != 1 || !strings.Contains(out.String(), "\n"+said+"Inspected ") || in.findings.Len() != before ||
			!strings.HasPrefix(said, "To be surer, barrow/2-larger-pack: one more run from full at the load of field-2026-05-09, at 15 °C, would tell the running time to the packs' own protection to about ± ") {
			t.Errorf("%q of\n%s", said, out.String())
		}
		if g := openGains(in); len(g) != 1 || g[0].Subject != "The allotment barrow, version 2" || g[0].Page != "barrow/2-larger-pack/index.html" || !strings.Contains(said, g[0].Text) {
			t.Errorf("%+v", g)
		}
		if again == 1 && said != first {
			t.Errorf("%q, first %q", said, first)
		}
		first = said
		in.close()
	}
	in, err := read(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer in.close()
	in.study.Answer(nil)
	next := in.results.Prediction("barrow/2-larger-pack").Sensitivity
	if words := next.OneMoreRun(); words == "" || !strings.Contains(first, words) || next.Next.After > 0.95*next.Next.Now {
		t.Errorf("%q, %+v", words, next.Next)
	}
	// The shunter's two runs tell as much as a third would; what stands before it is not told of, though one more would narrow it.
	if words := in.results.Prediction("shunter/3-second-pack").Sensitivity.OneMoreRun(); words != "" {
		t.Error(words)
	}
	if words := in.results.Prediction("shunter/2-lifepo4").Sensitivity.OneMoreRun(); words == "" {
		t.Error("a past version of which one more run would tell much is no case any more")
	}
}
