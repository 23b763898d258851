package journal

import (
	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Use says who rides the vehicle, and what is done so that they get off it whole.
type Use struct {
	As         notes.Choice[Purpose] `key:"as"`
	Rider      notes.Choice[Rider]   `key:"rider"`
	Age        notes.Integer         `key:"age"` // of the youngest rider, years
	Helmet     notes.Flag            `key:"helmet"`
	RemoteStop notes.Flag            `key:"remote-stop"`
	Supervised notes.Flag            `key:"supervised"`
	Wet        notes.Flag            `key:"wet"` // whether it gets wet, or hands that touch it; not written: it does

	Span finding.Span `key:"@"`
}

// Charger is what charges the packs, and how.
type Charger struct {
	Chemistry  notes.Choice[Chemistry]        `key:"chemistry"` // that it is made for
	Pulsed     notes.Flag                     `key:"pulsed"`    // whether its output is pulsed; not written: it is steady
	Voltage    notes.Value[quantity.Volts]    `key:"voltage"`   // at which it ends
	Current    notes.Value[quantity.Amperes]  `key:"current"`
	Efficiency notes.Value[quantity.Fraction] `key:"efficiency"` // energy out by energy from the wall
	Place      notes.Choice[ChargingPlace]    `key:"place"`
	Unattended notes.Flag                     `key:"unattended"`
	Ventilated notes.Flag                     `key:"ventilated"`
	Residual   notes.Flag                     `key:"residual-current-device"` // between the mains and it
	AsFound    Found                          `key:"as-found"`
	Interlock  notes.Flag                     `key:"interlock"` // whether it cannot run with the charger plugged in

	Span finding.Span `key:"@"`
}

// Answer is the maker's answer to a callout.
type Answer struct {
	Rule    notes.Word `key:"rule,required"`
	Numbers notes.Word `key:"numbers"` // those that it answers, as inspection prints them
	Reason  notes.Line `key:"reason,required"`

	Span finding.Span `key:"@"`
}

// PackFuse says how a pack is fused: not known if not Set, not at all if None.
type PackFuse struct {
	Set    bool
	None   bool
	Span   finding.Span
	Rating notes.Value[quantity.Amperes]
}

// DecodeNode reads `none` or the current that the fuse is rated for.
func (f *PackFuse) DecodeNode(n *notes.Node, d *notes.Decoder) {
	if n.Kind == notes.Scalar && n.Text == wordNone {
		f.None = true
	} else if f.Rating.DecodeNode(n, d); !f.Rating.Set {
		return
	}
	f.Set, f.Span = true, n.Span
}

// Purpose is what a vehicle is used as.
type Purpose string

// The purposes.
const (
	Toy     Purpose = "toy"
	Railway Purpose = "railway"
	Work    Purpose = "work"
)

// Options lists the words.
func (Purpose) Options() []notes.Option {
	return []notes.Option{
		{Name: string(Toy), Meaning: "a ride-on for play"},
		{Name: string(Railway), Meaning: "an engine or wagon of a railway that carries people"},
		{Name: string(Work), Meaning: "a barrow, cart or other helper that somebody walks beside or sits on"},
	}
}

// Rider is who rides.
type Rider string

// The riders.
const (
	Child      Rider = "child"
	Passengers Rider = "passengers"
	Adult      Rider = "adult"
	Nobody     Rider = "nobody"
)

// Options lists the words.
func (Rider) Options() []notes.Option {
	return []notes.Option{
		{Name: string(Child), Meaning: "a child drives, or rides alone"},
		{Name: string(Passengers), Meaning: "a grown person drives or walks with it and carries others, children among them"},
		{Name: string(Adult), Meaning: "only grown people drive and ride"},
		{Name: string(Nobody), Meaning: "it carries goods"},
	}
}

// ChargingPlace is where a vehicle or its pack is charged.
type ChargingPlace string

// The places.
const (
	OutOfDoors  ChargingPlace = "outdoors"
	Workshop    ChargingPlace = "workshop"
	LivingSpace ChargingPlace = "living-space"
	WayOut      ChargingPlace = "way-out"
)

// Options lists the words.
func (ChargingPlace) Options() []notes.Option {
	return []notes.Option{
		{Name: string(OutOfDoors), Meaning: "in the open air, or under a roof without walls"},
		{Name: string(Workshop), Meaning: "a shed, garage or workshop in which nobody sleeps"},
		{Name: string(LivingSpace), Meaning: "a room of a home"},
		{Name: string(WayOut), Meaning: "a hall, stair or door by which people leave a building"},
	}
}
