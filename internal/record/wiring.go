package record

import (
	"math"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
	"voltwright/internal/wiring"
)

// Wiring is what a version's wiring does. Parts and leads are named as in the wiring,
// leads by their labels.
type Wiring struct {
	Table    string           `json:"ampacityTable"`
	Faults   []string         `json:"faults,omitempty"`
	Points   []OperatingPoint `json:"operatingPoints"`
	Unsolved []Unsolved       `json:"notSolved,omitempty"`
	Verdicts []Verdict        `json:"verdicts"`
	Live     []Live           `json:"stillLive"`
	Cut      []CutLead        `json:"cutList"`
	Buy      []Conductor      `json:"toBuy"`
}

// OperatingPoint is a solution at one operating point.
type OperatingPoint struct {
	Name    string   `json:"name"`
	Kind    string   `json:"kind"`
	Lasts   *float64 `json:"lasts" about:"s; null: for good"`
	Packs   []Pack   `json:"packs"`
	Loads   []Load   `json:"loads"`
	Leads   []Branch `json:"leads"`
	Inside  []Branch `json:"throughParts"`
	Assumed []string `json:"assumed,omitempty"`
	Limited []string `json:"atTheirLimit,omitempty"`
	Unfed   []string `json:"notFed,omitempty"`
}

// Pack is what one pack gives.
type Pack struct {
	Part    string   `json:"part"`
	Current *float64 `json:"current" about:"A"`
	Volts   *float64 `json:"voltage" about:"V"`
	Share   *float64 `json:"share" about:"of the current of all packs that discharge, 0 to 1"`
}

// Load is what arrives at one load.
type Load struct {
	Part    string   `json:"part"`
	Volts   *float64 `json:"voltage" about:"V"`
	Current *float64 `json:"current" about:"A"`
	Drop    *float64 `json:"lostOnTheWay" about:"V, there and back"`
	Share   *float64 `json:"shareLost" about:"of the voltage at the packs, or behind a controller of that of its output, 0 to 1"`
}

// Branch is one lead, or one way through a part.
type Branch struct {
	Name       string   `json:"name"`
	From       string   `json:"from"`
	To         string   `json:"to"`
	Current    *float64 `json:"current" about:"A"`
	Drop       *float64 `json:"drop" about:"V"`
	Heat       *float64 `json:"heat" about:"W"`
	Resistance *float64 `json:"resistance,omitempty" about:"Ω"`
	Missing    string   `json:"missing,omitempty"`
}

// Unsolved is a point without a solution.
type Unsolved struct {
	Point  string `json:"point"`
	Reason string `json:"reason"`
}

// Verdict is one verdict: held is null where it cannot be judged.
type Verdict struct {
	Rule   string   `json:"rule"`
	Part   string   `json:"part,omitempty"`
	Lead   string   `json:"lead,omitempty"`
	At     string   `json:"at,omitempty"` // the terminal
	Held   *bool    `json:"held"`
	Why    string   `json:"cannotJudge,omitempty"`
	Point  string   `json:"operatingPoint,omitempty"`
	Is     *float64 `json:"is" about:"in unit"`
	MayBe  *float64 `json:"mayBe" about:"in unit"`
	Unit   string   `json:"unit,omitempty"`
	Source string   `json:"source,omitempty"`
	Status string   `json:"status,omitempty"`
	Detail string   `json:"detail,omitempty"`
}

// Live is what stays live with a part open.
type Live struct {
	Opened    string   `json:"opened"`
	Terminals []string `json:"terminals"`
	Leads     []string `json:"leads"`
	Fed       []string `json:"canDrawCurrent"`
}

// CutLead is one line of the cut list.
type CutLead struct {
	Label  string   `json:"label"`
	From   string   `json:"from"`
	To     string   `json:"to"`
	Length *float64 `json:"length" about:"m"`
	Size   string   `json:"size"`
	Area   *float64 `json:"area" about:"mm²"`
	Colour string   `json:"colour"`
	Stripe string   `json:"stripe,omitempty"`
	Code   string   `json:"code,omitempty"`
	A      LeadEnd  `json:"endA"`
	B      LeadEnd  `json:"endB"`
}

// LeadEnd is one end of a lead.
type LeadEnd struct {
	Kind     string   `json:"kind"`
	Ferrule  *float64 `json:"ferruleArea,omitempty" about:"mm²"`
	Collar   string   `json:"collar,omitempty"`
	Terminal string   `json:"terminal,omitempty"`
	Strip    *float64 `json:"strip" about:"m"`
	Source   string   `json:"source,omitempty"`
	Status   string   `json:"status,omitempty"`
	Missing  string   `json:"missing,omitempty"`
}

// Conductor is how much of one conductor to buy.
type Conductor struct {
	Size   string   `json:"size"`
	Class  int      `json:"class" about:"of the conductor, IEC 60228"`
	Tinned bool     `json:"tinned,omitempty"`
	Stands *float64 `json:"insulation" about:"°C that it stands; null: not stated"`
	Colour string   `json:"colour"`
	Stripe string   `json:"stripe,omitempty"`
	Pieces int      `json:"pieces" about:"how many"`
	Length *float64 `json:"length" about:"m"`
	Buy    *float64 `json:"toBuy" about:"m, with the allowance"`
	Lacks  int      `json:"withoutLength" about:"pieces whose length is not stated"`
}

