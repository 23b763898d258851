package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// frameJoined asks whether the frame is a side of the circuit.
var frameJoined = &rule{each: eachVersion, judge: judgeFrameJoined, doc: finding.Doc{
	Name: "frame-joined", Signal: finding.Caution,
	Title:   "The frame is joined to the packs",
	What:    "Looks at `frame` of the wiring: joined to either side, or not measured, it is a CAUTION.",
	Why:     "With the frame apart one chafed lead does nothing but wait to be found. With the frame joined the first one is a short, and a tool that slips needs only one bare place.",
	Needs:   "`frame` of the `wiring`",
	Source:  "Both sides kept from the frame: common practice, no source",
	Example: "  wiring: {frame: apart}",
}}

func judgeFrameJoined(s *subject) []verdict {
	w := s.version.Wiring
	if w == nil || !w.Frame.Set || w.Frame.Value == journal.FrameApart {
		return nil
	}
	v := verdict{signal: finding.Caution, at: w.Frame.Span, numbers: "frame: " + string(w.Frame.Value),
		text:   "the frame is joined to the " + string(w.Frame.Value) + " side of the packs: one chafed lead of the other side is a short",
		remedy: "look along every lead of the other side for places where it touches the frame, and sleeve it there. Then take the joint to the frame out."}
	if w.Frame.Value == journal.FrameUnknown {
		v.text = "nobody has measured whether the frame is joined to the packs: a chafed lead may wait there for the second one"
		v.remedy = "measure from the frame to either side of the packs, with the stop closed: a voltage that a small lamp pulls to nothing is none; one that it does not is a joint to find."
	}
	return said(v)
}
