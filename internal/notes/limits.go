package notes

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
)

// What a journal may hold, so that one that comes from a stranger asks for no more than 512 MiB of memory. The numbers are our
// own choice: several times what the largest journal of a club needs. In bytes, where nothing else is said.
const (
	MaxNote    = 1 << 20   // a Markdown note, journal.yaml or a parts list
	MaxFront   = 64 << 10  // the front matter of a note, and what journal.yaml holds
	MaxPicture = 64 << 20  // a picture
	MaxTheme   = 4 << 20   // a file of the journal's own theme
	MaxFile    = 512 << 20 // a log or any other file

	MaxMarks    = 100_000  // lines and marks of Markdown of a note
	MaxAllMarks = 300_000  // and of all notes together
	MaxAllText  = 32 << 20 // all notes together
	MaxAllFront = 2 << 20  // the front matter of all notes together
	MaxNotes    = 5_000    // notes
	MaxRuns     = 2_000    // of those, runs
	MaxVersions = 300      // and versions
	MaxParts    = 2_000    // lines of a parts list
)

// Limit is the size limit of a file, in bytes, by its name.
func Limit(rel string) int64 {
	switch {
	case isNote(rel):
		return MaxNote
	case strings.HasPrefix(rel, "themes/"):
		return MaxTheme
	case IsPicture(rel):
		return MaxPicture
	default:
		return MaxFile
	}
}

// budget is what the notes of a journal have taken of what they may hold together.
type budget struct {
	notes, runs, versions, text, front, marks int

	full string       // which limit was passed, in words; "" while there is room
	at   finding.Span // the first note that was left out
	left int          // how many were
}

func (b *budget) take(n *Note) {
	b.notes++
	switch n.Kind {
	case "run":
		b.runs++
	case "version":
		b.versions++
	}
	b.text += len(n.text)
	b.front += n.BodyOffset
	if marks := Marks(n.body); marks <= MaxMarks { // else it is not read as Markdown
		b.marks += marks
	}
	switch {
	case b.notes > MaxNotes:
		b.full = fmt.Sprintf("%d notes", MaxNotes)
	case b.runs > MaxRuns:
		b.full = fmt.Sprintf("%d runs", MaxRuns)
	case b.versions > MaxVersions:
		b.full = fmt.Sprintf("%d versions", MaxVersions)
	case b.text > MaxAllText:
		b.full = fmt.Sprintf("%d MiB of text", MaxAllText>>20)
	case b.front > MaxAllFront:
		b.full = fmt.Sprintf("%d MiB of front matter", MaxAllFront>>20)
	case b.marks > MaxAllMarks:
		b.full = fmt.Sprintf("%d lines and marks of Markdown", MaxAllMarks)
	}
}

func (b *budget) report(findings *finding.List) {
	if b.full == "" {
		return
	}
	findings.Add(finding.Finding{Rule: RuleJournalTooLarge, Level: finding.Error, Span: b.at,
		Text:   fmt.Sprintf("the notes up to here hold all that a journal may, which is %s; this one and those after it, %d in all, were not read", b.full, b.left),
		Remedy: "part the journal into two, for instance by vehicle, and put tables of values into logs."})
}
