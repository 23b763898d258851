// Package circuittest holds worked circuits that the tests of several packages
// share: drawings, solutions, verdicts. Every circuit, name and value in it is
// invented. The product does not import it.
//
// A circuit is a JSON file under testdata/circuits with SI base units (volts,
// amperes, ohms, metres, seconds, °C) and sizes as a maker writes them; unknown
// keys are errors.
package circuittest

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
)

//go:embed testdata/circuits/*.json
var files embed.FS

// Example is one worked circuit and the points at which it is looked at.
type Example struct {
	Name    string // of its file, without .json
	Title   string
	Circuit circuit.Circuit
	Points  []circuit.OperatingPoint
}

type file struct {
	Title  string  `json:"title"`
	Parts  []part  `json:"parts"`
	Leads  []lead  `json:"leads"`
	Points []point `json:"points"`
}

type part struct {
	Name       string     `json:"name"`
	Kind       string     `json:"kind"`
	Nominal    float64    `json:"nominal"`
	Volts      float64    `json:"volts"`
	Full       float64    `json:"full"`
	Ohms       float64    `json:"ohms"`
	Watts      float64    `json:"watts"`
	Coil       float64    `json:"coil"`
	Efficiency float64    `json:"efficiency"`
	Fuse       string     `json:"fuse"`
	Poles      int        `json:"poles"`
	Throws     int        `json:"throws"`
	OffBetween bool       `json:"off-between"`
	Ways       int        `json:"ways"`
	CommonPlus bool       `json:"common-positive"`
	Style      string     `json:"style"`
	Takes      int        `json:"takes"`
	Clamp      [2]float64 `json:"clamp"`
	Cells      int        `json:"cells"`
	Window     [2]float64 `json:"window"`
	Idle       float64    `json:"idle"`
	Isolated   bool       `json:"isolated"`
	Clamps     float64    `json:"clamps"`
	BothWays   bool       `json:"both-ways"`
	Reference  float64    `json:"reference"`
	Pull       float64    `json:"pull-down"`
	Rated      struct {
		Current   float64 `json:"current"`
		Peak      float64 `json:"peak"`
		Volts     float64 `json:"volts"`
		Breaking  float64 `json:"breaking"`
		Resistive float64 `json:"resistive"`
		Inductive float64 `json:"inductive"`
		AC        bool    `json:"ac"`
	} `json:"rated"`
}

type lead struct {
	From       string    `json:"from"`
	To         string    `json:"to"`
	Size       string    `json:"size"`
	Class      uint8     `json:"class"`
	Tinned     bool      `json:"tinned"`
	Insulation float64   `json:"insulation"`
	Length     float64   `json:"length"`
	Colour     string    `json:"colour"`
	Stripe     string    `json:"stripe"`
	Ends       [2]string `json:"ends"` // "ferrule", "ring M6"
	Bundle     int       `json:"bundle"`
	Ambient    float64   `json:"ambient"`
	Sheathed   bool      `json:"sheathed"`
}

type point struct {
	Name  string           `json:"name"`
	Kind  string           `json:"kind"`
	Lasts float64          `json:"lasts"`
	Parts map[string]state `json:"parts"`
}

type state struct {
	Position string  `json:"position"` // "", "open", "other"
	Volts    float64 `json:"volts"`
	Current  float64 `json:"current"`
	Duty     float64 `json:"duty"`
	Off      bool    `json:"off"`
	Limit    float64 `json:"limit"`
	EMF      float64 `json:"emf"`
	Draws    float64 `json:"draws"`
}

// All reads every example, in the order of their names. The error is of the first that cannot be read.
func All() ([]Example, error) {
	entries, err := files.ReadDir("testdata/circuits")
	if err != nil {
		return nil, err
	}
	var all []Example
	for _, e := range entries {
		x, err := Named(strings.TrimSuffix(e.Name(), ".json"))
		if err != nil {
			return nil, err
		}
		all = append(all, x)
	}
	return all, nil
}

// Named reads one example. A name that is none is an error.
func Named(name string) (Example, error) {
	data, err := files.ReadFile("testdata/circuits/" + name + ".json")
	if err != nil {
		return Example{}, err
	}
	x, err := Parse(data)
	x.Name = name
	if err != nil {
		err = fmt.Errorf("%s: %w", name, err)
	}
	return x, err
}

