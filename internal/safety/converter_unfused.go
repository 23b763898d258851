package safety

import (
	"fmt"

	"voltwright/internal/finding"
)

// converterUnfused asks whether a converter has a fuse of its own.
var converterUnfused = &rule{each: eachVersion, judge: judgeConverterUnfused, doc: finding.Doc{
	Name: "converter-unfused", Signal: finding.SignalWarning,
	Title:   "A converter without its own fuse",
	What:    "Looks for converters whose `fuse` is stated as `none`. Not stated, it cannot judge.",
	Why:     "Its input lead is thin and stands before no fuse but the main one. A converter that fails shorted draws all that the main fuse lets through, and the lead burns.",
	Needs:   "`fuse` of the converter",
	Source:  "A fuse in each lead that is thinner than its feed: common practice, no source",
	Example: "  converters: [{name: for the lamps, window: 20 V to 60 V, highest: 65 V, fuse: 5 A}]",
}}

func judgeConverterUnfused(s *subject) []verdict {
	var found []verdict
	for i := range s.version.Converters {
		c := &s.version.Converters[i]
		name := nameOf(c.Name.Text, "the converter")
		switch {
		case !c.Fuse.Set:
			found = append(found, cannot(c.Span, "whether "+name+" has a fuse of its own", "`fuse` is not stated", "state the current that it is rated for, or `none`.")...)
		case c.Fuse.None:
			found = append(found, verdict{signal: finding.SignalWarning, at: c.Fuse.Span, numbers: "fuse: none",
				text:   fmt.Sprintf("%s has no fuse of its own: if it fails shorted, its thin lead burns before the main fuse opens", name),
				remedy: "take its input lead off. Put a fuse for that lead at the point where it leaves the thick one, rated for the packs' direct voltage."})
		}
	}
	return found
}