// OfWiring makes the record of what a version's wiring does.
func OfWiring(a *wiring.Analysis) Wiring {
	w := analysis{a}
	c := w.Circuit
	r := Wiring{Table: string(c.Table), Points: []OperatingPoint{}, Verdicts: []Verdict{}, Live: []Live{}, Cut: []CutLead{}, Buy: []Conductor{}}
	if r.Table == "" {
		r.Table = string(circuit.FederalRegulations)
	}
	for _, f := range w.Faults {
		r.Faults = append(r.Faults, f.Text)
	}
	for _, s := range w.Solutions {
		r.Points = append(r.Points, w.point(s))
	}
	for _, u := range w.Unsolved {
		r.Unsolved = append(r.Unsolved, Unsolved(u))
	}
	for i := range w.Verdicts {
		r.Verdicts = append(r.Verdicts, w.verdict(&w.Verdicts[i]))
	}
	for _, l := range w.Live {
		out := Live{Opened: c.Parts[l.Opened].Name, Terminals: []string{}, Leads: []string{}, Fed: w.names(l.Fed)}
		for _, t := range l.Terminals {
			out.Terminals = append(out.Terminals, t.String())
		}
		for _, i := range l.Leads {
			out.Leads = append(out.Leads, w.Whips[i].Label)
		}
		r.Live = append(r.Live, out)
	}
	for i := range w.Whips {
		x := &w.Whips[i]
		r.Cut = append(r.Cut, CutLead{Label: x.Label, From: x.A.At.String(), To: x.B.At.String(), Length: stated(float64(x.Length)), Size: x.Size.String(), Area: stated(float64(x.Size.Area)), Colour: x.Colour, Stripe: x.Stripe, Code: x.Code, A: endOf(&x.A), B: endOf(&x.B)})
	}
	for _, t := range w.Totals {
		r.Buy = append(r.Buy, Conductor{Size: t.Size.String(), Class: int(t.Class), Tinned: t.Tinned, Stands: stated(float64(t.Insulation)), Colour: t.Colour, Stripe: t.Stripe, Pieces: t.Pieces, Length: stated(float64(t.Length)), Buy: stated(float64(t.With)), Lacks: t.Unmeasured})
	}
	return r
}

// analysis is one that calls its parts and leads by name.
type analysis struct{ *wiring.Analysis }

func (w analysis) point(s *circuit.Solution) OperatingPoint {
	c := w.Circuit
	p := OperatingPoint{Name: s.Point.Name, Kind: string(s.Point.Kind), Lasts: stated(float64(s.Point.Lasts)), Packs: []Pack{}, Loads: []Load{}, Leads: []Branch{}, Inside: []Branch{},
		Limited: w.names(s.Limited), Unfed: w.names(s.Unfed)}
	for _, k := range s.Packs {
		p.Packs = append(p.Packs, Pack{c.Parts[k.Part].Name, number(float64(k.Current)), number(float64(k.Volts)), number(float64(k.Share))})
	}
	for _, l := range s.Loads {
		p.Loads = append(p.Loads, Load{c.Parts[l.Part].Name, number(float64(l.Volts)), number(float64(l.Current)), number(float64(l.Drop)), number(float64(l.Share))})
	}
	for i, l := range s.Leads {
		p.Leads = append(p.Leads, Branch{w.Whips[i].Label, c.Leads[i].From.String(), c.Leads[i].To.String(), number(float64(l.Current)), number(float64(l.Drop)), number(float64(l.Heat)), number(float64(l.Resistance)), l.Missing})
	}
	for _, in := range s.Inside {
		p.Inside = append(p.Inside, Branch{Name: c.Parts[in.Part].Name, From: in.From.String(), To: in.To.String(), Current: number(float64(in.Current)), Drop: number(float64(in.Drop)), Heat: number(float64(in.Heat))})
	}
	for _, a := range s.Assumed {
		p.Assumed = append(p.Assumed, c.Parts[a.Part].Name+": "+a.Text)
	}
	return p
}

func (w analysis) verdict(v *circuit.Verdict) Verdict {
	c := w.Circuit
	r := Verdict{Rule: string(v.Rule), Why: v.CannotJudge, Point: v.Point, Is: number(v.Number.Value), MayBe: number(v.Limit.Value), Source: v.Source, Status: string(v.Status), Detail: v.Detail}
	if v.CannotJudge == "" {
		held := v.OK
		r.Held = &held
	}
	if r.Is != nil || r.MayBe != nil {
		r.Unit = unitOf(v.Number, v.Limit)
	}
	switch s := v.Subject; {
	case s.Lead >= 0:
		r.Lead = w.Whips[s.Lead].Label
		if s.End >= 0 {
			r.At = []circuit.Terminal{c.Leads[s.Lead].From, c.Leads[s.Lead].To}[s.End].String()
		}
	case s.Part >= 0:
		r.Part = c.Parts[s.Part].Name
		if s.Terminal != "" {
			r.At = circuit.Terminal{Part: r.Part, Name: s.Terminal}.String()
		}
	}
	return r
}

// unitOf is the base unit of a number and its limit.
func unitOf(is, may quantity.Quantity) string {
	if math.IsNaN(is.Value) {
		is = may
	}
	return is.Dimension.BaseUnit()
}

func (w analysis) names(parts []int) []string {
	out := []string{}
	for _, i := range parts {
		out = append(out, w.Circuit.Parts[i].Name)
	}
	return out
}

func endOf(e *circuit.WhipEnd) LeadEnd {
	r := LeadEnd{Kind: string(e.Kind), Terminal: e.Terminal, Strip: number(float64(e.Strip)), Source: e.Source, Status: string(e.Status), Missing: e.Missing}
	if e.Ferrule.Area > 0 {
		r.Ferrule, r.Collar = number(float64(e.Ferrule.Area)), e.Ferrule.Colour
	}
	return r
}

// stated is a value that is zero where it was not stated.
func stated(x float64) *float64 {
	if !(x > 0) {
		return nil
	}
	return number(x)
}