// Parse reads a circuit from its JSON. What is no circuit is an error.
func Parse(data []byte) (Example, error) {
	var f file
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return Example{}, err
	}
	x := Example{Title: f.Title}
	for _, p := range f.Parts {
		x.Circuit.Parts = append(x.Circuit.Parts, p.part())
	}
	for i, l := range f.Leads {
		made, err := l.lead()
		if err != nil {
			return x, fmt.Errorf("lead %d: %w", i+1, err)
		}
		x.Circuit.Leads = append(x.Circuit.Leads, made)
	}
	for _, p := range f.Points {
		op, err := p.point()
		if err != nil {
			return x, fmt.Errorf("point %s: %w", p.Name, err)
		}
		x.Points = append(x.Points, op)
	}
	return x, nil
}

func (p part) part() circuit.Part {
	return circuit.Part{
		Name: p.Name, Kind: circuit.Kind(p.Kind),
		Ratings: circuit.Ratings{Current: quantity.Amperes(p.Rated.Current), Peak: quantity.Amperes(p.Rated.Peak), Volts: quantity.Volts(p.Rated.Volts), Breaking: quantity.Amperes(p.Rated.Breaking),
			Resistive: quantity.Amperes(p.Rated.Resistive), Inductive: quantity.Amperes(p.Rated.Inductive), AC: p.Rated.AC},
		Nominal: quantity.Volts(p.Nominal), Volts: quantity.Volts(p.Volts), Full: quantity.Volts(p.Full), Resistance: quantity.Ohms(p.Ohms),
		Power: quantity.Watts(p.Watts), Coil: quantity.Ohms(p.Coil), Efficiency: quantity.Fraction(p.Efficiency),
		FuseKind: p.Fuse, Poles: p.Poles, Throws: p.Throws, OffBetween: p.OffBetween, Ways: p.Ways, CommonPositive: p.CommonPlus,
		Cells: p.Cells, Window: circuit.VoltRange{From: quantity.Volts(p.Window[0]), To: quantity.Volts(p.Window[1])}, Idle: quantity.Amperes(p.Idle), Isolated: p.Isolated,
		Clamps: quantity.Volts(p.Clamps), BothWays: p.BothWays, Reference: quantity.Volts(p.Reference), Pull: quantity.Ohms(p.Pull),
		Style: circuit.Style(p.Style), Takes: p.Takes,
		Clamp: circuit.Range{From: quantity.SquareMillimetres(p.Clamp[0]), To: quantity.SquareMillimetres(p.Clamp[1])},
	}
}

func (l lead) lead() (circuit.Lead, error) {
	made := circuit.Lead{Class: circuit.Class(l.Class), Tinned: l.Tinned, Insulation: quantity.Celsius(l.Insulation), Length: quantity.Metres(l.Length),
		Colour: l.Colour, Stripe: l.Stripe, Bundle: l.Bundle, Ambient: quantity.Celsius(l.Ambient), Sheathed: l.Sheathed}
	for _, end := range []struct {
		text string
		to   *circuit.Terminal
	}{{l.From, &made.From}, {l.To, &made.To}} {
		t, ok := circuit.ParseTerminal(end.text)
		if !ok {
			return made, fmt.Errorf("%q is no terminal", end.text)
		}
		*end.to = t
	}
	if l.Size != "" {
		q, err := quantity.ParseAs(l.Size, quantity.Area)
		if err != nil {
			return made, err
		}
		made.Size = circuit.SizeOf(q)
	}
	for i, end := range []*circuit.End{&made.EndA, &made.EndB} {
		kind, size, _ := strings.Cut(l.Ends[i], " ")
		*end = circuit.End{Kind: circuit.EndKind(kind), For: size}
	}
	return made, nil
}

var positions = map[string]circuit.Position{"": circuit.Usual, "open": circuit.Opened, "other": circuit.OtherWay}

func (p point) point() (circuit.OperatingPoint, error) {
	op := circuit.OperatingPoint{Name: p.Name, Kind: circuit.PointKind(p.Kind), Lasts: quantity.Seconds(p.Lasts), Parts: map[string]circuit.State{}}
	for name, s := range p.Parts {
		at, known := positions[s.Position]
		if !known {
			return op, fmt.Errorf("position %q", s.Position)
		}
		op.Parts[name] = circuit.State{Position: at, Volts: quantity.Volts(s.Volts), Current: quantity.Amperes(s.Current), Duty: quantity.Fraction(s.Duty), Off: s.Off,
			Limit: quantity.Amperes(s.Limit), BackEMF: quantity.Volts(s.EMF), Draws: quantity.Amperes(s.Draws)}
	}
	return op, nil
}
