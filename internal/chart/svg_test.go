package chart

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the pictures that the tests compare with")

func examples(t *testing.T) []Plot {
	t.Helper()
	return []Plot{benchRun(), zoomed(t, benchRun(), 5250, 5500), speeds(), readings()}
}

// crowded makes a plot with more labels than there is good room for.
func crowded(seed uint64) Plot {
	random := rand.New(rand.NewPCG(seed, 7))
	pick := func(n int) int { return random.IntN(n) }
	words := []string{"stop", "points set wrong", "cutout opens", "reset point, the opening and its threshold together", "T", "curve at the pond", "23.41 V"}
	word := func() string { return words[pick(len(words))] }
	p := Plot{
		ID: fmt.Sprintf("crowded-%d", seed), Title: "Crowded", Alt: "Many labels.",
		X: Axis{Label: "Time", Format: Format(pick(2))}, Upper: Axis{Label: "Voltage of the pack", Unit: "V"}, Lower: Axis{Label: "Current", Unit: "A"},
	}
	span := math.Pow(10, random.Float64()*6-1)
	for k := range 1 + pick(6) {
		s := Series{Name: fmt.Sprintf("%s %d", word(), k), Kind: Kind(pick(3)), Shape: Shape(pick(4))}
		if k > 0 {
			s.Panel = Panel(pick(2))
		}
		n := 1 + pick(300)
		for i := range n {
			s.X = append(s.X, span*float64(i)/float64(n))
			s.Y = append(s.Y, 20*random.Float64()*float64(k+1)-10)
		}
		p.Series = append(p.Series, s)
	}
	panel := func() Panel {
		if len(p.on(Lower)) == 0 {
			return Upper
		}
		return Panel(pick(2))
	}
	for range pick(8) {
		from := span * random.Float64()
		p.Bands = append(p.Bands, Band{from, from + span*random.Float64()/5, word()})
	}
	for range pick(8) {
		p.Marks = append(p.Marks, Mark{X: span * random.Float64(), Y: 10 * random.Float64(), Panel: panel(), Label: word()})
	}
	for range pick(4) {
		p.Lines = append(p.Lines, Level{Value: 10 * random.Float64(), Panel: panel(), Label: word()})
	}
	return p
}

// By the width model of textWidth, no two texts of a drawing touch and none leaves the sheet; and each label of the
// plot is somewhere on it.
func TestLabelsKeepClear(t *testing.T) {
	plots := examples(t)
	for seed := range uint64(60) {
		plots = append(plots, crowded(seed))
	}
	inKeys := 0
	for _, p := range plots {
		if err := p.Check(); err != nil {
			t.Fatal(err)
		}
		for _, s := range sheets {
			d := compose(p, s)
			paper := box{-0.5, 0, s.width + 0.5, math.Ceil(d.height)}
			for i, a := range d.labels {
				if !a.box.within(paper) {
					t.Errorf("%s, %s: %q at %.1f leaves the sheet %.1f", p.ID, s.name, a.text, a.box, paper)
				}
				for _, b := range d.labels[:i] {
					if a.box.overlaps(b.box) {
						t.Errorf("%s, %s: %q at %.1f covers %q at %.1f", p.ID, s.name, a.text, a.box, b.text, b.box)
					}
				}
			}
			var all strings.Builder
			for _, l := range d.labels {
				all.WriteString(l.text + " ")
			}
			wanted := []string{}
			for i, q := range p.Series {
				if p.needsName(i) {
					wanted = append(wanted, q.Name)
				}
			}
			for _, m := range p.Marks {
				wanted = append(wanted, m.Label)
			}
			for _, l := range p.Lines {
				wanted = append(wanted, l.Label)
			}
			for _, b := range p.Bands {
				if _, _, seen := d.span(b); seen {
					wanted = append(wanted, b.Label)
				}
			}
			for _, w := range wanted {
				if !strings.Contains(all.String(), w) {
					t.Errorf("%s, %s: %q is nowhere on it", p.ID, s.name, w)
				}
			}
			inKeys += len(d.keys)
		}
	}
	if inKeys == 0 {
		t.Error("no plot was so crowded that a label had to be written under it: the test is too easy")
	}
}

