package chart

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func inputs() Bars {
	end := func(change string, minutes float64) End {
		return End{Change: change, Value: minutes * 60, Words: fmt.Sprintf("%d h %d min", int(minutes)/60, int(minutes)%60)}
	}
	return Bars{ID: "matters", Title: "What matters", Alt: "Bars about 136 minutes.", X: Axis{Label: "Run time", Format: Clock}, Base: 136 * 60, Middle: "as it is, 2 h 16 min",
		Items: []Bar{
			{"load", end("−10 %", 152), end("+10 %", 123)},
			{"charge at the start", end("−10 %", 121), End{}},
			{"temperature", end("−10 K", 133), end("+10 K", 134)},
			{"voltage of the packs' own protection", End{Change: "−0.8 V", Words: "none", None: true}, end("+0.8 V", 132)},
		}}
}

func crowdedBars(seed uint64) Bars {
	random := rand.New(rand.NewPCG(seed, 3))
	b := inputs()
	b.Items = nil
	words := []string{"load", "voltage of the packs' own protection", "charge at the start", "T"}
	for range 1 + random.IntN(8) {
		end := func() End {
			if random.IntN(5) == 0 {
				return End{Change: "+18 %", Words: "none", None: true}
			}
			v := b.Base * (0.2 + 2*random.Float64())
			return End{Change: "−18 %", Value: v, Words: fmt.Sprintf("%.0f h %.0f min", v/3600, math.Mod(v/60, 60))}
		}
		item := Bar{Name: words[random.IntN(len(words))], Less: end()}
		if random.IntN(3) > 0 {
			item.More = end()
		}
		b.Items = append(b.Items, item)
	}
	return b
}

// By the width model of textWidth, no two texts of the bars touch and none leaves the sheet, and every end is lettered.
func TestBarsKeepClear(t *testing.T) {
	all := []Bars{inputs()}
	for seed := range uint64(60) {
		all = append(all, crowdedBars(seed))
	}
	for n, b := range all {
		if err := b.Check(); err != nil {
			t.Fatal(err)
		}
		for _, s := range sheets {
			d := b.compose(s)
			sheet := box{-0.01, -0.01, s.width + 0.01, d.y}
			said := ""
			for i, l := range d.labels {
				said += l.text + "\n"
				if !l.box.within(sheet) {
					t.Errorf("bars %d, %s: %q leaves the sheet", n, s.name, l.text)
				}
				for _, m := range d.labels[:i] {
					if l.box.overlaps(m.box) {
						t.Errorf("bars %d, %s: %q and %q touch", n, s.name, l.text, m.text)
					}
				}
			}
			if d.right-d.left < s.width/5 {
				t.Errorf("bars %d, %s: %.0f units are left for the bars", n, s.name, d.right-d.left)
			}
			for _, i := range b.Items {
				for _, e := range []End{i.Less, i.More} {
					if e.Change != "" && (!strings.Contains(said, e.Change) || !strings.Contains(said, e.Words)) {
						t.Errorf("bars %d, %s: the end %s of %s is not lettered", n, s.name, e.Change, i.Name)
					}
				}
			}
		}
	}
}

func TestBarsAreWellFormed(t *testing.T) {
	b := inputs()
	b.Items[0].Name = `<"&`
	svg, err := b.SVG()
	if err != nil {
		t.Fatal(err)
	}
	again, _ := b.SVG()
	if !bytes.Equal(svg, again) {
		t.Error("the same bars gave different pictures")
	}
	for dec := xml.NewDecoder(bytes.NewReader(svg)); ; {
		if _, err := dec.Token(); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
	}
	if bytes.Contains(svg, []byte("style=")) || bytes.Count(svg, []byte(`class="c-bar `)) != 2*6 {
		t.Errorf("%s", svg)
	}
}

func TestBarsRefuse(t *testing.T) {
	for name, spoil := range map[string]func(*Bars){
		"id":      func(b *Bars) { b.ID = "1" },
		"words":   func(b *Bars) { b.Alt = "" },
		"axis":    func(b *Bars) { b.X.Label = "" },
		"base":    func(b *Bars) { b.Base = math.NaN() },
		"no bar":  func(b *Bars) { b.Items = nil },
		"no ends": func(b *Bars) { b.Items[0] = Bar{Name: "x"} },
		"NaN":     func(b *Bars) { b.Items[0].Less.Value = math.Inf(1) },
	} {
		b := inputs()
		spoil(&b)
		if _, err := b.SVG(); err == nil {
			t.Errorf("%s: not refused", name)
		}
	}
}
