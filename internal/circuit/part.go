package circuit

import (
	"strconv"
	"strings"

	"voltwright/internal/quantity"
)

// Kind says what a part is.
type Kind string

// The kinds of parts.
const (
	Pack          Kind = "pack"
	Fuse          Kind = "fuse"
	Breaker       Kind = "breaker"
	Switch        Kind = "switch"
	Relay         Kind = "relay"
	Contactor     Kind = "contactor"
	Cutout        Kind = "cutout" // a low-voltage cutout module
	EmergencyStop Kind = "emergency-stop"
	TerminalBlock Kind = "terminal-block"
	Controller    Kind = "speed-controller"
	Motor         Kind = "motor"
	Diode         Kind = "diode"
	Resistor      Kind = "resistor"
	Shunt         Kind = "shunt"
	Lamp          Kind = "lamp"
	Horn          Kind = "horn"
	ChargerSocket Kind = "charger-socket"
	Connector     Kind = "connector" // a pair of connectors, one pole for each lead that passes

	Converter         Kind = "converter" // makes one direct voltage of another
	Charger           Kind = "charger"   // on board; its side of direct current
	Throttle          Kind = "throttle"  // a track with a wiper, fed by the controller
	PrechargeResistor Kind = "precharge-resistor"
	BrakeResistor     Kind = "brake-resistor"
	ReversingSwitch   Kind = "reversing-switch"
	HalfSpeedSwitch   Kind = "half-speed-switch" // joins two halves side by side, or one after the other
	Suppressor        Kind = "suppressor"        // takes up transients
	BalanceLead       Kind = "balance-lead"      // the plug with a contact for the end of each cell
)

// Polarity is what a terminal is made for.
type Polarity int8

// Polarities.
const (
	Negative Polarity = -1
	Either   Polarity = 0
	Positive Polarity = 1
)

// Style is how a terminal takes a lead.
type Style string

// Styles of terminals.
const (
	ScrewClamp Style = "screw clamp"
	Stud       Style = "stud"
	Blade      Style = "blade" // a flat tab
	Tail       Style = "tail"  // a wire of the part's own, or a solder lug
)

// TerminalSpec describes one terminal of a part.
type TerminalSpec struct {
	Name     string
	Polarity Polarity
	Style    Style
	Takes    int   // how many leads it takes
	Clamp    Range // the cross-sections that it takes; zero: not stated
}

// Range is a span of cross-sections, both ends included; the zero Range is none.
type Range struct{ From, To quantity.SquareMillimetres }

// Stated tells whether there is a range.
func (r Range) Stated() bool { return r.To > 0 }

// Holds tells whether a cross-section lies in the range, within half a per cent.
func (r Range) Holds(a quantity.SquareMillimetres) bool {
	return float64(a) >= float64(r.From)*0.995 && float64(a) <= float64(r.To)*1.005
}

// VoltRange is a span of voltages; an end of zero is not stated.
type VoltRange struct{ From, To quantity.Volts }

// Ratings are what a part's maker allows; zero: not stated.
type Ratings struct {
	Current   quantity.Amperes // lasting; of a fuse or breaker: its rating
	Peak      quantity.Amperes // for as long as a start or a hill lasts
	Volts     quantity.Volts   // direct voltage
	Breaking  quantity.Amperes // the fault current that a fuse or breaker interrupts
	Resistive quantity.Amperes // direct current that a contact switches, lamps and heaters
	Inductive quantity.Amperes // direct current that a contact switches, motors and coils
	AC        bool             // the ratings of the contact are for alternating current only
}