// The picture must work under a policy without inline style, take its colours from classes only, be well formed, be
// named and described, and use no id twice on a page.
func TestSVGForm(t *testing.T) {
	ids := map[string]bool{}
	for _, p := range examples(t) {
		svg, err := p.SVG()
		if err != nil {
			t.Fatal(err)
		}
		for _, banned := range []string{" style=", "<style", "javascript:", "NaN", "Inf", "#000", "rgb("} {
			if bytes.Contains(svg, []byte(banned)) {
				t.Errorf("%s contains %q", p.ID, banned)
			}
		}
		for _, m := range regexp.MustCompile(`(fill|stroke)="([^"]*)"`).FindAllSubmatch(svg, -1) {
			if v := string(m[2]); v != "none" && v != "currentColor" && !strings.HasPrefix(v, "url(#") {
				t.Errorf("%s: colour %q is not left to the style sheet", p.ID, v)
			}
		}
		for _, m := range regexp.MustCompile(`-?\d+\.\d\d+`).FindAll(svg, -1) {
			if len(m) > 6 {
				t.Errorf("%s: coordinate %s has needless decimals", p.ID, m)
			}
		}
		decoder := xml.NewDecoder(bytes.NewReader(append(append([]byte("<div>"), svg...), "</div>"...)))
		pictures := 0
		for {
			token, err := decoder.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", p.ID, err)
			}
			start, ok := token.(xml.StartElement)
			if !ok {
				continue
			}
			attr := map[string]string{}
			for _, a := range start.Attr {
				attr[a.Name.Local] = a.Value
			}
			if id := attr["id"]; id != "" {
				if ids[id] {
					t.Errorf("id %q twice", id)
				}
				ids[id] = true
			}
			if start.Name.Local == "svg" {
				pictures++
				if attr["role"] != "img" || attr["viewBox"] == "" || !strings.HasPrefix(attr["aria-labelledby"], p.ID) || !strings.HasPrefix(attr["aria-describedby"], p.ID) {
					t.Errorf("%s: svg has %v", p.ID, attr)
				}
			}
		}
		if pictures != len(sheets) {
			t.Errorf("%s: %d drawings", p.ID, pictures)
		}
		if again, _ := p.SVG(); !bytes.Equal(svg, again) {
			t.Errorf("%s: drawn twice, two pictures", p.ID)
		}
		if len(svg) > 40_000 {
			t.Errorf("%s: %d bytes", p.ID, len(svg))
		}
	}
}

func TestSVGEscapes(t *testing.T) {
	p := readings()
	p.Title = `</title><script>alert(1)</script> & "x"`
	p.Marks[0].Label = "<b>"
	svg, err := p.SVG()
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(svg, []byte("<script")) || bytes.Contains(svg, []byte("<b>")) {
		t.Errorf("text became markup:\n%s", svg)
	}
	if !bytes.Contains(svg, []byte("&lt;/title&gt;&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;x&quot;")) {
		t.Error("the title is not in it")
	}
}

// The same bytes on every processor: the picture in testdata was drawn on amd64.
func TestSVGGolden(t *testing.T) {
	for _, p := range []Plot{readings(), speeds()} {
		svg, err := p.SVG()
		if err != nil {
			t.Fatal(err)
		}
		file := "testdata/" + p.ID + ".svg"
		if *update {
			if err := os.WriteFile(file, svg, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(svg, want) {
			t.Errorf("%s is drawn differently; if that is meant, look at it and run the test with -update", p.ID)
		}
	}
}

// Points that are not there are not drawn: a gap interrupts the line.
func TestGapsInterruptTheLine(t *testing.T) {
	p := readings()
	p.Series[0].Shape = Joined
	moves := func() int {
		d := compose(p, sheets[0])
		m := regexp.MustCompile(`class="c-line [^>]* d="([^"]*)"`).FindStringSubmatch(d.lines.String())
		return strings.Count(m[1], "M")
	}
	if n := moves(); n != 1 {
		t.Errorf("%d pieces of line without a gap", n)
	}
	p.Series[0].Breaks = []int{2, 3}
	if n := moves(); n != 3 {
		t.Errorf("%d pieces of line with two gaps, want 3", n)
	}
}

func BenchmarkSVG(b *testing.B) {
	p := benchRun()
	for b.Loop() {
		if _, err := p.SVG(); err != nil {
			b.Fatal(err)
		}
	}
}
