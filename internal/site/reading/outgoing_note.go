package reading

import (
	"voltwright/internal/finding"
	"voltwright/internal/outgoing"
)

// RuleNotePosition is the rule of findings about positions that a note itself writes.
const RuleNotePosition = "position-in-note"

// TellPositions says of each note where it writes a position: what a maker writes goes online as it is written.
func (rd *Reader) TellPositions() {
	for _, n := range rd.Journal.AllNotes() {
		var found [][]int
		text := string(n.Text())
		_ = rd.Keep("positions in a note", &found, func() error { // which has no error
			found = outgoing.Positions(text)
			return nil
		}, text)
		for _, at := range found {
			rd.Raised.Add(finding.Finding{Rule: RuleNotePosition, Level: finding.Warning, Span: n.Source.At(int64(at[0]), at[1]-at[0]),
				Text:   "this looks like a position on the map, and goes online with the note",
				Remedy: "take it out, or say in words where it was, as much or as little as you want to tell."})
		}
	}
}

// NotePositionDoc explains the rule about positions in notes.
var NotePositionDoc = finding.Doc{Kind: finding.RuleDoc, Name: RuleNotePosition, Level: finding.Warning, Title: "A position written in a note",
	What:    "Looks through the text and the front matter of each note for positions: pairs of degrees with five places and more, or with fewer behind a word such as position or GPS, degrees with minutes, geo: addresses, links to maps, NMEA sentences, codes of the open grid and of map zones.",
	Why:     "Files are cleaned on their way out of the journal, but what a note says is what its maker says. Where somebody lives is often enough written down in passing, in a link to a map above all.",
	Example: "  We met at [the gate](https://example.org/map?lat=51.00001&lon=7.00001)."}