// Part is one thing with terminals.
type Part struct {
	Name string
	Kind Kind
	Ratings

	Nominal    quantity.Volts   // of a pack: nominal voltage; of a lamp, horn or coil: what it is made for; of a converter: what it gives
	Volts      quantity.Volts   // of a pack: voltage behind its resistance when the operating point states none; of a diode: forward drop
	Full       quantity.Volts   // of a pack: at the end of charge
	Resistance quantity.Ohms    // of a pack, motor, contact, fuse, resistor, shunt, lamp, diode (slope), each pole of a connector; of a controller: both its switches
	Taken      string           // of a pack whose resistance nobody stated: what is taken, and what it rests on
	Fused      quantity.Amperes // of a pack: the rating of the fuse in it, 0: none is known of
	Least      quantity.Ohms    // then the least that it may be, which a short is computed with
	Power      quantity.Watts   // of a lamp or horn, in place of its resistance
	Coil       quantity.Ohms    // of a relay or contactor
	Efficiency quantity.Fraction

	FuseKind       string // blade, large-blade, cartridge: which gates hold
	Poles          int    // of a switch, relay, contactor or connector; 0: one
	Throws         int    // of a switch, relay or contactor: 2 is a changeover; 0: one
	OffBetween     bool   // a changeover that has a middle position where nothing is joined
	Ways           int    // of a terminal block; 0: two
	Cells          int    // of a pack whose cells are tapped, and of a balance lead: cells in series; 0: no taps
	TouchProof     bool   // a charger socket whose contacts cannot be touched or bridged with nothing plugged in
	CommonPositive bool   // a controller that switches the negative side: its out+ is its in+

	Window    VoltRange        // of a converter: input voltage at which it works
	Idle      quantity.Amperes // of a converter: what its input draws with nothing on its output
	Isolated  bool             // a converter whose two sides have nothing in common
	Clamps    quantity.Volts   // of a suppressor: the voltage that it lets no transient exceed; Ratings.Volts is what it stands for good
	BothWays  bool             // a suppressor without polarity
	Reference quantity.Volts   // of a controller: what it feeds its throttle with; 0: its throttle is not drawn
	Pull      quantity.Ohms    // of a controller: from its throttle input to the return; 0: none

	Style Style // of its terminals, where it departs from what is usual for the kind
	Takes int   // leads that each terminal takes, where it departs from the usual
	Clamp Range // cross-sections that its terminals take
}

