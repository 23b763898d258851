package circuit

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"voltwright/internal/quantity"
)

// WhipEnd is one end of a lead as it is made up.
type WhipEnd struct {
	At       Terminal
	Kind     EndKind
	Strip    quantity.Metres // NaN: not known; a terminal's maker says it
	Ferrule  FerruleSize     // for a ferrule
	Terminal string          // for a ring or a spade: "M6, yellow", "for 16 mm²"
	Missing  string          // what could not be found
	Quoted                   // of strip length and ferrule or colour
}

// Whip is one line of the cut list.
type Whip struct {
	Lead           int
	Label          string // to put on the lead
	Length         quantity.Metres
	Size           Size
	Colour, Stripe string
	Code           string // letters for colour and stripe; "" if one is not known
	A, B           WhipEnd
}

// Total is how much of one conductor to buy.
type Total struct {
	Size           Size
	Class          Class
	Tinned         bool
	Insulation     quantity.Celsius // 0: not stated
	Colour, Stripe string
	Pieces         int
	Length         quantity.Metres // cut lengths together
	With           quantity.Metres // with the allowance
	Unmeasured     int             // pieces whose length is not stated
}

// CutList lists every lead as it is made up, and totals by conductor with an
// allowance for each length, 0.1 for a tenth more.
func (c *Circuit) CutList(allowance quantity.Fraction) ([]Whip, []Total) {
	var whips []Whip
	var totals []Total
	for i := range c.Leads {
		l := &c.Leads[i]
		w := Whip{Lead: i, Label: l.Label, Length: l.Length, Size: l.Size, Colour: l.Colour, Stripe: l.Stripe, A: madeUp(l, l.From, l.EndA), B: madeUp(l, l.To, l.EndB)}
		if w.Label == "" {
			w.Label = "W" + strconv.Itoa(i+1)
		}
		w.Code, _ = ColourCode(l.Colour, l.Stripe)
		whips = append(whips, w)

		at := slices.IndexFunc(totals, func(t Total) bool {
			return t.conductor() == l.conductor()
		})
		if at < 0 {
			at = len(totals)
			totals = append(totals, l.conductor())
		}
		t := &totals[at]
		t.Pieces++
		t.Length += l.Length
		if !(l.Length > 0) {
			t.Unmeasured++
		}
	}
	for i := range totals {
		totals[i].With = totals[i].Length * quantity.Metres(1+float64(allowance))
	}
	slices.SortStableFunc(totals, func(a, b Total) int {
		return cmp.Or(-cmp.Compare(a.Size.Area, b.Size.Area), cmp.Compare(a.Colour, b.Colour), cmp.Compare(a.Stripe, b.Stripe), cmp.Compare(a.Class, b.Class), cmp.Compare(a.Insulation, b.Insulation))
	})
	return whips, totals
}

// conductor is what is bought for a lead, with nothing counted.
func (l *Lead) conductor() Total {
	return Total{Size: l.Size, Class: l.class(), Tinned: l.Tinned, Insulation: l.Insulation, Colour: l.Colour, Stripe: l.Stripe}
}

func (t Total) conductor() Total {
	t.Pieces, t.Length, t.With, t.Unmeasured = 0, 0, 0, 0
	return t
}

func (l *Lead) class() Class {
	if l.Class == 0 {
		return Flexible
	}
	return l.Class
}

// madeUp finds what goes on one end of a lead.
func madeUp(l *Lead, at Terminal, end End) WhipEnd {
	w := WhipEnd{At: at, Kind: end.Kind, Strip: quantity.Metres(math.NaN())}
	var err error
	switch end.Kind {
	case Ferrule:
		if w.Ferrule, err = FerruleFor(l.Size.Area); err == nil {
			w.Strip = w.Ferrule.Strip
			w.Quoted = Quoted{w.Ferrule.Source, w.Ferrule.LengthStatus.Weaker(w.Ferrule.ColourStatus)}
		}
	case Ring, Spade:
		var colour string
		if colour, w.Quoted, err = CrimpColour(l.Size); err == nil {
			w.Terminal = colour
		} else {
			w.Terminal, err = "for "+l.Size.String(), nil
		}
		if end.For != "" {
			w.Terminal = end.For + ", " + w.Terminal
		} else {
			w.Missing = "the stud or tab that it goes on is not stated"
		}
	case NotStated:
		w.Missing = "how it ends is not stated"
	default:
		w.Terminal = end.For
	}
	if err != nil {
		w.Missing = err.Error()
	}
	return w
}
