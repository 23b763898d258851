package safety

import (
	"fmt"

	"voltwright/internal/drive"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// childMassLow asks whether the payload is that of a child as heavy as children of its age get.
var childMassLow = &rule{each: eachVersion, judge: judgeChildMassLow, doc: finding.Doc{
	Name: "child-mass-low", Signal: finding.PropertyNotice,
	Title:   "A payload below what a child of that age may weigh",
	What:    "Where a child rides, holds the payload that is stated against the mass that 19 of 20 children of the stated age do not exceed. Where no payload is stated, that mass is computed with.",
	Why:     "Run time, hill, brake and curve are computed for the payload. The friend who rides next may weigh half as much again.",
	Needs:   "`rider: child` and `age` in `use`, and `payload` in `masses`",
	Formula: "least = 95th centile of mass at the age of the youngest rider",
	Source:  "CDC 2000 growth charts: their LMS parameters (confirmed), the centile from them (computed)",
	Example: "  use: {as: railway, rider: child, age: 7}",
}}

func judgeChildMassLow(s *subject) []verdict {
	u, m := s.version.Use, s.version.Masses
	if child, _ := s.child(); !child || !u.Age.Set || m == nil || !m.Payload.Known() {
		return nil
	}
	c, ok := drive.ChildMassAt(u.Age.Value)
	if !ok || !below(m.Payload.Value, c.Mass) {
		return nil
	}
	return said(verdict{signal: finding.PropertyNotice, at: m.Payload.Span, gauge: least("payload", m.Payload.Value, c.Mass, sourced(c.Source, c.Status)),
		text:   fmt.Sprintf("all is computed for a payload of %s, and a child of %s may weigh %s", m.Payload.Written, years(u.Age.Value), quantity.Brief(c.Mass)),
		remedy: fmt.Sprintf("state `payload: %s` or more, with whatever else rides; look then at hill, brake and curve again.", quantity.Brief(c.Mass))})
}