// terminalTable is the one table of terminals by kind. Poles, throws and ways
// multiply it in Terminals. How many leads a terminal takes is common practice,
// no source; a part that differs states it.
var terminalTable = map[Kind][]TerminalSpec{
	Pack:          {{Name: "+", Polarity: Positive, Style: Stud, Takes: 2}, {Name: "-", Polarity: Negative, Style: Stud, Takes: 2}},
	Fuse:          {{Name: "in", Style: Tail, Takes: 1}, {Name: "out", Style: Tail, Takes: 1}},
	Breaker:       {{Name: "in", Style: Stud, Takes: 1}, {Name: "out", Style: Stud, Takes: 1}},
	Switch:        {{Name: "in", Style: Blade, Takes: 1}, {Name: "out", Style: Blade, Takes: 1}},
	Relay:         {{Name: "in", Style: Blade, Takes: 1}, {Name: "out", Style: Blade, Takes: 1}},
	Contactor:     {{Name: "in", Style: Stud, Takes: 2}, {Name: "out", Style: Stud, Takes: 2}},
	EmergencyStop: {{Name: "in", Style: ScrewClamp, Takes: 1}, {Name: "out", Style: ScrewClamp, Takes: 1}},
	Cutout: {{Name: "in+", Polarity: Positive, Style: ScrewClamp, Takes: 1}, {Name: "in-", Polarity: Negative, Style: ScrewClamp, Takes: 1},
		{Name: "out+", Polarity: Positive, Style: ScrewClamp, Takes: 1}, {Name: "out-", Polarity: Negative, Style: ScrewClamp, Takes: 1}},
	TerminalBlock: {{Name: "", Style: ScrewClamp, Takes: 1}},
	Controller: {{Name: "in+", Polarity: Positive, Style: ScrewClamp, Takes: 1}, {Name: "in-", Polarity: Negative, Style: ScrewClamp, Takes: 1},
		{Name: "out+", Style: ScrewClamp, Takes: 1}, {Name: "out-", Style: ScrewClamp, Takes: 1}},
	Motor:         {{Name: "+", Style: Tail, Takes: 2}, {Name: "-", Style: Tail, Takes: 2}},
	Diode:         {{Name: "anode", Style: Tail, Takes: 2}, {Name: "cathode", Style: Tail, Takes: 2}},
	Resistor:      {{Name: "1", Style: Tail, Takes: 2}, {Name: "2", Style: Tail, Takes: 2}},
	Shunt:         {{Name: "in", Style: Stud, Takes: 2}, {Name: "out", Style: Stud, Takes: 2}},
	Lamp:          {{Name: "1", Style: Blade, Takes: 2}, {Name: "2", Style: Blade, Takes: 2}},
	Horn:          {{Name: "1", Style: Blade, Takes: 1}, {Name: "2", Style: Blade, Takes: 1}},
	ChargerSocket: {{Name: "+", Polarity: Positive, Style: Tail, Takes: 1}, {Name: "-", Polarity: Negative, Style: Tail, Takes: 1}},
	Connector:     {{Name: "in", Style: Tail, Takes: 1}, {Name: "out", Style: Tail, Takes: 1}},

	Converter: {{Name: "in+", Polarity: Positive, Style: ScrewClamp, Takes: 1}, {Name: "in-", Polarity: Negative, Style: ScrewClamp, Takes: 1},
		{Name: "out+", Style: ScrewClamp, Takes: 1}, {Name: "out-", Style: ScrewClamp, Takes: 1}},
	Charger:           {{Name: "+", Polarity: Positive, Style: Tail, Takes: 1}, {Name: "-", Polarity: Negative, Style: Tail, Takes: 1}},
	Throttle:          {{Name: "+", Style: Tail, Takes: 1}, {Name: "wiper", Style: Tail, Takes: 1}, {Name: "-", Style: Tail, Takes: 1}},
	PrechargeResistor: {{Name: "1", Style: Tail, Takes: 2}, {Name: "2", Style: Tail, Takes: 2}},
	BrakeResistor:     {{Name: "1", Style: Tail, Takes: 2}, {Name: "2", Style: Tail, Takes: 2}},
	ReversingSwitch: {{Name: "in+", Style: Blade, Takes: 1}, {Name: "in-", Style: Blade, Takes: 1},
		{Name: "out+", Style: Blade, Takes: 1}, {Name: "out-", Style: Blade, Takes: 1}},
	HalfSpeedSwitch: {{Name: "a+", Style: Blade, Takes: 1}, {Name: "a-", Style: Blade, Takes: 1}, {Name: "b+", Style: Blade, Takes: 1}, {Name: "b-", Style: Blade, Takes: 1},
		{Name: "+", Style: Blade, Takes: 1}, {Name: "-", Style: Blade, Takes: 1}},
	Suppressor:  {{Name: "anode", Style: Tail, Takes: 2}, {Name: "cathode", Style: Tail, Takes: 2}},
	BalanceLead: {{Name: "0", Style: Tail, Takes: 1}},
}

// throttleTerminals are those that a controller has for its throttle.
var throttleTerminals = []TerminalSpec{{Name: "throttle+", Style: Blade, Takes: 1}, {Name: "throttle", Style: Blade, Takes: 1}, {Name: "throttle-", Style: Blade, Takes: 1}}

// Kinds lists the kinds of parts in the order of this file.
func Kinds() []Kind {
	return []Kind{Pack, Fuse, Breaker, Switch, Relay, Contactor, Cutout, EmergencyStop, TerminalBlock, Controller, Motor,
		Diode, Resistor, Shunt, Lamp, Horn, ChargerSocket, Connector,
		Converter, Charger, Throttle, PrechargeResistor, BrakeResistor, ReversingSwitch, HalfSpeedSwitch, Suppressor, BalanceLead}
}

// contact tells whether the part opens and closes.
func (k Kind) contact() bool {
	switch k {
	case Switch, Relay, Contactor, Cutout, EmergencyStop, ReversingSwitch, HalfSpeedSwitch:
		return true
	}
	return false
}

// passes tells whether the part is made to let the current through: nearly no
// resistance from one side to the other.
func (k Kind) passes() bool {
	switch k {
	case Fuse, Breaker, TerminalBlock, Shunt, Connector:
		return true
	}
	return k.contact()
}

