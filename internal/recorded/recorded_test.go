package recorded

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

type pack struct {
	Name  string
	Ah    float64
	cells int
	Full  *bool
	Rows  []float64
	Parts []pack
	By    map[string]float64
}

// A record notices what changes by more than its last digit, what is gone and what is new, in fields of either sort.
func TestHold(t *testing.T) {
	yes := true
	long := make([]float64, 40)
	for i := range long {
		long[i] = float64(i)
	}
	sound := func() pack {
		return pack{Name: "a b", Ah: 7.4412345, cells: 6, Full: &yes, Rows: append([]float64{}, long...), Parts: []pack{{Ah: 1}, {Ah: math.NaN()}}, By: map[string]float64{"x": 1, "y": 2}}
	}
	file := filepath.Join(t.TempDir(), "deep", "record.txt")
	t.Setenv(Update, "1")
	Hold(t, file, []Case{{"one", sound()}, {"two", 3}})
	t.Setenv(Update, "")
	Hold(t, file, []Case{{"one", sound()}, {"two", 3}})
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{"== one", `.Name "a b"`, ".Ah 7.44123", ".cells 6", ".Full yes", ".Rows 40 0 39 780 20540 20540", ".Parts[0].Ah 1", ".Parts[1].Ah NaN", ".By[x] 1", "== two", ". 3"} {
		if !strings.Contains(string(want), line+"\n") {
			t.Errorf("the record lacks %q:\n%s", line, want)
		}
	}
	for name, c := range map[string]struct {
		change func(*pack)
		want   string
	}{
		"name":       {func(p *pack) { p.Name = "a c" }, `.Name is "a c"; it was "a b"`},
		"number":     {func(p *pack) { p.Ah *= 1.0001 }, ".Ah is 7.44198; it was 7.44123"},
		"unexported": {func(p *pack) { p.cells++ }, ".cells is 7; it was 6"},
		"gone":       {func(p *pack) { p.Full = nil }, ".Full is gone; it was yes"},
		"new":        {func(p *pack) { p.Parts[0].cells = 2 }, ".Parts[0].cells is 2; there was none"},
		"a row":      {func(p *pack) { p.Rows[7], p.Rows[8] = 8, 7 }, ".Rows is 40"},
		"NaN":        {func(p *pack) { p.Parts[1].Ah = 2 }, ".Parts[1].Ah is 2; it was NaN"},
		"a key":      {func(p *pack) { p.By["x"] = 1.1 }, ".By[x] is 1.1; it was 1"},
	} {
		p := sound()
		c.change(&p)
		got := told{TB: t}
		Hold(&got, file, []Case{{"one", p}, {"two", 3}})
		if len(got.said) != 1 || !strings.Contains(got.said[0], "one: "+c.want) {
			t.Errorf("%s: %q", name, got.said)
		}
	}
	p := sound()
	p.Ah *= 1 + 1e-6
	Hold(t, file, []Case{{"one", p}, {"two", 3}})
	got := told{TB: t}
	if Hold(&got, file, []Case{{"two", 4}}); len(got.said) < 10 || !strings.Contains(strings.Join(got.said, "\n"), "is gone") {
		t.Errorf("%q", got.said)
	}
	short := told{TB: t}
	if Hold(&short, file, []Case{{"one", sound()}, {"two", 3}}, "recorded.pack"); !strings.Contains(strings.Join(short.said, "\n"), `one: . is "a b"; there was none`) {
		t.Errorf("%q", short.said)
	}
}

// told is a test that is asked what it was told.
type told struct {
	testing.TB
	said []string
}

func (t *told) Helper() {}

func (t *told) Errorf(format string, args ...any) {
	t.said = append(t.said, strings.TrimSpace(fmt.Sprintf(format, args...)))
}
