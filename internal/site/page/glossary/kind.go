// Package glossary lays out the page of the words of the trade.
package glossary

import (
	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// Kind is the page of the words of the trade.
var Kind = reading.Kind{Name: "glossary", Words: "Words", Weight: 1.1, Pages: func(rd *reading.Reader, _ journal.Place) []reading.Page {
	return reading.Alone(address.Glossary, "Words of the trade", "Words", func(s *frame.Sheet) error { return lay(rd, s) })
}}
