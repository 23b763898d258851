package study

import (
	"voltwright/internal/drive"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
)

// Tipping is the body that the version's tightest curve tips over first.
type Tipping struct {
	What   string                   // "the vehicle with its payload", or a wagon's name
	Height quantity.Metres          // of its centre of mass
	From   quantity.MetresPerSecond // it begins to tip
	Span   finding.Span             // of the height
}

// TippingOf says what the tightest curve tips over first and from which speed on,
// or which keys it lacks to say so; stated is false where the version has none of
// those keys. Where heights lack it is the first of the bodies whose height is known, and others may tip before it. The vehicle is taken empty or with its payload, whichever is the
// higher body; a wagon without a height is left out.
func TippingOf(v *journal.Version) (first *Tipping, lacks []string, stated bool) {
	d, m := v.Drive, v.Masses
	if d == nil || m == nil {
		return nil, []string{"drive", "masses"}, false
	}
	need := func(known bool, key string) {
		stated = stated || known
		if !known {
			lacks = append(lacks, key)
		}
	}
	width := v.TrackWidth()
	need(width.Known(), "track-width")
	need(d.Curve.Known(), "curve")
	need(m.VehicleHeight.Known(), "vehicle-height")
	loaded := m.Vehicle.Known() && m.Payload.Known() && m.Payload.Value > 0
	if loaded {
		need(m.PayloadHeight.Known(), "payload-height")
	}
	for i := range m.Wagons {
		stated = stated || m.Wagons[i].Height.Known()
	}
	if !width.Known() || !d.Curve.Known() {
		return nil, lacks, stated
	}
	add := func(what string, height quantity.Metres, at finding.Span) {
		if first == nil || height > first.Height {
			first = &Tipping{what, height, drive.OverturnSpeed(d.Curve.Value, width.Value/2, height), at}
		}
	}
	if m.VehicleHeight.Known() {
		add("the vehicle", m.VehicleHeight.Value, m.VehicleHeight.Span)
	}
	if loaded && m.VehicleHeight.Known() && m.PayloadHeight.Known() {
		add("the vehicle with its payload", drive.CentreHeight(m.Vehicle.Value, m.VehicleHeight.Value, m.Payload.Value, m.PayloadHeight.Value), m.PayloadHeight.Span)
	}
	for i := range m.Wagons {
		if w := &m.Wagons[i]; w.Height.Known() {
			name := "a wagon"
			if w.Name.Set {
				name = "`" + w.Name.Text + "`"
			}
			add(name, w.Height.Value, w.Height.Span)
		}
	}
	return first, lacks, stated
}
