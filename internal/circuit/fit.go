package circuit

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// practice is the source of rules that no standard at hand states.
const practice = "common practice, no source"

// FerruleSize is a ferrule with a collar, DIN 46228-4.
type FerruleSize struct {
	Area         quantity.SquareMillimetres // nominal
	Colour       string                     // of the collar
	Pin          quantity.Metres            // length of the tube; NaN: not known
	Strip        quantity.Metres            // length to strip; NaN: not known
	Source       string
	ColourStatus Status
	LengthStatus Status // of pin and strip
}

// FerruleFor finds the smallest ferrule that a conductor goes into: the first
// whose nominal area is not more than 4 % below it (20 AWG, 0.519 mm², goes into
// 0.5 mm²). DIN 46228-4 runs from 0.5 to 50 mm²; outside, the error is an
// *UnjudgedError. Where the length to strip is not printed it is the pin and
// 3 mm, by the one size that is (8 mm pin, 11 mm).
func FerruleFor(area quantity.SquareMillimetres) (FerruleSize, error) {
	if float64(area) >= 0.48 {
		for _, r := range tables().ferrules {
			if r.area >= 0.5 && r.area >= float64(area)*0.96 {
				strip := r.strip
				if math.IsNaN(strip) {
					strip = r.pin + 3
				}
				return FerruleSize{quantity.SquareMillimetres(r.area), r.colour, quantity.Metres(r.pin / 1000), quantity.Metres(strip / 1000), r.source, r.colourStatus, r.lengthStatus}, nil
			}
		}
	}
	return FerruleSize{}, unjudged("DIN 46228-4 has no ferrule for %.3g mm²", float64(area))
}

// CrimpColour finds the insulated crimp terminal for a size, by the gauges or the
// areas printed for its colour. Above 6 mm² or 10 AWG there is none, and the
// error is an *UnjudgedError.
func CrimpColour(s Size) (colour string, quoted Quoted, err error) {
	n := math.Round(quantity.GaugeNumber(s.Area))
	for _, r := range tables().crimps {
		if s.Gauge && n <= float64(r.thin) && n >= float64(r.thick) || !s.Gauge && float64(s.Area) >= r.from && float64(s.Area) <= r.to {
			return r.colour, r.quoted, nil
		}
	}
	return "", Quoted{}, unjudged("no insulated crimp terminal is printed for %s", s)
}

// fitting tells which ends go on which terminals, and why not.
var fitting = map[Style]map[EndKind]string{
	ScrewClamp: {Ferrule: "", Bare: "stranded wire in a screw clamp gets a ferrule", Solder: "solder creeps under a screw, and the clamp comes loose", Ring: "a ring does not go into a clamp", Spade: "a spade does not go into a clamp", Crimp: "a connector's contact does not go into a clamp"},
	Stud:       {Ring: "", Bare: "a stud takes a ring", Ferrule: "a stud takes a ring", Solder: "a stud takes a ring", Spade: "a spade slips off a stud; take a ring", Crimp: "a stud takes a ring"},
	Blade:      {Spade: "", Solder: "", Bare: "a blade takes a spade", Ferrule: "a blade takes a spade", Ring: "a blade takes a spade", Crimp: "a blade takes a spade"},
	Tail:       {Crimp: "", Solder: "", Spade: "a tail is joined by a crimp or by solder", Bare: "a tail is joined by a crimp or by solder", Ferrule: "a tail is joined by a crimp or by solder", Ring: "a tail is joined by a crimp or by solder"},
}

// fits judges every end of every lead against its terminal.
func (j *judge) fits() {
	for i := range j.c.Leads {
		l := &j.c.Leads[i]
		for end, t := range [2]Terminal{l.From, l.To} {
			part := j.c.find(t.Part)
			if part < 0 {
				continue
			}
			for _, spec := range j.c.Parts[part].Terminals() {
				if spec.Name == t.Name {
					j.fit(i, end, spec)
				}
			}
		}
	}
}

