package diagram

import (
	"math/rand/v2"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

// separate fails for two leads that lie on each other, and for a lead that runs
// through a part that it is not joined to.
func separate(t *testing.T, name string, c *circuit.Circuit, d Drawing) {
	t.Helper()
	whips, _ := c.CutList(0)
	joins := map[string]map[string]bool{}
	for i, w := range whips {
		if joins[w.Label] == nil {
			joins[w.Label] = map[string]bool{}
		}
		joins[w.Label][c.Leads[i].From.Part] = true
		joins[w.Label][c.Leads[i].To.Part] = true
	}
	for i, b := range d.Boxes {
		if b.Ink != Wire {
			continue
		}
		flat := b.Y1-b.Y0 < 2*leadHalf+0.1
		for j, e := range d.Boxes {
			if !b.Overlaps(e) {
				continue
			}
			if e.Ink == Symbol && !joins[b.Of][e.Of] {
				t.Errorf("%s: lead %s runs through %q at (%.0f %.0f %.0f %.0f)", name, b.Of, e.Of, e.X0, e.Y0, e.X1, e.Y1)
			}
			if e.Ink == Wire && j < i && e.Of != b.Of && flat == (e.Y1-e.Y0 < 2*leadHalf+0.1) {
				t.Errorf("%s: leads %s and %s lie on each other at (%.0f %.0f %.0f %.0f)", name, b.Of, e.Of, e.X0, e.Y0, e.X1, e.Y1)
			}
		}
	}
}

// dice are bytes that choices are taken from; when they are used up, the first
// of everything is chosen.
type dice []byte

func (d *dice) IntN(n int) int {
	if len(*d) == 0 {
		return 0
	}
	b := (*d)[0]
	*d = (*d)[1:]
	return int(b) % n
}

// invented makes a circuit of any parts joined in any way.
func invented(r *dice) circuit.Circuit {
	names := []string{"a", "main fuse", "lamp-return", "Wagen 3", "<b>", "the very long name of a part that nobody would give", "x y", ""}
	colours := []string{"red", "black", "white", "blue", "mauve", ""}
	var c circuit.Circuit
	kinds := circuit.Kinds()
	for i := range 1 + r.IntN(14) {
		p := circuit.Part{Name: names[r.IntN(len(names))] + string(rune('a'+i)), Kind: kinds[r.IntN(len(kinds))], Poles: r.IntN(4), Throws: r.IntN(3), Ways: r.IntN(7), Cells: r.IntN(5), Reference: quantity.Volts(r.IntN(2)), BothWays: r.IntN(2) == 1}
		if i == 0 || r.IntN(8) == 0 {
			p.Kind = circuit.Pack
		}
		if r.IntN(2) == 0 {
			p.Current, p.Nominal, p.Coil = quantity.Amperes(r.IntN(100)), quantity.Volts(r.IntN(60)), quantity.Ohms(r.IntN(2)*100)
		}
		c.Parts = append(c.Parts, p)
	}
	end := func() circuit.Terminal {
		p := &c.Parts[r.IntN(len(c.Parts))]
		t := p.Terminals()
		if len(t) == 0 || r.IntN(40) == 0 {
			return circuit.Terminal{Part: p.Name, Name: "none"}
		}
		return circuit.Terminal{Part: p.Name, Name: t[r.IntN(len(t))].Name}
	}
	for range r.IntN(26) {
		l := circuit.Lead{From: end(), To: end(), Colour: colours[r.IntN(len(colours))], Length: quantity.Metres(r.IntN(3)) * 0.35}
		if r.IntN(3) > 0 {
			l.Size = circuit.Metric(quantity.SquareMillimetres(r.IntN(5)))
		}
		if r.IntN(6) == 0 {
			l.Stripe = "yellow"
		}
		c.Leads = append(c.Leads, l)
	}
	return c
}

func checkInvented(t *testing.T, data []byte) {
	t.Helper()
	d := dice(data)
	c := invented(&d)
	for _, o := range []Options{{}, {Lettering: Numbers, Key: true, Standalone: true}, {Paper: A4, Monochrome: true}} {
		d := Power(&c, nil, o)
		clear(t, "power", d)
		separate(t, "power", &c, d)
		wellFormed(t, "power", d.SVG)
	}
	for i := range c.Parts {
		if openable(c.Parts[i].Kind) {
			if live, err := c.Live(i); err == nil {
				d := Live(&c, live, Options{Standalone: true})
				clear(t, "live", d)
				separate(t, "live", &c, d)
				wellFormed(t, "live", d.SVG)
			}
			break
		}
	}
}

// FuzzDraw draws circuits of any parts joined in any way.
func FuzzDraw(f *testing.F) {
	r := rand.New(rand.NewPCG(1, 7))
	for range 30 {
		data := make([]byte, 50+r.IntN(250))
		for i := range data {
			data[i] = byte(r.UintN(256))
		}
		f.Add(data)
	}
	f.Fuzz(checkInvented)
}