// resists tells whether the part is a resistance and nothing else.
func (k Kind) resists() bool { return k == Resistor || k == PrechargeResistor || k == BrakeResistor }

// charges tells whether the part may put current into the packs from outside.
func (k Kind) charges() bool { return k == ChargerSocket || k == Charger }

// converts tells whether the part feeds its output from its input.
func (k Kind) converts() bool { return k == Controller || k == Converter }

// oneWay tells whether the part lets a current through from its anode to its cathode alone.
func (p *Part) oneWay() bool { return p.Kind == Diode || p.Kind == Suppressor && !p.BothWays }

// coiled tells whether the part may have a coil.
func (k Kind) coiled() bool { return k == Relay || k == Contactor }

func (p *Part) poles() int  { return max(1, p.Poles) }
func (p *Part) throws() int { return min(max(1, p.Throws), 2) }

// changeover tells whether a contact goes between two ways.
func (p *Part) changeover() bool {
	return p.throws() == 2 && (p.Kind == Switch || p.Kind == Relay || p.Kind == Contactor)
}

// twoWays tells whether a contact can stand the other way.
func (p *Part) twoWays() bool {
	return p.changeover() || p.Kind == ReversingSwitch || p.Kind == HalfSpeedSwitch
}

// Terminals lists the part's terminals: those of its kind, once for each pole
// (in-1, out-1, in-2 ...), with the two ways of a changeover (in, out-a, out-b;
// with poles in-1, out-1a, out-1b ...), the numbered ways of a terminal block,
// the coil of a relay that has one, the ends of cells that a pack has tapped and a balance
// lead goes to (numbered from the negative end), and of a controller those for a throttle that is drawn.
func (p *Part) Terminals() []TerminalSpec {
	base := terminalTable[p.Kind]
	var all []TerminalSpec
	switch {
	case p.Kind == TerminalBlock:
		for n := range max(2, p.Ways) {
			spec := base[0]
			spec.Name = strconv.Itoa(n + 1)
			all = append(all, spec)
		}
	case p.Kind == Switch || p.Kind == Relay || p.Kind == Contactor || p.Kind == Connector:
		for n := range p.poles() {
			pole, way := "", "-"
			if p.poles() > 1 {
				pole = "-" + strconv.Itoa(n+1)
				way = pole
			}
			for i, spec := range base {
				if i == 1 && p.changeover() {
					spec.Name = base[1].Name + way + "a"
					all = append(all, spec)
					spec.Name = base[1].Name + way + "b"
				} else {
					spec.Name += pole
				}
				all = append(all, spec)
			}
		}
		if p.Kind.coiled() {
			all = append(all, TerminalSpec{Name: "coil+", Polarity: Positive, Style: Blade, Takes: 1}, TerminalSpec{Name: "coil-", Polarity: Negative, Style: Blade, Takes: 1})
		}
	case p.Kind == BalanceLead:
		for n := range max(1, p.Cells) + 1 {
			spec := base[0]
			spec.Name = strconv.Itoa(n)
			all = append(all, spec)
		}
	default:
		all = append(all, base...)
		if p.Kind == Pack {
			for n := 1; n < p.Cells; n++ {
				all = append(all, TerminalSpec{Name: strconv.Itoa(n), Style: Tail, Takes: 1})
			}
		}
		if p.Kind == Controller && p.Reference > 0 {
			all = append(all, throttleTerminals...)
		}
	}
	for i := range all {
		if strings.HasPrefix(all[i].Name, "throttle") {
			continue // a small plug of their own
		}
		if p.Style != "" {
			all[i].Style = p.Style
		}
		if p.Takes > 0 {
			all[i].Takes = p.Takes
		}
		if p.Clamp.Stated() {
			all[i].Clamp = p.Clamp
		}
	}
	return all
}

// loadOhms is what a lamp, horn, resistor or coil is to direct current.
func (p *Part) loadOhms() float64 {
	if p.Resistance > 0 {
		return float64(p.Resistance)
	}
	if p.Power > 0 && p.Nominal > 0 {
		return float64(p.Nominal) * float64(p.Nominal) / float64(p.Power)
	}
	return 0
}
