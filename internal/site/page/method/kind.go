// Package method lays out the two pages that explain the formulas and the rules of inspection.
package method

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the two pages that explain the formulas and the rules of inspection.
var Kind = reading.Kind{Name: "method", Words: "Method", Weight: 0.9, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	trail := []frame.Link{{Words: "Method", Href: address.Method}}
	return []reading.Page{
		{At: address.Method, Title: "Method", Trail: trail, Lay: func(s *frame.Sheet) error { return lay(rd, s, finding.FormulaDoc) }},
		{At: address.Rules, Title: "Rules", Trail: append(trail, frame.Link{Words: "Rules", Href: address.Rules}), Lay: func(s *frame.Sheet) error { return lay(rd, s, finding.RuleDoc) }},
	}
}}
