package chart

import (
	"bytes"
	"encoding/json"
	"testing"
)

func TestOptions(t *testing.T) {
	p := benchRun()
	p.Alt = "</script><script>alert(1)</script>"
	p.Series[0].Breaks = []int{2000}
	b, err := p.Options()
	if err != nil {
		t.Fatal(err)
	}
	if again, _ := p.Options(); !bytes.Equal(b, again) {
		t.Error("made twice, two options")
	}
	for _, banned := range []string{"__f__", "</script", "<", "function"} {
		if bytes.Contains(b, []byte(banned)) {
			t.Errorf("options contain %q", banned)
		}
	}
	if len(b) > 60_000 {
		t.Errorf("%d bytes for 2 × 5700 points", len(b))
	}
	var got struct {
		Option struct {
			Series []struct {
				Name, Type             string
				XAxisIndex, YAxisIndex int
				Data                   [][2]*float64
				MarkLine               struct{ Data []map[string]any }
				MarkPoint              struct{ Data []map[string]any }
				MarkArea               struct{ Data [][2]map[string]any }
			}
			XAxis, YAxis []struct{ GridIndex int }
			Grid         []any
			Aria         struct{ Label struct{ Description string } }
			Animation    bool
		}
		Lettering struct {
			X, Y   any
			Series []struct{ Line string }
			Places map[string]struct{ Levels, Marks []any }
		}
	}
	if err := json.Unmarshal(b, &got); err != nil {
		t.Fatal(err)
	}
	o := got.Option
	if len(o.Grid) != 2 || len(o.XAxis) != 2 || len(o.YAxis) != 2 || o.XAxis[1].GridIndex != 1 || o.YAxis[1].GridIndex != 1 {
		t.Errorf("two panels want two grids and axes in each: %d %v %v", len(o.Grid), o.XAxis, o.YAxis)
	}
	if o.Animation {
		t.Error("is animated")
	}
	if o.Aria.Label.Description != p.Alt {
		t.Errorf("described as %q", o.Aria.Label.Description)
	}
	v := o.Series[0]
	if v.Name != "Voltage" || len(v.MarkLine.Data) != 1 || len(v.MarkPoint.Data) != 1 || len(v.MarkArea.Data) != 3 {
		t.Errorf("series %q with %d levels, %d marks, %d bands", v.Name, len(v.MarkLine.Data), len(v.MarkPoint.Data), len(v.MarkArea.Data))
	}
	if o.Series[1].YAxisIndex != 1 || len(o.Series[1].MarkArea.Data) != 3 {
		t.Error("the current is not in the lower panel with the same bands")
	}
	gaps, low := 0, 99.0
	for _, d := range v.Data {
		if d[1] == nil {
			gaps++
			continue
		}
		low = min(low, *d[1])
	}
	if gaps != 1 || *v.Data[0][0] != 0 || *v.Data[len(v.Data)-1][0] != 5699 {
		t.Errorf("%d gaps, from %g to %g", gaps, *v.Data[0][0], *v.Data[len(v.Data)-1][0])
	}
	lowest := 99.0
	for _, y := range p.Series[0].Y {
		lowest = min(lowest, y)
	}
	if low != lowest {
		t.Errorf("lowest voltage is %g, want %g", low, lowest)
	}
	if got.Lettering.Places["wide"].Marks[0] == nil || got.Lettering.Places["narrow"].Levels[0] == nil {
		t.Error("the script is not told where the labels stand")
	}
}

func TestReadingDecimals(t *testing.T) {
	wide := scale{min: 20, max: 28}
	for _, c := range []struct {
		y    []float64
		want int
	}{
		{[]float64{20, 21, 25}, 0},
		{[]float64{20.5, 21.25}, 2},
		{[]float64{20.123456}, 3},
	} {
		if got := reading(c.y, wide); got != c.want {
			t.Errorf("%v is read with %d decimals, want %d", c.y, got, c.want)
		}
	}
}
