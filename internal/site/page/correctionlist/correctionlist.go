package correctionlist

import (
	"cmp"
	"fmt"

	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// correctionsView is the view of the list of corrections.
type correctionsView struct {
	Lead string
	Rows []correctionRow
}

type correctionRow struct {
	Correction frame.Link
	Date       *frame.Day
	So         string
	Pages      []frame.Link
	Matters    bool
}

func lay(rd *reading.Reader, s *frame.Sheet) error {
	j := rd.Journal
	v := correctionsView{Lead: fmt.Sprintf("%s, the newest first. What was wrong stays to be seen, with what is so beside it.", numeral.Count(len(j.Corrections), "correction"))}
	var files []string
	var dates []notes.Date
	for _, n := range j.Corrections {
		row := correctionRow{Correction: frame.Link{Words: cmp.Or(n.Title.Text, n.Slug), Href: s.To(address.Correction(n))}, Date: frame.DayOf(n.Date), So: numeral.Unbroken(numeral.OnPage(rd.PlainOpening(n))), Matters: n.Correction.MattersForSafety.Value}
		for _, p := range n.Correction.Places() {
			row.Pages = append(row.Pages, rd.PlaceLink(s, p))
		}
		v.Rows = append(v.Rows, row)
		files, dates = append(files, n.Note.Path), append(dates, n.Date)
	}
	rd.Inspect(s, nil, files)
	s.Block.Type, s.Block.Issued, s.Block.Revision = "List of corrections", frame.DayOf(frame.Newest(dates...)), numeral.Count(len(j.Corrections), "correction")
	s.Body = v
	return nil
}
