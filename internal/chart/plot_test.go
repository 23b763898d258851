package chart

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestCheckRefuses(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(p *Plot)
		want  string
	}{
		{"no id", func(p *Plot) { p.ID = "" }, `id ""`},
		{"id with a space", func(p *Plot) { p.ID = "a b" }, `id "a b"`},
		{"id that begins with a digit", func(p *Plot) { p.ID = "1a" }, `id "1a"`},
		{"no title", func(p *Plot) { p.Title = "" }, "has no title"},
		{"no words", func(p *Plot) { p.Alt = "" }, "not described in words"},
		{"axis without label", func(p *Plot) { p.Upper.Label = "" }, "upper axis has no label"},
		{"clock in volts", func(p *Plot) { p.X.Unit = "V" }, "a clock counts seconds"},
		{"axis that runs back", func(p *Plot) { p.Upper.Min, p.Upper.Max = 2, 1 }, "cannot run from 2 to 1"},
		{"no series", func(p *Plot) { p.Series = nil }, "no series in its upper panel"},
		{"nothing in the upper panel", func(p *Plot) { p.Series[0].Panel = Lower }, "no series in its upper panel"},
		{"two of one name", func(p *Plot) { p.Series = append(p.Series, p.Series[0]) }, "two series are named"},
		{"no points", func(p *Plot) { p.Series[0].X, p.Series[0].Y = nil, nil }, "has no points"},
		{"x and y differ", func(p *Plot) { p.Series[0].Y = p.Series[0].Y[1:] }, "7 x and 6 y"},
		{"not a number", func(p *Plot) { p.Series[0].Y[3] = math.NaN() }, "point 3 is (3600, NaN)"},
		{"infinite", func(p *Plot) { p.Series[0].X[6] = math.Inf(1) }, "point 6 is (+Inf"},
		{"x steps back", func(p *Plot) { p.Series[0].X[2] = 1 }, "x steps back at point 2"},
		{"break at the start", func(p *Plot) { p.Series[0].Breaks = []int{0} }, "break before point 0"},
		{"break past the end", func(p *Plot) { p.Series[0].Breaks = []int{7} }, "break before point 7"},
		{"breaks out of order", func(p *Plot) { p.Series[0].Breaks = []int{3, 3} }, "break before point 3"},
		{"unit of another axis", func(p *Plot) { p.Series[0].Unit = "A" }, "is in A, but its axis is in V"},
		{"band that runs back", func(p *Plot) { p.Bands = []Band{{5, 4, "b"}} }, `band "b" cannot run`},
		{"mark nowhere", func(p *Plot) { p.Marks[0].Y = math.NaN() }, "which is no place"},
		{"level nowhere", func(p *Plot) { p.Lines = []Level{{Value: math.Inf(-1), Label: "l"}} }, `level "l"`},
	} {
		p := readings()
		c.spoil(&p)
		err := p.Check()
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want …%s…", c.name, err, c.want)
		}
		if svg, err := p.SVG(); err == nil || svg != nil {
			t.Errorf("%s: was drawn", c.name)
		}
		if b, err := p.Options(); err == nil || b != nil {
			t.Errorf("%s: options were made", c.name)
		}
		if b, err := p.CSV(); err == nil || b != nil {
			t.Errorf("%s: data were written", c.name)
		}
	}
	if err := readings().Check(); err != nil {
		t.Errorf("a sound plot: %v", err)
	}
}

func TestCheckReportsAllAtOnce(t *testing.T) {
	p := readings()
	p.Title, p.Alt, p.Series[0].Unit = "", "", "A"
	if err := p.Check(); strings.Count(err.Error(), "\n") != 2 {
		t.Errorf("got %v, want three faults", err)
	}
}

func TestZoom(t *testing.T) {
	p := speeds()
	p.Bands = []Band{{0, 20, "before"}, {70, 100, "across"}}
	p.Marks = []Mark{{X: 10, Y: 6, Label: "out"}, {X: 90, Y: 6, Label: "in"}}
	z, err := p.Zoom(80.5, 95)
	if err != nil {
		t.Fatal(err)
	}
	if z.ID == p.ID {
		t.Error("the enlargement has the id of the whole")
	}
	s := z.Series[1] // has a gap before x = 90
	if s.X[0] != 80 || s.X[len(s.X)-1] != 96 {
		t.Errorf("points from %g to %g, want the neighbours outside the window, 80 and 96", s.X[0], s.X[len(s.X)-1])
	}
	if !slices.Equal(s.Breaks, []int{10}) || s.X[10] != 90 {
		t.Errorf("breaks %v, want the one before x = 90", s.Breaks)
	}
	if len(z.Bands) != 1 || z.Bands[0] != (Band{80.5, 95, "across"}) {
		t.Errorf("bands %v", z.Bands)
	}
	if len(z.Marks) != 1 || z.Marks[0].Label != "in" {
		t.Errorf("marks %v", z.Marks)
	}
	if _, rows := z.Table(); rows[0][0] != "81" || rows[len(rows)-1][0] != "95" {
		t.Errorf("table runs from %s to %s, want 81 to 95", rows[0][0], rows[len(rows)-1][0])
	}
	if err := z.Check(); err != nil {
		t.Error(err)
	}
	if len(p.Series[1].X) != 187 || len(p.Marks) != 2 {
		t.Error("the whole was changed")
	}
	for _, w := range [][2]float64{{5, 5}, {9, 5}, {300, 400}, {math.NaN(), 4}, {80.2, 80.8}} {
		if _, err := p.Zoom(w[0], w[1]); err == nil {
			t.Errorf("Zoom(%g, %g): no error", w[0], w[1])
		}
	}
}

func TestTable(t *testing.T) {
	p := Plot{
		ID: "t", Title: "t", Alt: "t", X: Axis{Label: "Time", Format: Clock}, Upper: Axis{Label: "Voltage", Unit: "V"}, Lower: Axis{Label: "Share"},
		Series: []Series{
			{Name: `Pack "A", main`, X: []float64{0, 1, 1, 3}, Y: []float64{0.1 + 0.2, 2e-9, -0.0000001, 1e6}},
			{Name: "Share", Panel: Lower, X: []float64{1, 2}, Y: []float64{0.25, math.Copysign(0, -1)}},
		},
	}
	got, err := p.CSV()
	if err != nil {
		t.Fatal(err)
	}
	want := "Time in s,\"Pack \"\"A\"\", main in V\",Share\r\n0,0.3,\r\n1,0.000000002,0.25\r\n1,-0.0000001,\r\n2,,0\r\n3,1000000,\r\n"
	if string(got) != want {
		t.Errorf("got\n%q, want\n%q", got, want)
	}
}