func (j *judge) fit(lead, end int, spec TerminalSpec) {
	l := &j.c.Leads[lead]
	kind := [2]End{l.EndA, l.EndB}[end].Kind
	terminal := [2]Terminal{l.From, l.To}[end]
	v := Verdict{Rule: EndFitsTerminal, Subject: aboutLead(lead, end), Quoted: Quoted{practice, Practice}}
	if why, known := fitting[spec.Style][kind]; kind == NotStated {
		j.give(v, unjudged("how the lead ends at %s is not stated", terminal))
	} else if !known {
		j.give(v, unjudged("a terminal of style “%s” and an end “%s” are not known", spec.Style, kind))
	} else {
		if kind == Bare && l.Class == Solid && spec.Style == ScrewClamp {
			why = "" // a single wire needs no ferrule
		}
		v.OK, v.Detail = why == "", why
		if !v.OK {
			v.Remedy = "change the end, or the terminal."
		}
		j.give(v, nil)
	}
	if spec.Style == ScrewClamp || spec.Clamp.Stated() {
		v = Verdict{Rule: WireFitsClamp, Subject: aboutLead(lead, end), Number: number(l.Size.Area), Quoted: Quoted{"as stated for " + terminal.Part, Stated}}
		if !(l.Size.Area > 0) {
			j.give(v, unjudged("the size of the lead at %s is not stated", terminal))
		} else if spec.Clamp.Stated() {
			v.OK, v.Limit = spec.Clamp.Holds(l.Size.Area), number(spec.Clamp.To)
			v.Detail = fmt.Sprintf("the clamp takes %.3g to %.3g mm²", float64(spec.Clamp.From), float64(spec.Clamp.To))
			v.Remedy = "go on from a terminal block with a lead that fits."
			j.give(v, nil)
		} else {
			j.give(v, unjudged("the sizes that %s takes are not stated", terminal))
		}
	}
	if kind == Ferrule {
		j.ferrule(lead, end)
	}
}

// ferrule judges whether a lead goes into its ferrule: into the one that is stated, or into any there is.
func (j *judge) ferrule(lead, end int) {
	l := &j.c.Leads[lead]
	v := Verdict{Rule: WireFitsFerrule, Subject: aboutLead(lead, end), Number: number(l.Size.Area)}
	f, err := FerruleFor(l.Size.Area)
	stated, isStated, errStated := [2]End{l.EndA, l.EndB}[end].ferrule()
	switch {
	case err != nil:
	case errStated != nil:
		err = errStated
	default:
		v.OK, v.Limit, v.Quoted = true, number(f.Area), Quoted{f.Source, f.ColourStatus}
		v.Detail = "ferrule of " + Metric(f.Area).String() + ", " + f.Colour
		if own := float64(stated.Area) / float64(f.Area); isStated && math.Abs(own-1) > ferruleSlack {
			v.OK, v.Limit = false, number(stated.Area)
			v.Remedy = "take a ferrule of " + Metric(f.Area).String() + ", " + f.Colour + "."
			v.Detail = "a ferrule of " + stated.String() + " is too wide for a lead of " + l.Size.String() + ", and does not hold when it is crimped"
			if own < 1 {
				v.Detail = "a lead of " + l.Size.String() + " does not go into a ferrule of " + stated.String()
			}
		}
	}
	j.give(v, err)
}

// ferruleSlack is how far a ferrule's size as written may lie from its nominal one: 14 AWG is sold as 2.08 and as
// 2.5 mm². Sizes of the series lie a quarter apart and more.
const ferruleSlack = 0.2

// ferrule is the size of the ferrule that an end states.
func (e End) ferrule() (s Size, stated bool, err error) {
	if e.For == "" {
		return Size{}, false, nil
	}
	q, err := quantity.ParseAs(e.For, quantity.Area)
	if err != nil {
		return Size{}, false, unjudged("the size of the ferrule, “%s”, is no cross-section", e.For)
	}
	return SizeOf(q), true, nil
}
