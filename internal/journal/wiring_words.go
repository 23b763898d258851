package journal

import (
	"voltwright/internal/circuit"
	"voltwright/internal/notes"
)

// AmpacityWord names a table of currents that a lead may carry for good.
type AmpacityWord string

// Options lists the words.
func (AmpacityWord) Options() []notes.Option {
	var out []notes.Option
	for _, t := range circuit.AmpacityTables() {
		out = append(out, notes.Option{Name: string(t.Name), Meaning: t.Title + ": " + t.Conditions})
	}
	return out
}

// PartWord says what a part of the wiring is.
type PartWord string

var partMeanings = map[circuit.Kind]string{
	circuit.Pack:          "a pack of cells: +, -",
	circuit.Fuse:          "a fuse: in, out",
	circuit.Breaker:       "a circuit breaker: in, out",
	circuit.Switch:        "a switch: in, out; a changeover has in, out-a, out-b",
	circuit.Relay:         "a relay: as a switch, and coil+, coil-",
	circuit.Contactor:     "a contactor: as a relay, on studs",
	circuit.Cutout:        "a low-voltage cutout module: in+, in-, out+, out-",
	circuit.EmergencyStop: "an emergency stop: in, out",
	circuit.TerminalBlock: "a terminal block or bus bar, all ways joined: 1, 2, 3 ...",
	circuit.Controller:    "a speed controller: in+, in-, out+, out-",
	circuit.Motor:         "a motor: +, -",
	circuit.Diode:         "a diode: anode, cathode",
	circuit.Resistor:      "a resistor: 1, 2",
	circuit.Shunt:         "a shunt of a meter: in, out",
	circuit.Lamp:          "a lamp: 1, 2",
	circuit.Horn:          "a horn: 1, 2",
	circuit.ChargerSocket: "a socket for the charger: +, -",
	circuit.Connector:     "a pair of connectors: in, out; with poles in-1, out-1, in-2 ...",

	circuit.Converter:         "a converter of one direct voltage into another, one of `converters`: in+, in-, out+, out-",
	circuit.Charger:           "a charger that stays on board, its side of direct current: +, -",
	circuit.Throttle:          "a throttle with a track: +, wiper, -; the controller then has throttle+, throttle, throttle-",
	circuit.PrechargeResistor: "a resistor across a contact that fills capacitors: 1, 2",
	circuit.BrakeResistor:     "a resistor that the motors are braked on: 1, 2",
	circuit.ReversingSwitch:   "a switch for the direction: in+, in-, out+, out-; the other way it crosses them over",
	circuit.HalfSpeedSwitch:   "a switch that joins two packs or motors side by side, and the other way one after the other: a+, a-, b+, b-, and + and - of the whole",
	circuit.Suppressor:        "a suppressor of transients: anode, cathode",
	circuit.BalanceLead:       "the plug with a contact for the end of each cell, from the negative end: 0, 1, 2 ...",
}

// Options lists the words.
func (PartWord) Options() []notes.Option {
	var out []notes.Option
	for _, k := range circuit.Kinds() {
		out = append(out, notes.Option{Name: string(k), Meaning: partMeanings[k]})
	}
	return out
}

// FuseWord names a kind of fuse whose opening times are tabled.
type FuseWord string

// Options lists the words.
func (FuseWord) Options() []notes.Option {
	return []notes.Option{
		{Name: "blade", Meaning: "flat blade fuse of road vehicles, 19 mm wide"},
		{Name: "large-blade", Meaning: "large blade fuse of road vehicles, 29 mm wide"},
		{Name: "cartridge", Meaning: "cartridge fuse, UL 248-14"},
	}
}

// StyleWord says how a terminal takes a lead.
type StyleWord string

var styles = map[StyleWord]circuit.Style{"screw-clamp": circuit.ScrewClamp, "stud": circuit.Stud, "blade": circuit.Blade, "tail": circuit.Tail}

// Options lists the words.
func (StyleWord) Options() []notes.Option {
	return []notes.Option{
		{Name: "screw-clamp", Meaning: "a screw presses on the conductor"},
		{Name: "stud", Meaning: "a bolt that takes a ring"},
		{Name: "blade", Meaning: "a flat tab that takes a spade"},
		{Name: "tail", Meaning: "a wire of the part's own, or a lug: crimped or soldered"},
	}
}

// Stranding says how the conductor of a lead is made.
type Stranding string

var classes = map[Stranding]circuit.Class{"solid": circuit.Solid, "stranded": circuit.Stranded, "flexible": circuit.Flexible, "extra-flexible": circuit.ExtraFlexible}

// Options lists the words.
func (Stranding) Options() []notes.Option {
	return []notes.Option{
		{Name: "solid", Meaning: "a single wire, IEC 60228 class 1"},
		{Name: "stranded", Meaning: "a few thick strands, class 2"},
		{Name: "flexible", Meaning: "fine strands, class 5; what holds where nothing is said"},
		{Name: "extra-flexible", Meaning: "finest strands, class 6"},
	}
}

// LeadColour is the colour of a lead's insulation or of its stripe.
type LeadColour string

// Options lists the words.
func (LeadColour) Options() []notes.Option {
	var out []notes.Option
	for _, c := range circuit.Colours {
		out = append(out, notes.Option{Name: c.Word, Meaning: c.Code})
	}
	return out
}

// EndWord says how an end of a lead is made up.
type EndWord string

// Options lists the words.
func (EndWord) Options() []notes.Option {
	return []notes.Option{
		{Name: string(circuit.Ferrule), Meaning: "a crimped sleeve, for a screw clamp"},
		{Name: string(circuit.Ring), Meaning: "a ring terminal, with the size of its stud: ring M6"},
		{Name: string(circuit.Spade), Meaning: "a push-on terminal, with the width of its tab: spade 6.3 mm"},
		{Name: string(circuit.Solder), Meaning: "soldered"},
		{Name: string(circuit.Crimp), Meaning: "the contact of a connector, or a butt splice"},
		{Name: string(circuit.Bare), Meaning: "stripped, and nothing on it"},
	}
}

// PointWord says what an operating point is for.
type PointWord string

var pointKinds = map[PointWord]circuit.PointKind{"cruise": circuit.Cruise, "hill": circuit.Hill, "stall": circuit.Stall,
	"charging": circuit.Charging, "braking": circuit.Braking, "cutout-open": circuit.CutoutOpen, "emergency-stop": circuit.StopOpen}

// Options lists the words.
func (PointWord) Options() []notes.Option {
	return []notes.Option{
		{Name: "cruise", Meaning: "running on for as long as the packs last"},
		{Name: "hill", Meaning: "a climb or a start, more current for a while"},
		{Name: "stall", Meaning: "the motors held still with the controller at its setting"},
		{Name: "charging", Meaning: "the charger plugged into its socket, or the one on board into the mains"},
		{Name: "braking", Meaning: "the motors turning, and a brake resistor across them"},
		{Name: "cutout-open", Meaning: "every low-voltage cutout open"},
		{Name: "emergency-stop", Meaning: "every emergency stop open"},
	}
}

// RestWord says where the contacts of a part stand when nobody touches them.
type RestWord string

var positions = map[RestWord]circuit.Position{"closed": circuit.Usual, "open": circuit.Opened, "other-way": circuit.OtherWay}

// Options lists the words.
func (RestWord) Options() []notes.Option {
	return []notes.Option{
		{Name: "closed", Meaning: "closed, a changeover on its way a; what holds where nothing is said"},
		{Name: "open", Meaning: "open, such as a push button"},
		{Name: "other-way", Meaning: "a changeover on its way b"},
	}
}
