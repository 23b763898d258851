package chart

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"testing"
	"time"
)

// benchRun is an invented run of 95 minutes with three stops, the opening of a cutout and the rebound after it.
func benchRun() Plot {
	p := Plot{
		ID: "bench-voltage", Title: "Voltage and current on the bench run",
		Caption: "Voltage falls slowly, then fast; the cutout opens at 88 min.",
		Alt:     "Voltage falls from 26.4 V to 20.6 V in 88 minutes while about 8 A flow, rises to 23.2 V after the cutout opens, and stays below the reset point.",
		X:       Axis{Label: "Time", Format: Clock},
		Upper:   Axis{Label: "Voltage", Unit: "V"},
		Lower:   Axis{Label: "Current", Unit: "A"},
		Bands:   []Band{{From: 1100, To: 1160, Label: "stop"}, {From: 2900, To: 3200, Label: "stop"}, {From: 4100, To: 4112, Label: "stop"}},
		Lines:   []Level{{Value: 23.9, Label: "reset point 23.9 V"}},
	}
	v := Series{Name: "Voltage", Kind: Measured}
	a := Series{Name: "Current", Kind: Measured, Panel: Lower}
	const opens = 5280.0
	for i := range 5700 {
		t := float64(i)
		stopped := t >= opens
		for _, b := range p.Bands {
			stopped = stopped || t >= b.From && t < b.To
		}
		soc := t / opens
		rest := 26.4 - 1.1*soc - 3*math.Pow(soc, 14)
		current := 8.1 + 0.9*math.Sin(t/37) + 0.5*math.Sin(t/3.1)
		if stopped {
			current = 0.05
		}
		sag := current * (0.12 + 0.1*math.Pow(soc, 10))
		if t >= opens {
			sag = 0.9 * math.Exp(-(t-opens)/60)
			rest = 23.2
		}
		v.X, v.Y = append(v.X, t), append(v.Y, math.Round((rest-sag)*1000)/1000)
		a.X, a.Y = append(a.X, t), append(a.Y, math.Round(current*100)/100)
	}
	p.Series = []Series{v, a}
	p.Marks = []Mark{{X: 5279, Y: v.Y[5279], Label: "cutout opens"}}
	return p
}

// speeds holds two kinds of number, four series on one axis, one of them stepped, and a gap.
func speeds() Plot {
	p := Plot{
		ID: "speed", Title: "Speed on four laps", Caption: "Loaded laps are slower.",
		Alt: "Four curves of speed against distance: empty about 7 km/h, loaded about 5 km/h, both as predicted.",
		X:   Axis{Label: "Distance", Unit: "m"}, Upper: Axis{Label: "Speed", Unit: "km/h"},
	}
	for k, name := range []string{"empty", "loaded", "empty, predicted", "loaded, predicted"} {
		s := Series{Name: name, Kind: Kind(k / 2)}
		for i := range 187 {
			y := []float64{7.1, 5.2, 7, 5}[k] - 0.9*math.Sin(float64(i)/30)
			if k < 2 {
				y += 0.12 * math.Sin(float64(i*i%97))
			}
			s.X, s.Y = append(s.X, float64(i)), append(s.Y, math.Round(y*100)/100)
		}
		if k == 1 {
			s.Breaks = []int{90}
		}
		if k == 3 {
			s.Shape = Stepped
		}
		p.Series = append(p.Series, s)
	}
	return p
}

// readings are few values, taken by hand.
func readings() Plot {
	return Plot{
		ID: "readings", Title: "Voltage read from the display", Caption: "Seven readings.",
		Alt:   "Seven readings of voltage between 25.9 V and 24.3 V over two hours and a half.",
		X:     Axis{Label: "Time", Format: Clock},
		Upper: Axis{Label: "Voltage", Unit: "V"},
		Series: []Series{{
			Name: "Voltage", Shape: Dotted,
			X: []float64{0, 720, 1800, 3600, 5400, 7200, 9300},
			Y: []float64{25.9, 25.6, 25.5, 25.2, 25, 24.8, 24.3},
		}},
		Marks: []Mark{{X: 9300, Y: 24.3, Label: "last reading, taken at the shed door"}},
	}
}

// dated is a plot of five values from 18 November 2024 over so many days.
func dated(days float64) Plot {
	p := Plot{ID: fmt.Sprintf("dated-%g", days), Title: "Energy over time", Caption: "Five runs.", Alt: "Five values between 11 and 14 Wh/km.",
		X: Axis{Label: "Date", Format: Day}, Upper: Axis{Label: "Energy per kilometre", Unit: "Wh/km"},
		Series: []Series{{Name: "Energy", Shape: Dotted, Y: []float64{14, 12.5, 13, 11, 11.5}}}}
	for i := range p.Series[0].Y {
		p.Series[0].X = append(p.Series[0].X, Days(2024, time.November, 18)+math.Round(days*float64(i)/4))
	}
	return p
}

// scriptOf is what stands in the file beside the page that pageOf names.
func scriptOf(t *testing.T, p Plot) []byte {
	t.Helper()
	script, err := p.Script("fig-" + p.ID)
	if err != nil {
		t.Fatal(err)
	}
	return script
}

// pageOf puts plots on a page in the form that the package comment fixes.
func pageOf(root string, plots ...Plot) ([]byte, error) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Charts</title><meta name=\"viewport\" content=\"width=device-width\">"+
		"<link rel=\"stylesheet\" href=\"%sworkshop/sheet.css\"><link rel=\"stylesheet\" href=\"%sworkshop/charts.css\"><script src=\"%sworkshop/charts.js\" defer></script></head>\n<body><main class=\"sheet\">\n", root, root, root)
	for _, p := range plots {
		svg, err := p.SVG()
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&b, `<figure class="chart" id="fig-%s" data-engine="%sengine/charts-engine.js" data-plot="%s.js"><div class="chart-still">%s</div><div class="chart-live" hidden></div><p class="chart-tools"><button type="button" class="chart-closer" hidden>Look closer</button> <a href="%s.csv" download>Data (CSV)</a></p><figcaption>%s</figcaption></figure>`+"\n",
			p.ID, root, p.ID, svg, p.ID, html.EscapeString(p.Caption))
	}
	b.WriteString("</main></body></html>\n")
	return b.Bytes(), nil
}
